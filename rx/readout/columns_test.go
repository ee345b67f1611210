package readout

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// teeth is a comb along x or y, whose teeth are as wide as the room between them.
func teeth(n int, swapped bool) orb.Ring {
	ring := orb.Ring{{0, -1}}
	for i := range n {
		x := float64(2 * i)
		ring = append(ring, orb.Point{x, 0}, orb.Point{x, 500}, orb.Point{x + 1, 500}, orb.Point{x + 1, 0})
	}
	ring = append(ring, orb.Point{float64(2*n - 1), -1}, ring[0])
	for i, p := range ring {
		if swapped {
			ring[i] = orb.Point{p[1], p[0]}
		}
	}
	return ring
}

// Columns hold what another library holds, of combs both ways, a star and a polygon with
// holes, and look at few edges where edges are many.
func TestColumnsHoldWhatPolygonsHold(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var star orb.Ring
	for i := range 2000 {
		far, turn := 100+float64(i%2)*400, 2*math.Pi*float64(i)/2000
		star = append(star, orb.Point{500 + far*math.Cos(turn), 250 + far*math.Sin(turn)})
	}
	star = append(star, star[0])
	holed := orb.Polygon{{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}, {0, 0}}}
	for i := range 110 {
		x := float64(5 + 9*i)
		holed = append(holed, orb.Ring{{x, 20}, {x + 4, 480}, {x + 5, 20}, {x, 20}})
	}
	for name, c := range map[string]struct {
		polygon orb.Polygon
		edges   int // of a column at most
	}{"comb": {orb.Polygon{teeth(500, false)}, 20}, "comb the other way": {orb.Polygon{teeth(500, true)}, 2010}, "star": {orb.Polygon{star}, 2000}, "holes": {holed, 30}} {
		columns := newColumns(c.polygon)
		if columns == nil {
			t.Fatalf("%s: has no columns", name)
		}
		for _, in := range columns.edges {
			if len(in) > c.edges {
				t.Errorf("%s: a column of %d edges, want at most %d", name, len(in), c.edges)
				break
			}
		}
		box := c.polygon.Bound()
		held := 0
		for range 5000 {
			p := orb.Point{box.Min[0] - 1 + r.Float64()*(box.Max[0]-box.Min[0]+2), box.Min[1] - 1 + r.Float64()*(box.Max[1]-box.Min[1]+2)}
			got, want := columns.holds(p), planar.PolygonContains(c.polygon, p)
			if got {
				held++
			}
			if got != want {
				t.Fatalf("%s: holds %v: %v, want %v", name, p, got, want)
			}
		}
		if held < 500 || held > 4500 {
			t.Errorf("%s: %d of 5000 points are held, want some and not all", name, held)
		}
	}
	for _, p := range []orb.Point{{3, 0}, {503, 500}, {7, 20}} { // on edges along a row
		if got := newColumns(holed).holds(p); got != true {
			t.Errorf("%v is on an edge, and not held", p)
		}
	}
	if newColumns(orb.Polygon{teeth(40, false)}) != nil {
		t.Error("a ring of 162 edges has columns")
	}
}

// A place that is none lies in no column.
func TestNoPlaceIsHeld(t *testing.T) {
	holed := newColumns(orb.Polygon{teeth(500, false)})
	for _, p := range []orb.Point{{math.NaN(), 1}, {1, math.NaN()}, {math.NaN(), math.NaN()}, {math.Inf(1), 1}, {1, math.Inf(-1)}} {
		if holed.holds(p) {
			t.Errorf("%v is held", p)
		}
	}
}
