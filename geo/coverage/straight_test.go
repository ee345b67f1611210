package coverage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// Points are dropped where they lie within two millimeters of the line that is left, and only then:
// a line of noise below that is its two ends, and of a zigzag above it each corner is kept.
func TestStraightened(t *testing.T) {
	aside := func(p, a, b orb.Point) float64 {
		x, y := b[0]-a[0], b[1]-a[1]
		at := 0.0
		if d := x*x + y*y; d > 0 {
			at = min(max(((p[0]-a[0])*x+(p[1]-a[1])*y)/d, 0), 1)
		}
		return math.Hypot(p[0]-a[0]-at*x, p[1]-a[1]-at*y)
	}
	r := rand.New(rand.NewPCG(1, 4))
	dropped := 0
	for range 400 {
		chain := []orb.Point{{100, 50}}
		heading, bend, noise := 7*r.Float64(), 0.02*r.NormFloat64(), 0.003*r.Float64()
		for range 3 + r.IntN(60) {
			heading += bend
			last, step := chain[len(chain)-1], 0.5*r.Float64()
			chain = append(chain, orb.Point{last[0] + step*math.Cos(heading) + noise*r.NormFloat64(), last[1] + step*math.Sin(heading) + noise*r.NormFloat64()})
		}
		out := straightened(chain)
		if out[0] != chain[0] || out[len(out)-1] != chain[len(chain)-1] {
			t.Fatalf("the ends are %v", out)
		}
		k := 0
		for _, p := range chain[1 : len(chain)-1] {
			if p == out[k+1] {
				k++
				continue
			}
			if off := aside(p, out[k], out[k+1]); off > 0.002*(1+1e-6) {
				t.Fatalf("a point %.4f m aside is dropped", off)
			}
			dropped++
		}
		if k != len(out)-2 {
			t.Fatal("a point is left that was none, or out of order")
		}
	}
	if dropped < 1000 {
		t.Errorf("%d points are dropped", dropped)
	}
	zigzag := func(aside float64) (chain []orb.Point) {
		for i := range 50 {
			chain = append(chain, orb.Point{float64(i), aside * float64(i%2*2-1)})
		}
		return chain
	}
	if n := len(straightened(zigzag(0.0009))); n != 2 {
		t.Errorf("noise of 1 mm leaves %d points", n)
	}
	if n := len(straightened(zigzag(0.003))); n != 50 {
		t.Errorf("a zigzag of 3 mm leaves %d points", n)
	}
	back := []orb.Point{{0, 0}, {5, 0}, {2, 0}, {9, 0}} // to and fro on one line
	if n := len(straightened(back)); n != 4 {
		t.Errorf("a line to and fro leaves %d points", n)
	}
}
