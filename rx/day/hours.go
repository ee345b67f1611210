package day

import (
	"cmp"
	"slices"

	"rxsplit/label/unit"
)

// Hours are what work takes of machines, or what they have in a day; infinite where nobody
// bounds it.
type Hours struct{ Blender, Spreader, Boom unit.Time }

// Plus adds hours up.
func (h Hours) Plus(o Hours) Hours {
	return Hours{h.Blender + o.Blender, h.Spreader + o.Spreader, h.Boom + o.Boom}
}

func (h Hours) within(o Hours) bool {
	return fitsIn(h.Blender, o.Blender) && fitsIn(h.Spreader, o.Spreader) && fitsIn(h.Boom, o.Boom)
}

func fitsIn(used, has unit.Time) bool { return used <= has*(1+leeway) }

// Late returns which works do not fit into a day, in the order in which they are passed over:
// those of priority 1 come first, and those of one priority as they are listed. Where one does not
// fit, a smaller one after it still may.
func Late(works []Hours, priorities []int, has Hours) (late []int) {
	order := make([]int, len(works))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(priorities[a], priorities[b]) })
	var used Hours
	for _, i := range order {
		if next := used.Plus(works[i]); next.within(has) {
			used = next
		} else {
			late = append(late, i)
		}
	}
	return late
}
