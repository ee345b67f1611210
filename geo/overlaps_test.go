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

// near the corner, x and y in steps of a cell
func at(x, y float64) orb.Point {
	return orb.Point{corner[0] + x*cellSize[0], corner[1] + y*cellSize[1]}
}

func cells(x0, y0, x1, y1 float64) orb.Ring {
	a, b := at(x0, y0), at(x1, y1)
	return box(a[0], a[1], b[0], b[1])
}

func mesh(t testing.TB, s *Shapes) *Mesh {
	t.Helper()
	m, err := NewMesh(s, lonLatOptions(s))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// What two rectangles share is a rectangle: its acres are worked out by hand.
func TestOverlaps(t *testing.T) {
	frame := orb.Polygon{cells(0, 0, 10, 10), cells(2, 2, 8, 8)}
	lShape := func(x, y float64) orb.Polygon {
		return orb.Polygon{ring(flat(at(x, y), at(x+4, y), at(x+4, y+2), at(x+2, y+2), at(x+2, y+4), at(x, y+4))...)}
	}
	for _, c := range []struct {
		name   string
		shapes []orb.MultiPolygon
		want   []orb.MultiPolygon // the ground of each overlap
		pairs  string
	}{
		{"side by side", []orb.MultiPolygon{{{cells(0, 0, 4, 4)}}, {{cells(4, 0, 8, 4)}}}, nil, ""},
		{"one across the other", []orb.MultiPolygon{{{cells(0, 0, 4, 4)}}, {{cells(3, 1, 8, 3)}}}, []orb.MultiPolygon{{{cells(3, 1, 4, 3)}}}, "0-1"},
		{"one in the other", []orb.MultiPolygon{{{cells(0, 0, 4, 4)}}, nil, {{cells(1, 1, 2, 2)}}}, []orb.MultiPolygon{{{cells(1, 1, 2, 2)}}}, "0-2"},
		{"the same twice", []orb.MultiPolygon{{{cells(0, 0, 4, 4)}}, {{cells(0, 0, 4, 4)}}}, []orb.MultiPolygon{{{cells(0, 0, 4, 4)}}}, "0-1"},
		{"within one record", []orb.MultiPolygon{{{cells(0, 0, 4, 4)}, {cells(3, 3, 5, 5)}}}, []orb.MultiPolygon{{{cells(3, 3, 4, 4)}}}, "0-0"},
		{"in the hole", []orb.MultiPolygon{{frame}, {{cells(2, 2, 8, 8)}}}, nil, ""},
		{"over the hole", []orb.MultiPolygon{{frame}, {{cells(1, 3, 9, 4)}}}, []orb.MultiPolygon{{{cells(1, 3, 2, 4)}, {cells(8, 3, 9, 4)}}}, "0-1"},
		{"neither is convex", []orb.MultiPolygon{{lShape(0, 0)}, {lShape(1, 1)}}, []orb.MultiPolygon{{lShapeCommon()}}, "0-1"},
		// The outer one hides the cells' own edges, which cancel.
		{"one over four cells", []orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(1, 0, 2, 1)}}, {{cells(0, 0, 2, 1)}}},
			[]orb.MultiPolygon{{{cells(0, 0, 1, 1)}}, {{cells(1, 0, 2, 1)}}}, "0-2 1-2"},
		{"less than the tolerance", []orb.MultiPolygon{{{cells(0, 0, 4, 4)}}, {{cells(3.9999, 0, 8, 4)}}}, nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Shapes{}
			for _, mp := range c.shapes {
				s.Append(mp)
			}
			list, total, more, err := mesh(t, s).Overlaps(10)
			if err != nil || more != 0 {
				t.Fatal(more, err)
			}
			pairs, sum := "", unit.Area(0)
			for i, o := range list {
				pairs += fmt.Sprintf(" %d-%d", o.A, o.B)
				if i >= len(c.want) {
					continue
				}
				want, err := AreaOf(c.want[i])
				if err != nil {
					t.Fatal(err)
				}
				if math.Abs(float64(o.Area-want)) > 1e-7*float64(want) {
					t.Errorf("%d-%d: %v, want %v", o.A, o.B, o.Area, want)
				}
				if !covers(c.want[i], o.Place) {
					t.Errorf("%d-%d: %v is not in it", o.A, o.B, o.Place)
				}
				sum += o.Area
			}
			if pairs != "" {
				pairs = pairs[1:]
			}
			if pairs != c.pairs || total != sum {
				t.Errorf("got %q with %v in all, want %q with %v", pairs, total, c.pairs, sum)
			}
		})
	}
}

// lShapeCommon is what the two L shapes share:
//
//	+-+
//	| |        the first's corner is at 0, the second's at 1
//	| +-+
//	+---+
func lShapeCommon() orb.Polygon {
	return orb.Polygon{ring(flat(at(1, 1), at(4, 1), at(4, 2), at(2, 2), at(2, 4), at(1, 4))...)}
}

func flat(points ...orb.Point) (xy []float64) {
	for _, p := range points {
		xy = append(xy, p[0], p[1])
	}
	return xy
}

func covers(mp orb.MultiPolygon, p orb.Point) bool {
	for _, polygon := range mp {
		inside := false
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				a, b := ring[i-1], ring[i]
				if (a[1] <= p[1]) != (b[1] <= p[1]) && a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) > p[0] {
					inside = !inside
				}
			}
		}
		if inside {
			return true
		}
	}
	return false
}

// Against the intersections of an outside library, pair by pair.
func TestOverlapsAreTheIntersections(t *testing.T) {
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 11))
		s := &Shapes{}
		for range 2 + r.IntN(6) {
			if r.IntN(2) == 0 {
				s.Append(orb.MultiPolygon{cell(r.IntN(3), r.IntN(3))})
				continue
			}
			s.Append(orb.MultiPolygon{{smallBlob(r)}})
		}
		want := 0.0
		for i := range s.Len() {
			for k := i + 1; k < s.Len(); k++ {
				common, err := Intersect(s.Shape(i), s.Shape(k))
				if err != nil {
					t.Fatal(err)
				}
				area, err := AreaOf(common)
				if err != nil {
					t.Fatal(err)
				}
				want += float64(area / unit.SquareMeter)
			}
		}
		_, total, _, err := mesh(t, s).Overlaps(0)
		// 0.05 m2: vertices within 3 mm of each other became one.
		if err != nil || math.Abs(float64(total/unit.SquareMeter)-want) > 0.05 {
			t.Fatalf("layer %d: %v (%v), want %.4f m2", seed, float64(total/unit.SquareMeter), err, want)
		}
	}
}

func smallBlob(r *rand.Rand) orb.Ring {
	b := blob(r, 40, 12, 3+r.IntN(9))
	c := middle(b)
	to := at(3*r.Float64(), 3*r.Float64())
	for i := range b {
		b[i][0], b[i][1] = b[i][0]-c[0]+to[0], b[i][1]-c[1]+to[1]
	}
	return b
}

func TestCleanLayersHaveNoOverlaps(t *testing.T) {
	for _, l := range cleanLayers {
		for seed := range uint64(20) {
			r := rand.New(rand.NewPCG(seed, 12))
			list, total, more, err := mesh(t, shuffled(r, l.make(r))).Overlaps(5)
			if err != nil || list != nil || total != 0 || more != 0 {
				t.Errorf("%s, layer %d: %v %v %d %v", l.name, seed, list, total, more, err)
			}
		}
	}
}

func TestOverlapsAreCapped(t *testing.T) {
	s := &Shapes{}
	for range 5 {
		s.Append(orb.MultiPolygon{cell(0, 0)})
	}
	list, total, more, err := mesh(t, s).Overlaps(3)
	one, _ := AreaOf(s.Shape(0))
	if err != nil || len(list) != 3 || more != 7 || math.Abs(float64(total/one)-10) > 1e-9 {
		t.Errorf("got %d and %d more, %v in all (%v); want 3, 7 and ten cells", len(list), more, total, err)
	}
}

// Layers whose polygons lie on each other by the hundred would cost the square of
// their size; they are refused for the reason at hand.
func TestTangledLayers(t *testing.T) {
	same, steps, along := &Shapes{}, &Shapes{}, &Shapes{}
	for i := range 600 {
		by := float64(i) * 0.01
		same.Append(orb.MultiPolygon{cell(0, 0)})
		steps.Append(orb.MultiPolygon{{cells(by, by, by+10, by+10)}})
		a, b, c := at(by, by), at(by+10, by), at(by+10, by+10) // the slanting edges lie on one line
		along.Append(orb.MultiPolygon{{ring(flat(a, b, c)...)}})
	}
	for name, s := range map[string]*Shapes{"same": same, "steps": steps, "along": along} {
		m := mesh(t, s)
		_, _, _, err := m.Overlaps(10)
		var topology *topologyError
		if !errors.As(err, &topology) || !strings.Contains(topology.Why, "lie on each other") {
			t.Errorf("%s: got %v", name, err)
		}
		if got, want := m.boundary(nil).tangled, name == "along"; got != want {
			t.Errorf("%s: edges tangled %v, want %v", name, got, want)
		}
	}
}

// What a tangled layer costs before it is refused: ten times as large a one should
// take some ten times as long.
func BenchmarkTangled(b *testing.B) {
	for _, n := range []int{600, 6000} {
		s := &Shapes{}
		for range n {
			s.Append(orb.MultiPolygon{cell(0, 0)})
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, _, _, err := mesh(b, s).Overlaps(5); err == nil {
					b.Fatal("the layer was not refused")
				}
			}
		})
	}
}

// The cost of looking for overlaps, on a clean layer and on one that isn't.
func BenchmarkOverlaps(b *testing.B) {
	for _, n := range sizes {
		clean := squareGrid(n)
		one := squareGrid(n)
		one.Append(orb.MultiPolygon{{cells(3.5, 3.5, 6, 6)}})
		for _, c := range []struct {
			name string
			s    *Shapes
		}{{"clean", clean}, {"one", one}} {
			b.Run(fmt.Sprint(c.name, n), func(b *testing.B) {
				m := mesh(b, c.s)
				b.ResetTimer()
				for b.Loop() {
					if _, _, _, err := m.Overlaps(5); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// Two polygons in meters that the overlay gives up on, as a damaged file had them:
// the spike of one is 700 km long and runs along an edge of the other's hole.
func TestOverlapThatIsNotWorkedOut(t *testing.T) {
	shape := orb.MultiPolygon{
		{
			{{696349.4541873913, 5247848.774578575}, {696424.968989804, 5247851.297387485}, {696421.2557995875, 5247962.421378807}, {696345.7424265058, 5247959.898577097}, {696349.4541873913, 5247848.774578575}},
			{{696370.9949780427, 5247882.868516544}, {696370.2525413095, 5247905.093315506}, {696385.3553589578, 5247905.597857143}, {696386.0978528641, 5247883.373058468}, {696370.9949780427, 5247882.868516544}},
		},
		{{{696440.0719496988, 5247851.802065823}, {3.5276363382923e-310, 5246976}, {696462.7263891748, 5247852.559156178}, {696461.6122240326, 5247885.896350869}, {696438.957913196, 5247885.139261161}, {696440.0719496988, 5247851.802065823}}},
	}
	s := &Shapes{}
	s.Append(shape)
	m, err := NewMesh(s, MeshOptions{Tolerance: 0.01, Scale: Scale{X: 1, Y: 1}})
	if err != nil {
		t.Fatal(err)
	}
	_, _, _, err = m.Overlaps(10)
	var overlay *overlayError
	if !errors.As(err, &overlay) {
		t.Fatalf("got %v", err)
	}
	if want := "zones 1 and 1: their intersection can't be worked out: edges lie too close to tell which side is in"; err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}
