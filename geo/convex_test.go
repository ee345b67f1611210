package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// A ring that turns left at each corner is convex if it goes around once. The star of five
// points turns left five times, and goes around twice.
func TestConvexGoesAroundOnce(t *testing.T) {
	around := func(corners, step int) (ring orb.Ring) {
		for i := range corners + 1 {
			a := 2 * math.Pi * float64(i%corners*step) / float64(corners)
			ring = append(ring, orb.Point{math.Cos(a), math.Sin(a)})
		}
		return ring
	}
	back := around(8, 1)
	back.Reverse()
	for name, c := range map[string]struct {
		ring orb.Ring
		want bool
	}{
		"triangle": {around(3, 1), true}, "pentagon": {around(5, 1), true}, "octagon": {around(8, 1), true}, "of 40 corners": {around(40, 1), true},
		"square":         {orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, true},
		"star of five":   {around(5, 2), false},
		"star of seven":  {around(7, 3), false},
		"clockwise":      {back, false},
		"with a notch":   {orb.Ring{{0, 0}, {2, 0}, {2, 2}, {1, 1}, {0, 2}, {0, 0}}, false},
		"of two corners": {orb.Ring{{0, 0}, {1, 0}, {0, 0}}, false},
	} {
		if got := isConvex(orb.Polygon{c.ring}); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Two swaths of 20 by 10 m share 2 m of their length. A corner along a side that rounding
// turned inward by a millimeter takes next to nothing of that; one that stands a meter inward
// makes a shape that is not convex, of which nothing is told.
func TestConvexOverlapOfRoundedCorners(t *testing.T) {
	swath := func(y, in float64, clockwise bool) orb.MultiPolygon {
		ring := orb.Ring{{0, y}, {10, y + in}, {20, y}, {20, y + 10}, {0, y + 10}, {0, y}}
		if clockwise {
			ring.Reverse()
		}
		return orb.MultiPolygon{{ring}}
	}
	for _, c := range []struct {
		name   string
		in     float64
		want   float64 // square meters
		within float64
	}{
		{"straight", 0, 40, 1e-9},
		{"outward", -0.001, 40, 0.011},
		{"inward", 0.001, 40, 0.011},
		{"not convex", 1, 0, 0},
	} {
		for _, clockwise := range []bool{false, true} {
			a, b := swath(0, c.in, clockwise), swath(8, c.in, false)
			for _, got := range []float64{ConvexOverlap(a, b), ConvexOverlap(b, a)} {
				if math.Abs(got-c.want) > c.within {
					t.Errorf("%s: got %.4f m², want %.4f m²", c.name, got, c.want)
				}
			}
		}
	}
}
