package geo

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// ring makes a closed ring from x, y pairs.
func ring(xy ...float64) orb.Ring {
	var r orb.Ring
	for i := 0; i < len(xy); i += 2 {
		r = append(r, orb.Point{xy[i], xy[i+1]})
	}
	return append(r, r[0])
}

func box(x0, y0, x1, y1 float64) orb.Ring { return ring(x0, y0, x1, y0, x1, y1, x0, y1) }

func TestRingProblems(t *testing.T) {
	for _, c := range []struct {
		name  string
		shape orb.MultiPolygon
		want  []string // "ring rule x y"
	}{
		{"square", orb.MultiPolygon{{box(0, 0, 4, 4)}}, nil},
		{"clockwise, with repeated points", orb.MultiPolygon{{ring(0, 0, 0, 0, 0, 4, 4, 4, 4, 4, 4, 0)}}, nil},
		// 3---2    a bow-tie
		//  \ /
		//   x
		//  / \
		// 0---1 is walked 0 1 3 2
		{"bow-tie", orb.MultiPolygon{{ring(0, 0, 4, 4, 0, 4, 4, 0)}}, []string{"0 self-crossing 2 2"}},
		{"star of five points, which turns one way", orb.MultiPolygon{{ring(0, 10, 6, -8, -9, 4, 9, 4, -6, -8)}}, []string{"0 self-crossing 2 4"}},
		//  +-----+
		//  |     |
		//  |     2----3    2 to 3 and back to 2
		//  0-----1
		{"spike outward", orb.MultiPolygon{{ring(0, 0, 4, 0, 4, 2, 8, 2, 4, 2, 4, 4, 0, 4)}}, []string{"0 spike 8 2"}},
		{"spike along an edge", orb.MultiPolygon{{ring(0, 0, 8, 0, 4, 0, 4, 4, 0, 4)}}, []string{"0 spike 8 0"}},
		{"spike at the start", orb.MultiPolygon{{ring(8, 0, 4, 0, 4, 4, 0, 4, 0, 0)}}, []string{"0 spike 8 0"}},
		// +--+
		// |  |
		// +--x--+
		//    |  |
		//    +--+
		{"figure of eight", orb.MultiPolygon{{ring(0, 0, 4, 0, 4, 4, 8, 4, 8, 8, 4, 8, 4, 4, 0, 4)}}, []string{"0 self-touching 4 4"}},
		//     5---+
		// 7-6 |   |
		// | | |   |    from 4 to 5 along the lower edge
		// 0-5=4---1
		{"runs along itself", orb.MultiPolygon{{ring(0, 0, 8, 0, 8, 8, 4, 8, 4, 0, 2, 0, 2, 4, 0, 4)}}, []string{"0 self-crossing 4 0", "0 self-touching 4 0"}},
		{"two points", orb.MultiPolygon{{ring(0, 0, 4, 0)}}, []string{"0 too-few-points 0 0"}},
		{"one point", orb.MultiPolygon{{ring(3, 3, 3, 3, 3, 3)}}, []string{"0 too-few-points 3 3"}},
		{"no points", orb.MultiPolygon{{{}}}, []string{"0 too-few-points 0 0"}},
		{"on a line", orb.MultiPolygon{{ring(0, 0, 4, 4, 8, 8, 2, 2)}}, []string{"0 zero-area 0 0"}},
		{"open", orb.MultiPolygon{{{{0, 0}, {4, 0}, {4, 4}, {0, 4}}}}, []string{"0 open-ring 0 4"}},
		{"not a number", orb.MultiPolygon{{ring(0, 0, math.NaN(), 0, 4, 4)}}, []string{"0 not-finite 0 0"}},
		{"infinite in a cell", orb.MultiPolygon{{box(0, 0, math.Inf(1), 4)}}, []string{"0 not-finite 0 0"}},
		{"hole", orb.MultiPolygon{{box(0, 0, 9, 9), box(2, 2, 4, 4)}}, nil},
		{"hole that touches its shell", orb.MultiPolygon{{box(0, 0, 9, 9), ring(0, 4, 2, 3, 2, 5)}}, nil},
		{"hole outside", orb.MultiPolygon{{box(0, 0, 9, 9), box(12, 2, 14, 4)}}, []string{"1 hole-outside 12 2"}},
		{"hole below its shell", orb.MultiPolygon{{box(0, 0, 9, 9), box(2, -4, 4, -2)}}, []string{"1 hole-outside 2 -4"}},
		{"hole around its shell", orb.MultiPolygon{{box(2, 2, 4, 4), box(0, 0, 9, 9)}}, []string{"1 hole-outside 0 0"}},
		{"hole across its shell", orb.MultiPolygon{{box(0, 0, 9, 9), box(5, 2, 12, 4)}}, []string{"1 hole-outside 9 2"}},
		{"hole along its shell", orb.MultiPolygon{{box(0, 0, 9, 9), box(0, 2, 4, 4)}}, []string{"1 hole-outside 0 4"}},
		{"holes cross", orb.MultiPolygon{{box(0, 0, 9, 9), box(2, 2, 5, 5), box(4, 4, 7, 7)}}, []string{"2 holes-overlap 5 4"}},
		{"hole in a hole", orb.MultiPolygon{{box(0, 0, 9, 9), box(2, 2, 7, 7), box(4, 4, 5, 5)}}, []string{"2 holes-overlap 4 4"}},
		{"hole around a hole", orb.MultiPolygon{{box(0, 0, 9, 9), box(4, 4, 5, 5), box(2, 2, 7, 7)}}, []string{"2 holes-overlap 4 4"}},
		{"hole twice", orb.MultiPolygon{{box(0, 0, 9, 9), box(2, 2, 4, 4), ring(4, 2, 2, 2, 2, 4, 4, 4)}}, []string{"2 repeated-ring 2 2"}},
		{"polygon twice", orb.MultiPolygon{{box(0, 0, 9, 9)}, {box(0, 0, 9, 9)}}, []string{"1 repeated-ring 0 0"}},
		// +-------+
		// |  /\   |
		// |<|  |> |   the hole touches both sides: two pieces
		// |  \/   |
		// +-------+
		{"hole cuts through", orb.MultiPolygon{{box(0, 0, 8, 8), ring(0, 4, 4, 2, 8, 4, 4, 6)}}, []string{"0 cut-through 0 4"}},
		{"second polygon is the bad one", orb.MultiPolygon{{box(0, 0, 4, 4), box(1, 1, 2, 2)}, {ring(10, 0, 14, 4, 10, 4, 14, 0)}}, []string{"2 self-crossing 12 2"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			{
				s := &Shapes{}
				s.Append(nil)
				s.Append(c.shape)
				list, more := RingProblems(s, 100)
				var got []string
				for _, p := range list {
					if p.Record != 1 {
						t.Errorf("record %d", p.Record)
					}
					got = append(got, fmt.Sprintf("%d %s %g %g", p.Ring, p.Rule, p.Place[0], p.Place[1]))
				}
				slices.Sort(got)
				if !slices.Equal(got, c.want) || more != 0 {
					t.Errorf("got %q, want %q", got, c.want)
				}
				if valid := Valid(c.shape) == nil; valid != (c.want == nil) && c.name != "polygon twice" {
					t.Errorf("the outside validator says %v", valid)
				}
			}
		})
	}
}

func TestRingProblemsAreCapped(t *testing.T) {
	s := &Shapes{}
	for range 10 {
		s.Append(orb.MultiPolygon{{ring(0, 0, 4, 4, 0, 4, 4, 0)}})
	}
	list, more := RingProblems(s, 3)
	if len(list) != 3 || more != 7 {
		t.Errorf("got %d and %d more, want 3 and 7", len(list), more)
	}
}

// bigRing has n vertices on a wavy circle around a point.
func bigRing(n int, x, y, radius float64) orb.Ring {
	var r orb.Ring
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := radius * (1 + 0.1*math.Sin(float64(i)*0.003))
		r = append(r, orb.Point{x + d*cos, y + d*sin})
	}
	return append(r, r[0])
}

func manyHoles(side int) orb.Polygon {
	p := orb.Polygon{box(0, 0, float64(side), float64(side))}
	for i := range side * side {
		x, y := float64(i%side), float64(i/side)
		p = append(p, box(x+0.2, y+0.2, x+0.7, y+0.7))
	}
	return p
}

// Not timed, but a quadratic search would take minutes and be noticed.
func TestLargeRings(t *testing.T) {
	broken := bigRing(100_000, 0, 0, 1)
	broken[70_000] = orb.Point{0.5, 1.5}
	holes := manyHoles(100)
	shifted := manyHoles(100)
	for i := range shifted[5000] {
		shifted[5000][i][0] += 0.4
	}
	for _, c := range []struct {
		name string
		p    orb.Polygon
		want int
	}{
		{"100 000 vertices", orb.Polygon{bigRing(100_000, 0, 0, 1)}, 0},
		{"100 000 vertices, one astray", orb.Polygon{broken}, 1},
		{"10 000 holes", holes, 0},
		{"10 000 holes, one astray", shifted, 1},
	} {
		s := &Shapes{}
		s.Append(orb.MultiPolygon{c.p})
		list, _ := RingProblems(s, 10)
		if len(list) != c.want {
			t.Errorf("%s: got %v, want %d problems", c.name, list, c.want)
		}
	}
}

func BenchmarkRingProblems(b *testing.B) {
	cells := squareGrid(1_000_000)
	vertices, holes := &Shapes{}, &Shapes{}
	vertices.Append(orb.MultiPolygon{{bigRing(100_000, 0, 0, 1)}})
	holes.Append(orb.MultiPolygon{manyHoles(100)})
	for _, c := range []struct {
		name string
		s    *Shapes
	}{{"1000000cells", cells}, {"100000vertices", vertices}, {"10000holes", holes}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if list, _ := RingProblems(c.s, 1); list != nil {
					b.Fatal(list)
				}
			}
		})
	}
}
