// Package boxtree finds boxes in the plane by where they are.
package boxtree

import (
	"math"

	"github.com/paulmach/orb"
)

// fan is how many children a node of a tree has.
const fan = 8

// Tree finds boxes by where they are. It is packed: items stand in the order of
// a space-filling curve, and each level above holds the bounds of the runs of fan
// below it. Building it sorts once; searching is near-logarithmic, however
// unevenly the items lie. It is read only once it is made.
type Tree struct {
	items  []int32       // in curve order
	levels [][]orb.Bound // levels[0][i] is the box of items[i]
}

// New packs the items 0 to n, the end excluded.
func New(n int, box func(item int) orb.Bound) *Tree {
	boxes := make([]orb.Bound, n)
	for i := range boxes {
		boxes[i] = box(i)
	}
	t := &Tree{items: curveOrder(boxes)}
	level := make([]orb.Bound, n)
	for i, item := range t.items {
		level[i] = boxes[item]
	}
	t.levels = append(t.levels, level)
	for len(level) > 1 {
		above := make([]orb.Bound, (len(level)+fan-1)/fan)
		for i := range above {
			above[i] = level[i*fan]
			for _, b := range level[i*fan+1 : min((i+1)*fan, len(level))] {
				above[i] = Join(above[i], b)
			}
		}
		level = above
		t.levels = append(t.levels, level)
	}
	return t
}

// Search calls visit with each item whose box, as all boxes around it, passes
// hit; it stops when visit returns false. The order is that of the curve.
func (t *Tree) Search(hit func(orb.Bound) bool, visit func(item int32) bool) {
	if len(t.items) > 0 {
		t.descend(len(t.levels)-1, 0, hit, visit)
	}
}

func (t *Tree) descend(level, i int, hit func(orb.Bound) bool, visit func(item int32) bool) bool {
	if !hit(t.levels[level][i]) {
		return true
	}
	if level == 0 {
		return visit(t.items[i])
	}
	for k := i * fan; k < min((i+1)*fan, len(t.levels[level-1])); k++ {
		if !t.descend(level-1, k, hit, visit) {
			return false
		}
	}
	return true
}

// Nearest calls visit with the items whose boxes are nearer than a distance, which
// visit returns anew, the near ones early. The distance from a box must not be less
// than that from a box around it.
func (t *Tree) Nearest(distance func(orb.Bound) float64, within float64, visit func(item int32) float64) {
	if len(t.items) > 0 && distance(t.levels[len(t.levels)-1][0]) < within {
		t.nearest(len(t.levels)-1, 0, distance, within, visit)
	}
}

func (t *Tree) nearest(level, i int, distance func(orb.Bound) float64, within float64, visit func(item int32) float64) float64 {
	if level == 0 {
		return visit(t.items[i])
	}
	below := t.levels[level-1]
	from, to := i*fan, min((i+1)*fan, len(below))
	var far [fan]float64
	for k := from; k < to; k++ {
		far[k-from] = distance(below[k])
	}
	for range to - from {
		next := 0
		for k := range to - from {
			if far[k] < far[next] {
				next = k
			}
		}
		if far[next] >= within {
			break
		}
		within = t.nearest(level-1, from+next, distance, within, visit)
		far[next] = math.Inf(1)
	}
	return within
}

// Collect appends the items, in the order of the curve, whose boxes share a point
// with b; it stops soon after there are more than most.
func (t *Tree) Collect(b orb.Bound, most int, to []int32) []int32 {
	start := len(to)
	to = t.positions(b, most, to)
	for i, at := range to[start:] {
		to[start+i] = t.items[at]
	}
	return to
}

// positions is [Tree.Collect] for places in t.items.
func (t *Tree) positions(b orb.Bound, most int, to []int32) []int32 {
	if len(t.items) == 0 {
		return to
	}
	return t.collectUnder(len(t.levels)-1, 0, 1, b, most, to)
}

func (t *Tree) collectUnder(level, from, end int, b orb.Bound, most int, to []int32) []int32 {
	for i, o := range t.levels[level][from:end] {
		if !Meet(b, o) {
			continue
		}
		if level == 0 {
			to = append(to, int32(from+i))
			continue
		}
		to = t.collectUnder(level-1, (from+i)*fan, min((from+i+1)*fan, len(t.levels[level-1])), b, most, to)
		if len(to) > most {
			return to
		}
	}
	return to
}
