package read

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// shredWidth is how wide ground is that comes of rounding alone, as a part of the largest
// coordinate: some 10 µm in meters and in degrees. Drawn in another system, it can fold.
const shredWidth = 2e-12

// withoutShreds leaves out the polygons and holes that cutting made of the last bits of
// coordinates.
func withoutShreds(mp orb.MultiPolygon) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, polygon := range mp {
		if len(polygon) == 0 || isShred(polygon[0]) {
			continue
		}
		out = append(out, slices.DeleteFunc(slices.Clone(polygon), isShred))
	}
	return out
}

// isShred reports whether a ring is no wider than rounding: a long and narrow one is as
// wide as twice its area over its length around.
func isShred(ring orb.Ring) bool {
	var area, around, largest float64
	for i := 1; i < len(ring); i++ {
		p, q := ring[i-1], ring[i]
		area += (p[0]-ring[0][0])*(q[1]-ring[0][1]) - (q[0]-ring[0][0])*(p[1]-ring[0][1])
		around += math.Hypot(q[0]-p[0], q[1]-p[1])
		largest = max(largest, math.Abs(q[0]), math.Abs(q[1]))
	}
	return math.Abs(area) <= around*largest*shredWidth // area is twice the ring's
}
