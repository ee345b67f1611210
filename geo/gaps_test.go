package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// Widths are in shares of a cell, which is 10.24 m wide and 9.99 m high here.
func TestGaps(t *testing.T) {
	limit := 0.5 * unit.Meter
	for _, c := range []struct {
		name   string
		shapes []orb.MultiPolygon
		want   int
		width  float64 // meters
		length float64
	}{
		{"none", []orb.MultiPolygon{{cell(0, 0)}, {cell(1, 0)}}, 0, 0, 0},
		// +---+ +---+
		// | 0 | | 1 |   a slit, open above and below
		// +---+ +---+
		{"slit", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(1.02, 0, 2, 1)}}}, 1, 0.02 * 10.24, 9.99},
		{"too wide to be a slip", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(1.06, 0, 2, 1)}}}, 0, 0, 0},
		{"narrower than the tolerance", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(1.0001, 0, 2, 1)}}}, 0, 0, 0},
		{"narrow hole", []orb.MultiPolygon{{{cells(0, 0, 9, 9), cells(2, 3, 7, 3.03)}}}, 1, 0.03 * 9.99, 5 * 10.24},
		{"honest hole", []orb.MultiPolygon{{{cells(0, 0, 9, 9), cells(2, 3, 7, 4)}}}, 0, 0, 0},
		{"an overlap is no gap", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(0.98, 0, 2, 1)}}}, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Shapes{}
			for _, mp := range c.shapes {
				s.Append(mp)
			}
			gaps := mesh(t, s).Gaps(limit)
			if len(gaps) != c.want {
				t.Fatalf("got %v, want %d", gaps, c.want)
			}
			for _, g := range gaps {
				if math.Abs(g.Width.Meters()-c.width) > 0.01*c.width || math.Abs(g.Length.Meters()-c.length) > 0.02*c.length {
					t.Errorf("%.4f by %.3f m, want %.4f by %.3f", g.Width.Meters(), g.Length.Meters(), c.width, c.length)
				}
				if math.Abs(g.Area.SquareMeters()-c.width*c.length) > 0.03*c.width*c.length {
					t.Errorf("%v m2", g.Area.SquareMeters())
				}
				if covers(mustUnion(s), g.Place) {
					t.Errorf("%v is covered", g.Place)
				}
				if g.B != s.Len()-1 || g.A != 0 {
					t.Errorf("between %d and %d", g.A, g.B)
				}
			}
		})
	}
}

func TestCleanLayersHaveNoGaps(t *testing.T) {
	for _, l := range cleanLayers {
		for seed := range uint64(20) {
			r := rand.New(rand.NewPCG(seed, 13))
			if gaps := mesh(t, shuffled(r, l.make(r))).Gaps(0.5 * unit.Meter); len(gaps) > 0 {
				t.Errorf("%s, layer %d: %v", l.name, seed, gaps)
			}
		}
	}
}
