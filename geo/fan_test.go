package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// wedge is the i-th of n wedges around the corner, of a pie 10 cells in radius.
func wedge(i, n int) orb.Ring {
	rim := func(i int) orb.Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		return at(10*cos, 10*sin)
	}
	return orb.Ring{at(0, 0), rim(i), rim(i + 1), at(0, 0)}
}

// Where many zones meet at one vertex, their edges cancel as everywhere, on both sides
// of the number from which they are sorted first.
func TestPie(t *testing.T) {
	for _, n := range []int{5, 31, 32, 33, 40, 100} {
		s := &Shapes{}
		for i := range n {
			s.Append(orb.MultiPolygon{{wedge(i, n)}})
		}
		o := outline(t, s)
		if o.Method != byEdges || len(o.Polygons) != 1 || len(o.Polygons[0]) != 1 || len(o.Polygons[0][0]) != n+1 {
			t.Errorf("%d wedges: %s makes %d polygons, %v; want one ring of the rim", n, o.Method, len(o.Polygons), o.Polygons)
		}
		if err := sane(s, o); err != nil {
			t.Errorf("%d wedges: %v", n, err)
		}
		if list, _, more, err := mesh(t, s).Overlaps(10); len(list) > 0 || more > 0 || err != nil {
			t.Errorf("%d wedges overlap: %v %v", n, list, err)
		}
	}
}

// A wedge that stands twice is found, though all wedges share a vertex.
func TestPieWithAWedgeTwice(t *testing.T) {
	for _, n := range []int{31, 32, 33, 40} {
		s := &Shapes{}
		for _, i := range []int{5, 5} {
			s.Append(orb.MultiPolygon{{wedge(i, n)}})
		}
		for i := range n {
			if i != 5 {
				s.Append(orb.MultiPolygon{{wedge(i, n)}})
			}
		}
		list, total, more, err := mesh(t, s).Overlaps(10)
		if err != nil || len(list) != 1 || more != 0 || list[0].A != 0 || list[0].B != 1 {
			t.Fatalf("%d wedges: got %v, %d more, %v; want 0 and 1", n, list, more, err)
		}
		want, err := AreaOf(orb.MultiPolygon{{wedge(5, n)}})
		if err != nil || math.Abs(float64(total-want)) > 1e-6*float64(want) {
			t.Errorf("%d wedges: %v twice, want %v (%v)", n, total, want, err)
		}
	}
}
