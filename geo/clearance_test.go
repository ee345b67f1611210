package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
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
		if got, more := clearance(orb.Polygon{ring}, p, 0.5, -1); got != want || !more {
			t.Fatalf("%v from %v: got %g, want %g", p, ring, got, want)
		}
		if _, more := clearance(orb.Polygon{ring}, p, 0.5, want); more {
			t.Fatalf("%v from %v: more than %g", p, ring, want)
		}
	}
}
