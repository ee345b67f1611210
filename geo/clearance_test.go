package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
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
