package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// Edges that are not measured change no bit: of stars with long and short spikes, points
// on them and points far away.
func TestClearanceIsThatOfAllEdges(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	for range 2000 {
		var ring orb.Ring
		n, size := 3+random.IntN(40), math.Pow(10, -8*random.Float64())
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := size * math.Pow(random.Float64(), 3)
			ring = append(ring, orb.Point{-179 + float64(r*cos), 60 + float64(r*sin)})
		}
		ring = append(ring, ring[0])
		p := orb.Point{-179 + float64(size*(random.Float64()-0.5)), 60 + float64(size*(random.Float64()-0.5))}
		if random.IntN(10) == 0 {
			p = ring[random.IntN(n)]
		}
		want := math.Inf(1)
		for i := 1; i < len(ring); i++ {
			a := orb.Point{(ring[i-1][0] - p[0]) * 0.5, ring[i-1][1] - p[1]}
			b := orb.Point{(ring[i][0] - p[0]) * 0.5, ring[i][1] - p[1]}
			want = min(want, toSegment2(orb.Point{}, a, b))
		}
		if got, more := clearance(orb.Polygon{ring}, p, 0.5, -1, math.Inf(1)); got != want || !more {
			t.Fatalf("%v from %v: got %g, want %g", p, ring, got, want)
		}
		if _, more := clearance(orb.Polygon{ring}, p, 0.5, want, math.Inf(1)); more {
			t.Fatalf("%v from %v: more than %g", p, ring, want)
		}
		if got, want := InteriorPoint(orb.MultiPolygon{{ring}}), middleOfAll(ring); got != want {
			t.Fatalf("middle of %v: got %v, want %v", ring, got, want)
		}
	}
}

// middleOfAll is [InteriorPoint] of a ring, with every edge measured at every height.
func middleOfAll(ring orb.Ring) orb.Point {
	box := bound(ring)
	best, room := ring[0], 0.0
	for i := range scanLines {
		p, wide := widestSpan(orb.Polygon{ring}, box.Min[1]+(box.Max[1]-box.Min[1])*(float64(i)+0.5)/scanLines)
		if wide == 0 {
			continue
		}
		squeeze := samebits.Cos((box.Min[1] + box.Max[1]) / 2 * radian)
		if d, more := clearance(orb.Polygon{ring}, p, squeeze, room, math.Inf(1)); more {
			best, room = p, d
		}
	}
	return best
}

// Room is found without a search tree where a widest span has it, and never where there is none.
// Squares of 0.001 degrees at 42 degrees north are 111 m high and 83 m wide.
func TestRoomyCircle(t *testing.T) {
	const s = 0.001
	at := func(points ...orb.Point) orb.Polygon {
		ring := make(orb.Ring, 0, len(points)+1)
		for _, p := range append(points, points[0]) {
			ring = append(ring, orb.Point{-93 + float64(p[0]*s), 42 + float64(p[1]*s)})
		}
		return orb.Polygon{ring}
	}
	square := at(orb.Point{0, 0}, orb.Point{1, 0}, orb.Point{1, 1}, orb.Point{0, 1})
	for name, c := range map[string]struct {
		polygon orb.Polygon
		enough  float64
		low     float64 // of the center, in squares from the south
		high    float64
		ok      bool
	}{
		"square":              {square, 40, 0.5, 0.5, true},
		"square, not so much": {square, 42, 0, 0, false},
		"high triangle":       {at(orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{0, 4}), 60, 0.5, 2, true},
		"low arm":             {at(orb.Point{0, 0}, orb.Point{3, 0}, orb.Point{3, 1}, orb.Point{0.1, 1}, orb.Point{0.1, 3}, orb.Point{0, 3}), 30, 0.2, 0.8, true},
		"high arm":            {at(orb.Point{0, 0}, orb.Point{0.1, 0}, orb.Point{0.1, 2}, orb.Point{3, 2}, orb.Point{3, 3}, orb.Point{0, 3}), 30, 2.2, 2.8, true},
		"needle":              {at(orb.Point{0, 0}, orb.Point{0.01, 0}, orb.Point{0.01, 9}), 3, 0, 0, false},
		"nothing":             {nil, 1, 0, 0, false},
	} {
		center, radius, ok := roomyCircle(c.polygon, c.enough)
		if y := (center[1] - 42) / s; ok != c.ok || ok && (y < c.low-1e-9 || y > c.high+1e-9 || float64(radius/unit.Meter) < c.enough) {
			t.Errorf("%s: got %v of %v, %v; want %v with a height from %v to %v", name, center, radius, ok, c.ok, c.low, c.high)
		}
	}
}
