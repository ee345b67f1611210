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
		{"nor one of a narrow strip, which sees its neighbor's edge from within", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(0.98, 0, 1.02, 1)}}}, 0, 0, 0},
		{"nor a strip on a zone", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(0.96, 0.2, 0.98, 0.8)}}}, 0, 0, 0},
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
				if math.Abs(unit.Meters(g.Width)-c.width) > 0.01*c.width || math.Abs(unit.Meters(g.Length)-c.length) > 0.02*c.length {
					t.Errorf("%.4f by %.3f m, want %.4f by %.3f", unit.Meters(g.Width), unit.Meters(g.Length), c.width, c.length)
				}
				if math.Abs(float64(g.Area/unit.SquareMeter)-c.width*c.length) > 0.03*c.width*c.length {
					t.Errorf("%v m2", float64(g.Area/unit.SquareMeter))
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

// A thin strip between two zones has a gap on either side; each ends at what comes
// first.
func TestGapsBesideAThinStrip(t *testing.T) {
	for _, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {1, 0, 2}, {2, 0, 1}} {
		zones := []orb.Ring{cells(0, 0, 1, 1), cells(1.02, 0, 1.03, 1), cells(1.045, 0, 2, 1)}
		s := &Shapes{}
		for _, i := range order {
			s.Append(orb.MultiPolygon{{zones[i]}})
		}
		gaps := mesh(t, s).Gaps(0.5 * unit.Meter)
		if len(gaps) != 2 {
			t.Fatalf("%v: got %v, want two", order, gaps)
		}
		wide, narrow := unit.Meters(max(gaps[0].Width, gaps[1].Width)), unit.Meters(min(gaps[0].Width, gaps[1].Width))
		if math.Abs(wide-0.02*10.24) > 0.002 || math.Abs(narrow-0.015*10.24) > 0.002 {
			t.Errorf("%v: %.4f and %.4f m wide, want 0.2048 and 0.1536", order, wide, narrow)
		}
	}
}

// An edge counts as far as it goes, not the line that it lies on: from the middle of
// the slanted edge of the lower zone nothing is in sight, though the line of the other
// zone's lower edge, at 45° to it nearly, comes by half a meter beyond its end.
func TestGapsEndWithTheirEdges(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{ring(5, -5, -5, 5, -5, -5)}})
	s.Append(orb.MultiPolygon{{ring(0, 0.25, 0.45, 0.475, 0.45, 8, -1, 8)}})
	m, err := NewMesh(s, drawnLayer(t, s))
	if err != nil {
		t.Fatal(err)
	}
	if gaps := m.Gaps(1 * unit.Meter); len(gaps) != 0 {
		t.Errorf("got %v, want none", gaps)
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
