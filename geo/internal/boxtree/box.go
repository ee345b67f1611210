package boxtree

import (
	"math"

	"github.com/paulmach/orb"
)

// In is a hit function for [Tree.Search]: boxes that share a point with b.
func In(b orb.Bound) func(orb.Bound) bool {
	return func(o orb.Bound) bool { return Meet(b, o) }
}

// Meet reports whether two boxes share a point.
func Meet(a, b orb.Bound) bool {
	return a.Min[0] <= b.Max[0] && b.Min[0] <= a.Max[0] && a.Min[1] <= b.Max[1] && b.Min[1] <= a.Max[1]
}

// Join returns the smallest box around two.
func Join(a, b orb.Bound) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(a.Min[0], b.Min[0]), min(a.Min[1], b.Min[1])},
		Max: orb.Point{max(a.Max[0], b.Max[0]), max(a.Max[1], b.Max[1])},
	}
}

// Segment returns the box of the segment from a to b.
func Segment(a, b orb.Point) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(a[0], b[0]), min(a[1], b[1])},
		Max: orb.Point{max(a[0], b[0]), max(a[1], b[1])},
	}
}

// Along is a hit function for [Tree.Search]: boxes within reach of a segment. A long
// slanting one doesn't visit all of its box.
func Along(a, b orb.Point, reach float64) func(orb.Bound) bool {
	box := Segment(a, b).Pad(reach)
	dx, dy := b[0]-a[0], b[1]-a[1]
	slack := reach * math.Hypot(dx, dy)
	return func(o orb.Bound) bool {
		if !Meet(box, o) {
			return false
		}
		// The box's corner that is farthest to either side of the segment's line.
		mx, my := (o.Min[0]+o.Max[0])/2-a[0], (o.Min[1]+o.Max[1])/2-a[1]
		hx, hy := (o.Max[0]-o.Min[0])/2, (o.Max[1]-o.Min[1])/2
		spread := float64(hx*math.Abs(dy)) + float64(hy*math.Abs(dx)) + slack
		rounding := float64(1e-14 * (math.Abs(dx*my) + math.Abs(dy*mx)))
		return math.Abs(float64(dx*my)-float64(dy*mx)) <= spread+rounding
	}
}
