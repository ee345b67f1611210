package svg

import (
	"cmp"
	"slices"

	"rxsplit/geo"
)

// mostJoined is how many shapes of a map, the largest, say what is joined in them;
// they are traced apart by a shade each. The rest of a class says it together.
const mostJoined = 200

// leastJoined is the drawn ground, in square pixels, that a pointer finds.
const leastJoined = 100

// noClass is the class of a record that is no zone.
const noClass = 255

// joins are the zones of a map by the shape that they are drawn in.
type joins struct {
	groups [][]int // of the largest shapes, the largest first
	rest   [][]int // of each class: its zones in other shapes, or too small to be drawn
	shade  []uint8 // of each record: 1 + its group, 0 for the rest
}

// join finds what is drawn as one shape: the zones of one class that lie side by
// side in the raster. A zone is in one shape even where it has several parts.
func (d *Drawer) join(t *Map) joins {
	class := make([]uint8, d.ground.Shapes.Len())
	for i := range class {
		class[i] = noClass
	}
	for i, c := range t.Class {
		class[d.ground.Record(i)] = c
	}
	sets := geo.NewSets(len(class))
	for _, pair := range d.touching {
		if a, b := pair[0], pair[1]; class[a] == class[b] && class[a] != noClass {
			sets.Join(a, b)
		}
	}
	j := joins{shade: d.largest(sets, class)}
	groups := 0
	for record := range class {
		g := j.shade[sets.Find(int32(record))]
		j.shade[record], groups = g, max(groups, int(g))
	}
	lists := d.listed(groups+len(t.Fills), func(zone int) int {
		if g := int(j.shade[d.ground.Record(zone)]); g > 0 {
			return g - 1
		}
		return groups + int(t.Class[zone])
	})
	j.groups, j.rest = lists[:groups], lists[groups:]
	return j
}

// listed sorts the zones into n lists.
func (d *Drawer) listed(n int, list func(zone int) int) [][]int {
	count := make([]int, n)
	for i := range d.ground.Zones {
		count[list(i)]++
	}
	room := make([]int, d.ground.Zones)
	lists := make([][]int, n)
	for k, c := range count {
		lists[k], room = room[:0:c], room[c:]
	}
	for i := range d.ground.Zones {
		k := list(i)
		lists[k] = append(lists[k], i)
	}
	return lists
}

// largest gives the roots of the largest sets their shades.
func (d *Drawer) largest(sets geo.Sets, class []uint8) []uint8 {
	squares := make([]int, len(class))
	for record, n := range d.squares {
		squares[sets.Find(int32(record))] += n
	}
	least := leastJoined * px * px / (d.raster.step * d.raster.step)
	var roots []int32
	for root, n := range squares {
		if n >= max(least, 1) && class[root] != noClass {
			roots = append(roots, int32(root))
		}
	}
	slices.SortStableFunc(roots, func(a, b int32) int { return cmp.Compare(squares[b], squares[a]) })
	shade := make([]uint8, len(class))
	for i, root := range roots[:min(len(roots), mostJoined)] {
		shade[root] = uint8(i + 1)
	}
	return shade
}
