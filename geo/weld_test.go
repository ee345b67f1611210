package geo

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// grid makes cells of about 11 m, row by row, whose corners are off by as many degrees.
func grid(wide, high int, off float64) *Shapes {
	random := rand.New(rand.NewPCG(3, 5))
	at := func(x, y int) orb.Point {
		return orb.Point{-96 + float64(1e-4*float64(x)) + float64(off*random.Float64()), 41 + float64(1e-4*float64(y)) + float64(off*random.Float64())}
	}
	s := &Shapes{}
	for y := range high {
		for x := range wide {
			start := at(x, y)
			s.Append(orb.MultiPolygon{{{start, at(x+1, y), at(x+1, y+1), at(x, y+1), start}}})
		}
	}
	return s
}

// Vertices of some records that come from those of the layer are those that are found
// anew, where corners are exact. Where they are off by millimeters they don't come from there.
func TestWeldedFromTheLayer(t *testing.T) {
	for _, off := range []float64{0, 1e-8} {
		s := grid(40, 30, off)
		m := mesh(t, s)
		for _, step := range []int32{1, 2, 7} {
			var records []int32
			for i := int32(0); i < int32(s.Len()); i += step {
				records = append(records, i)
			}
			part := pick(s, records)
			want := mesh(t, part)
			sub, keep := m.within(records)
			if ok := sub != nil; ok != (off == 0) {
				t.Fatalf("off by %g, every %d: got %t", off, step, ok)
			}
			if sub == nil {
				continue
			}
			var vertex []int32
			for i := range s.Len() {
				for at, to := s.PointsOf(i); keep(i) && at < to; at++ {
					vertex = append(vertex, sub.at(at))
				}
			}
			for i, v := range sub.first {
				if part.Points[want.first[i]] != s.Points[v] || sub.site(int32(i)).lon != want.sites[i].lon {
					t.Fatalf("every %d: vertex %d stands elsewhere", step, i)
				}
			}
			if !slices.Equal(vertex, want.vertex) || len(sub.first) != len(want.first) {
				t.Errorf("every %d: other vertices", step)
			}
		}
	}
	if sub, _ := mesh(t, grid(40, 30, 0)).within([]int32{5}); sub != nil {
		t.Error("one record of many is found by all vertices of the layer")
	}
}

// Points that equal one shortly before have the vertex that a look-up finds.
func TestWeldLooksBack(t *testing.T) {
	for _, off := range []float64{0, 1e-8} {
		s := grid(20, 20, off)
		extent, scale := s.Extent(), lonLatOptions(s).Scale
		vertex, first := weld(s.Points, plane{extent.Min, scale}, extent, 0.003)
		w := newWelder(s.Points, plane{extent.Min, scale}, extent, 0.003)
		for i, p := range s.Points {
			if v := w.number(int32(i), p); v != vertex[i] {
				t.Fatalf("off by %g, point %d: vertex %d, want %d", off, i, vertex[i], v)
			}
		}
		if !slices.Equal(first, w.first) {
			t.Errorf("off by %g: other first points", off)
		}
	}
}
