package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// meterRing brings a ring in meters to lon/lat near 41° north.
func meterRing(points ...orb.Point) orb.Ring {
	scale := LonLatScale(orb.Bound{Min: orb.Point{-96, 41}, Max: orb.Point{-95.99, 41.01}})
	ring := make(orb.Ring, 0, len(points)+1)
	for _, p := range points {
		ring = append(ring, orb.Point{-96 + p[0]/scale.X, 41 + p[1]/scale.Y})
	}
	return append(ring, ring[0])
}

// fineComb is teeth of some width with as much room between them, cut at each of their cells.
func fineComb(teeth, cells int, wide float64) orb.Polygon {
	points := []orb.Point{{0, -wide}}
	for i := range teeth {
		x := 2 * wide * float64(i)
		for k := range cells {
			points = append(points, orb.Point{x, wide * float64(k)})
		}
		for k := range cells {
			points = append(points, orb.Point{x + wide, wide * float64(cells-1-k)})
		}
	}
	return orb.Polygon{meterRing(append(points, orb.Point{wide * float64(2*teeth-1), -wide})...)}
}

// Teeth are seen to have no room by a look at each corner; a circle that would fit in them,
// or into a yard among them, is never denied.
func TestNoRoomIsSeenAtOnce(t *testing.T) {
	comb := fineComb(100, 200, 5)
	if !noRoom(comb, 10, LonLatScale) {
		t.Error("teeth of 5 m: a circle of 10 m is not ruled out")
	}
	if noRoom(comb, 2.4, LonLatScale) {
		t.Error("teeth of 5 m: a circle of 2.4 m is ruled out")
	}
	if noRoom(fineComb(2, 100, 5), 10, LonLatScale) {
		t.Error("a polygon of 404 corners is not searched")
	}
	// Three edges of a square are as long as 40 cells, and the outside doesn't leak through them.
	square := []orb.Point{{0, 400}, {0, 0}, {400, 0}, {400, 400}}
	for i := range 1200 {
		square = append(square, orb.Point{400 - float64(i)/3, 400 + float64(i%2)})
	}
	if noRoom(orb.Polygon{meterRing(square...)}, 14, LonLatScale) {
		t.Error("a square of 400 m: a circle of 14 m is ruled out")
	}
	yard := fineComb(100, 200, 5)
	for i, p := range yard[0] { // the teeth from 300 to 400 m end at 500 m
		if x, y := (p[0]+96)*84000, (p[1]-41)*111000; x > 300 && x < 400 && y > 500 {
			yard[0][i][1] = 41 + 500./111000
		}
	}
	yard = append(yard, nil)[:1]
	if HasRoom(yard, 10*unit.Meter) {
		t.Error("teeth that end early have room for 10 m")
	}
}

// wound is a strip of 3 m that is wound around a round place of 50 m so many times, 6 m apart. Its
// corners are a meter or two apart.
func wound(times int, yard bool) (points []orb.Point) {
	at := func(turns, less float64) orb.Point {
		far := 50 + 6*turns - less
		return orb.Point{500 + far*math.Cos(2*math.Pi*turns), 500 + far*math.Sin(2*math.Pi*turns)}
	}
	const corners = 200 // of a turn
	last := corners * times
	for i := range last {
		points = append(points, at(float64(i)/corners, 0))
	}
	first := 0
	if yard { // the first turn goes around ground
		first = corners
	}
	for i := last - 1; i >= first; i-- {
		points = append(points, at(float64(i)/corners, 3))
	}
	return points
}

// A place without ground that ground goes around is no room, and one with ground is.
func TestNoRoomInAHollow(t *testing.T) {
	for _, c := range []struct {
		yard bool
		room float64
		want bool
	}{{false, 10, true}, {true, 10, false}, {true, 49, false}, {true, 70, true}} {
		polygon := orb.Polygon{meterRing(wound(10, c.yard)...)}
		if got := noRoom(polygon, c.room, LonLatScale); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// What is ruled out, the search for the largest circle doesn't find: blots of all sizes.
func TestNoRoomDeniesNoCircle(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	ruled := 0
	for range 60 {
		var points []orb.Point
		n, rough := 1000+r.IntN(2000), r.Float64()
		far := 30 + 300*r.Float64()
		for i := range n {
			d, turn := far*(1-rough*r.Float64()), 2*math.Pi*float64(i)/float64(n)
			points = append(points, orb.Point{d * math.Cos(turn), d * math.Sin(turn)})
		}
		polygon := orb.Polygon{meterRing(points...)}
		_, radius := InscribedCircle(polygon)
		for _, share := range []float64{0.5, 0.9, 0.99, 1.02, 1.2, 2} {
			none := noRoom(polygon, unit.Meters(radius)*share, LonLatScale)
			if none && share < 1 {
				t.Fatalf("%d corners: a circle of %v of one of %v is ruled out", n, share, radius)
			}
			if none {
				ruled++
			}
		}
	}
	if ruled < 30 {
		t.Errorf("%d circles that don't fit are ruled out, want some", ruled)
	}
}

// A center with next to no room is climbed from where the largest circle is asked for, or where it
// is as good as enough, and not where nothing reaches enough.
func TestClimbsThatMatter(t *testing.T) {
	size := orb.Point{40, 30} // 1 cm of slack
	for _, c := range []struct {
		room, enough float64
		want         bool
	}{{3e-7, 10.5, false}, {3e-7, math.Inf(1), true}, {10.45, 10.5, true}, {10.44, 10.5, false}, {0.991, 1, true}, {0.989, 1, false}} {
		if got := worthClimbing(c.room, c.enough, size); got != c.want {
			t.Errorf("room of %g m, and %g m are enough: %v, want %v", c.room, c.enough, got, c.want)
		}
	}
}
