package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// fan is how many children a node of a tree has.
const fan = 8

// tree finds boxes by where they are. It is packed: items stand in the order of
// a space-filling curve, and each level above holds the bounds of the runs of fan
// below it. Building it sorts once; searching is near-logarithmic, however
// unevenly the items lie.
type tree struct {
	items  []int32       // in curve order
	levels [][]orb.Bound // levels[0][i] is the box of items[i]
}

// newTree packs the items 0 to n, the end excluded.
func newTree(n int, box func(item int) orb.Bound) *tree {
	boxes := make([]orb.Bound, n)
	for i := range boxes {
		boxes[i] = box(i)
	}
	t := &tree{items: curveOrder(boxes)}
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
				above[i] = join(above[i], b)
			}
		}
		level = above
		t.levels = append(t.levels, level)
	}
	return t
}

// search calls visit with each item whose box, as all boxes around it, passes
// hit; it stops when visit returns false. The order is that of the curve.
func (t *tree) search(hit func(orb.Bound) bool, visit func(item int32) bool) {
	if len(t.items) > 0 {
		t.descend(len(t.levels)-1, 0, hit, visit)
	}
}

func (t *tree) descend(level, i int, hit func(orb.Bound) bool, visit func(item int32) bool) bool {
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

// collect appends the positions, in curve order, of the items whose boxes share a
// point with b; it stops soon after there are more than most.
func (t *tree) collect(b orb.Bound, most int, to []int32) []int32 {
	if len(t.items) == 0 {
		return to
	}
	return t.collectUnder(len(t.levels)-1, 0, 1, b, most, to)
}

func (t *tree) collectUnder(level, from, end int, b orb.Bound, most int, to []int32) []int32 {
	for i, o := range t.levels[level][from:end] {
		if !meet(b, o) {
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

// boxes returns the items' boxes in curve order.
func (t *tree) boxes() []orb.Bound { return t.levels[0] }

// inBox is a hit function: boxes that share a point with b.
func inBox(b orb.Bound) func(orb.Bound) bool {
	return func(o orb.Bound) bool { return meet(b, o) }
}

func meet(a, b orb.Bound) bool {
	return a.Min[0] <= b.Max[0] && b.Min[0] <= a.Max[0] && a.Min[1] <= b.Max[1] && b.Min[1] <= a.Max[1]
}

func join(a, b orb.Bound) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(a.Min[0], b.Min[0]), min(a.Min[1], b.Min[1])},
		Max: orb.Point{max(a.Max[0], b.Max[0]), max(a.Max[1], b.Max[1])},
	}
}

// segmentBox returns the box of a segment.
func segmentBox(a, b orb.Point) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(a[0], b[0]), min(a[1], b[1])},
		Max: orb.Point{max(a[0], b[0]), max(a[1], b[1])},
	}
}

func grow(b orb.Bound, by float64) orb.Bound {
	return orb.Bound{
		Min: orb.Point{b.Min[0] - by, b.Min[1] - by},
		Max: orb.Point{b.Max[0] + by, b.Max[1] + by},
	}
}

// alongSegment is a hit function: boxes within reach of a segment, so that a long
// slanting one doesn't visit all of its box.
func alongSegment(a, b orb.Point, reach float64) func(orb.Bound) bool {
	box := grow(segmentBox(a, b), reach)
	dx, dy := b[0]-a[0], b[1]-a[1]
	slack := reach * math.Hypot(dx, dy)
	return func(o orb.Bound) bool {
		if !meet(box, o) {
			return false
		}
		// The box's corner that is farthest to either side of the segment's line.
		mx, my := (o.Min[0]+o.Max[0])/2-a[0], (o.Min[1]+o.Max[1])/2-a[1]
		hx, hy := (o.Max[0]-o.Min[0])/2, (o.Max[1]-o.Min[1])/2
		spread := hx*math.Abs(dy) + hy*math.Abs(dx) + slack
		rounding := 1e-14 * (math.Abs(dx*my) + math.Abs(dy*mx))
		return math.Abs(dx*my-dy*mx) <= spread+rounding
	}
}
