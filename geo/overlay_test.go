package geo

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

func toLength(meters float64) unit.Length { return unit.Length(meters) * unit.Meter }

// 0..4 and 2..6 squared: worked by hand.
func TestOverlay(t *testing.T) {
	a, b := orb.MultiPolygon{{box(0, 0, 4, 4)}}, orb.MultiPolygon{{box(2, 2, 6, 6)}}
	far := orb.MultiPolygon{{box(4, 0, 8, 4)}} // touches a along an edge
	union := func(a, b orb.MultiPolygon) (orb.MultiPolygon, error) { return Union(a, b) }
	for _, c := range []struct {
		name string
		op   func(a, b orb.MultiPolygon) (orb.MultiPolygon, error)
		a, b orb.MultiPolygon
		want float64
		n    int
	}{
		{"union", union, a, b, 28, 1},
		{"intersection", Intersect, a, b, 4, 1},
		{"difference", Subtract, a, b, 12, 1},
		{"difference with a hole", Subtract, a, orb.MultiPolygon{{box(1, 1, 2, 2)}}, 15, 1},
		{"nothing left", Subtract, a, a, 0, 0},
		{"an edge is no ground", Intersect, a, far, 0, 0},
		// +-+   +-+
		// |b+---+-|   b lies on one arm of the U and along the other
		// | +---+ |
		// +-------+
		{"ground and an edge", Intersect, orb.MultiPolygon{{ring(0, 0, 6, 0, 6, 4, 4, 4, 4, 2, 2, 2, 2, 4, 0, 4)}}, orb.MultiPolygon{{box(1, 3, 4, 5)}}, 1, 1},
		{"ground and a corner", Intersect, orb.MultiPolygon{{box(0, 0, 2, 2)}, {box(4, 4, 6, 6)}}, orb.MultiPolygon{{box(1, 1, 4, 4)}}, 1, 1},
		{"side by side", union, a, far, 32, 1},
		{"with nothing", union, a, nil, 16, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.op(c.a, c.b)
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for _, p := range got {
				for i, r := range p {
					area, _ := flatRing(r)
					if (area > 0) != (i == 0) {
						t.Error("a ring winds the wrong way")
					}
					sum += area
				}
			}
			if sum != c.want || len(got) != c.n {
				t.Errorf("got %v of %g, want %d of %g", got, sum, c.n, c.want)
			}
		})
	}
}

func TestOverlayNeverPanics(t *testing.T) {
	bow := orb.MultiPolygon{{ring(0, 0, 4, 4, 0, 4, 4, 0)}}
	bad := orb.MultiPolygon{{{{0, 0}}}, {{{0, 0}, {math.NaN(), 1}, {1, 1}, {0, 0}}}}
	for _, mp := range []orb.MultiPolygon{bow, bad, {{}}, {{nil}}} {
		if _, err := Union(mp, bow); err != nil {
			var e *overlayError
			if !errors.As(err, &e) || e.Operation != "union" {
				t.Errorf("%v: got %v", mp, err)
			}
		}
	}
}

func TestValidGivesThePlace(t *testing.T) {
	for _, c := range []struct {
		name    string
		mp      orb.MultiPolygon
		polygon int
		place   orb.Point
	}{
		{"bow-tie", orb.MultiPolygon{{box(9, 9, 10, 10)}, {ring(0, 0, 4, 4, 0, 4, 4, 0)}}, 1, orb.Point{2, 2}},
		{"polygons share an edge", orb.MultiPolygon{{box(0, 0, 4, 4)}, {box(4, 0, 8, 4)}}, -1, orb.Point{4, 0}},
	} {
		var bad *invalidError
		if err := Valid(c.mp); !errors.As(err, &bad) || bad.Polygon != c.polygon {
			t.Errorf("%s: got %v", c.name, err)
			continue
		}
		if d := distance2(bad.Place, c.place); d > 16 {
			t.Errorf("%s: at %v, want near %v", c.name, bad.Place, c.place)
		}
	}
	if err := Valid(orb.MultiPolygon{{box(0, 0, 4, 4)}, {box(4, 4, 8, 8)}}); err != nil {
		t.Errorf("corner touch: %v", err)
	}
}

func TestInteriorPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for i := range 300 {
		mp := orb.MultiPolygon{{blob(r, 40, 5, 3+r.IntN(5))}, {blob(r, 40, 300, 3+r.IntN(30))}}
		p := InteriorPoint(mp)
		if !covers(mp[1:], p) {
			t.Fatalf("shape %d: %v is not in the larger part", i, p)
		}
		if _, clear := clearance(mp[1], p, 0.766, 1e-12, math.Inf(1)); !clear { // a tenth of a meter
			t.Errorf("shape %d: %v is at the border", i, p)
		}
	}
	frame := orb.MultiPolygon{{box(0, 0, 9, 9), box(1, 1, 8, 8)}}
	if p := InteriorPoint(frame); !covers(frame, p) {
		t.Errorf("%v is in the hole", p)
	}
	if p := InteriorPoint(nil); p != (orb.Point{}) {
		t.Errorf("of nothing: %v", p)
	}
}

func BenchmarkBricks(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := shiftRows(squareGrid(n))
			b.ResetTimer()
			for b.Loop() {
				outline(b, s)
			}
		})
	}
}

func BenchmarkNoise(b *testing.B) {
	s := noisy(rand.New(rand.NewPCG(1, 2)), squareGrid(1_000_000), 1e-9)
	for b.Loop() {
		outline(b, s)
	}
}

func BenchmarkCheckerboard(b *testing.B) {
	s := gridLayer(1000, 1000, func(c, r int) bool { return (c+r)%2 == 0 })
	for b.Loop() {
		outline(b, s)
	}
}

// A star whose spikes are all narrower than what is taken off both their sides would take minutes
// to narrow; a comb of as many edges, whose sides meet their neighbors alone, is narrowed.
func TestTangledGroundIsNotNarrowed(t *testing.T) {
	var star orb.Ring
	for i := range 1201 {
		sin, cos := math.Sincos(math.Pi * float64(i%1200) / 600)
		far := []float64{700, 5}[i%2]
		star = append(star, orb.Point{far * cos, far * sin})
	}
	if _, err := Widened(orb.MultiPolygon{{star}}, -10); err == nil || !strings.Contains(err.Error(), "10.0 m beside its edges crosses itself") {
		t.Errorf("a star: %v", err)
	}
	comb := orb.Ring{{0, 0}, {16 * 150, 0}}
	for i := 149; i >= 0; i-- {
		x := float64(16 * i)
		comb = append(comb, orb.Point{x + 16, 40}, orb.Point{x + 8, 40}, orb.Point{x + 8, 400}, orb.Point{x, 400}, orb.Point{x, 40})
	}
	comb = append(comb, comb[0])
	// what is left of its back, 40 m high, is 20 m high: hardly more beside the teeth
	mp, err := Widened(orb.MultiPolygon{{comb}}, -10)
	if err != nil || len(mp) != 1 {
		t.Fatalf("a comb: %v, %d polygons", err, len(mp))
	}
	area, _ := flatRing(mp[0][0])
	if got, want := math.Abs(area), 20.*(16*150-20); got < want || got > 1.05*want {
		t.Errorf("a comb: %.0f m², want %.0f or a little more", got, want)
	}
}

// Ground that has no room for what is taken off all its sides is left out, also where these would cross
// too often. What has hardly more room is narrowed: a circle in the corner of four cells, as wide as
// would be held against a distance of 10.3 m, whose spikes begin the grid.
func TestGroundWithoutRoomIsLeftOut(t *testing.T) {
	var star, round orb.Ring
	for i := range 2401 {
		sin, cos := math.Sincos(math.Pi * float64(i%2400) / 1200)
		far := []float64{80, 5}[i%2]
		star = append(star, orb.Point{far * cos, far * sin})
		if far = 10.2; i == 1200 || i == 1800 { // to the left, and down
			far = 2 * 10.3 * math.Sqrt2 / 2
		}
		round = append(round, orb.Point{far * cos, far * sin})
	}
	if mp, err := Widened(orb.MultiPolygon{{star}}, -10); err != nil || len(mp) != 0 {
		t.Errorf("a star of spikes: %v, %d polygons", err, len(mp))
	}
	mp, err := Widened(orb.MultiPolygon{{star}, {round}}, -10)
	if err != nil || len(mp) != 1 {
		t.Fatalf("a circle of 10.2 m beside it: %v, %d polygons", err, len(mp))
	}
	if area, _ := flatRing(mp[0][0]); math.Abs(area) > 0.04*math.Pi {
		t.Errorf("a circle of 10.2 m: %.3f m² are left", area)
	}
}
