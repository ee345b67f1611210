package geo

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"rxsplit/label/unit"
)

// outline dissolves a layer in degrees.
func outline(t testing.TB, s *Shapes) *Outline {
	t.Helper()
	return outlineWith(t, s, lonLatOptions(s))
}

func outlineWith(t testing.TB, s *Shapes, opt MeshOptions) *Outline {
	t.Helper()
	m, err := NewMesh(s, opt)
	if err != nil {
		t.Fatal(err)
	}
	o, err := m.Outline(nil)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// picture makes a layer of the cells that are marked; the lowest row comes last.
func picture(rows ...string) *Shapes {
	s := &Shapes{}
	for i, row := range rows {
		for col, c := range row {
			if c != '.' {
				s.Append(orb.MultiPolygon{cell(col, len(rows)-1-i)})
			}
		}
	}
	return s
}

func TestOutlineShapes(t *testing.T) {
	for _, c := range []struct {
		name string
		s    *Shapes
		want string // per polygon: corners of its rings
	}{
		{"one cell", picture("#"), "4"},
		{"a row keeps its nodes", picture("###"), "8"},
		{"corner touch: two pieces", picture(
			"#.",
			".#"), "4 4"},
		{"hole", picture(
			"###",
			"#.#",
			"###"), "12+4"},
		{"holes that touch at a corner", picture(
			"####",
			"#.##",
			"##.#",
			"####"), "16+4+4"},
		{"hole that touches the border", picture(
			"##.",
			"#.#",
			"###"), "12+4"},
		{"island in a hole", picture(
			"#####",
			"#...#",
			"#.#.#",
			"#...#",
			"#####"), "20+12 4"},
		{"island that touches its lake", picture(
			"#####",
			"#...#",
			"##..#",
			"#.#.#",
			"#####"), "20+12+4"},
		{"nothing", &Shapes{}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := outline(t, c.s)
			if err := sane(c.s, o); err != nil {
				t.Error(err)
			}
			var got []string
			for _, p := range o.Polygons {
				var rings []string
				for _, r := range p {
					rings = append(rings, fmt.Sprint(len(r)-1))
				}
				got = append(got, strings.Join(rings, "+"))
			}
			if g := strings.Join(got, " "); g != c.want {
				t.Errorf("got %q, want %q", g, c.want)
			}
		})
	}
}

// Vertices keep the bits of the one that comes first in the file, and rings start
// at the file's first vertex.
func TestOutlineKeepsTheFirstVertex(t *testing.T) {
	s := picture("##")
	want := s.Points[0]
	second := s.Ring(1)
	for i := range second {
		second[i][1] += 2e-9
	}
	o := outline(t, s)
	if o.Polygons[0][0][0] != want {
		t.Errorf("starts at %v, want %v", o.Polygons[0][0][0], want)
	}
	first := s.Ring(0)
	for _, p := range o.Polygons[0][0] {
		if p[0] == first[1][0] && p[1] != first[1][1] && p[1] != first[2][1] {
			t.Errorf("%v is not a vertex of the first record", p)
		}
	}
	if o.Moved != 2 || math.Abs(unit.Meters(o.MaxMove)-2e-9*111e3) > 1e-5 {
		t.Errorf("moved %d by %v m, want 2 by 0.00022", o.Moved, unit.Meters(o.MaxMove))
	}
	if o.Splits != 0 {
		t.Errorf("%d splits, want none", o.Splits)
	}
}

func TestVerticesBelowTheToleranceVanish(t *testing.T) {
	s := picture("##")
	tiny := 1e-9 // a tenth of a millimeter
	p := gridPoint(1, 1)
	s.Append(orb.MultiPolygon{{ring(p[0], p[1], p[0]+tiny, p[1], p[0], p[1]+tiny)}})
	o := outline(t, s)
	if err := sane(s, o); err != nil {
		t.Error(err)
	}
	if len(o.Polygons) != 1 || len(o.Polygons[0][0]) != 7 {
		t.Errorf("got %v, want the outline of two cells", o.Polygons)
	}
}

// A field of 80 000 cells with an irregular edge, a waterway that
// gets nothing, in the plainest form and in the three forms that break unions.
func bigField(in func(col, row int) bool) *Shapes { return gridLayer(320, 320, in) }

func onField(col, row int) bool {
	x, y := float64(col)-160, float64(row)-160
	edge := 150 + 9*math.Sin(5*math.Atan2(y, x)) + 3*math.Sin(23*math.Atan2(y, x))
	return math.Hypot(x, y)*0.9 < edge
}

// inWaterway is a band that winds across the field and ends inside it twice.
func inWaterway(col, row int) bool {
	mid := 160 + 40*math.Sin(float64(col)/30)
	return col%110 > 20 && math.Abs(float64(row)-mid) < 4
}

func TestBigFieldWithWaterway(t *testing.T) {
	if testing.Short() {
		t.Skip("a minute on slow machines under the race detector")
	}
	r := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct {
		name  string
		s     *Shapes
		exact bool // neighbors share their vertices
	}{
		{"plain", bigField(onField), true},
		{"noise of 1e-9°", noisy(r, bigField(onField), 1e-9), false},
		{"rows shifted", shiftRows(bigField(onField)), true},
		{"touching at corners", bigField(func(col, row int) bool { return onField(col, row) && (col+row)%2 == 0 }), true},
	} {
		t.Run(c.name, func(t *testing.T) {
			treated := func(i int) bool {
				p := bound(c.s.Ring(i)).Center()
				return !inWaterway(int((p[0]-corner[0])/cellSize[0]), int((p[1]-corner[1])/cellSize[1]))
			}
			m, err := NewMesh(c.s, lonLatOptions(c.s))
			if err != nil {
				t.Fatal(err)
			}
			o, err := m.Outline(treated)
			if err != nil {
				t.Fatal(err)
			}
			areas, err := c.s.Areas()
			if err != nil {
				t.Fatal(err)
			}
			var want, all unit.Area
			for i, a := range areas {
				all += a
				if treated(i) {
					want += a
				}
			}
			if want == all {
				t.Fatal("no waterway")
			}
			diff := math.Abs(float64(o.Area - want))
			if c.exact && diff > 1e-8*float64(want) {
				t.Errorf("%v ac, want %v", o.Area, want)
			}
			if diff > float64(o.Bound)+1e-9*float64(want) {
				t.Errorf("%v ac, rings %v: beyond the bound %v", o.Area, want, o.Bound)
			}
			if list := slivers(o.Polygons); len(list) > 0 {
				t.Errorf("%d slivers, the first %v", len(list), list[0])
			}
			if c.name == "touching at corners" {
				return // 40 000 pieces take the outside validator a while
			}
			if err := Valid(o.Polygons); err != nil {
				t.Error(err)
			}
			if len(o.Polygons) != 1 || len(o.Polygons[0]) < 2 {
				t.Errorf("%d polygons, want one with holes", len(o.Polygons))
			}
		})
	}
}

func shiftRows(s *Shapes) *Shapes {
	for i := range s.RingEnds {
		ring := s.Ring(i)
		if int(math.Round((bound(ring).Min[1]-corner[1])/cellSize[1]))%2 == 1 {
			for k := range ring {
				ring[k][0] += cellSize[0] / 2
			}
		}
	}
	return s
}

// slivers returns rings smaller than a tenth of a cell.
func slivers(mp orb.MultiPolygon) (list []orb.Ring) {
	for _, p := range mp {
		for _, r := range p {
			if a, _ := acresOfRing(r); math.Abs(float64(a/unit.SquareMeter)) < 10 {
				list = append(list, r)
			}
		}
	}
	return list
}

// tilted is a made-up projection of a field: meters, turned against lon/lat and
// bent as a transverse Mercator is at 40° N, so that a straight line is a geodesic,
// nearly, and leaves its chord in lon/lat by 11 mm in 800 m.
type tilted struct{ scale Scale }

func newTilted() tilted {
	return tilted{LonLatScale(orb.Bound{Min: corner, Max: corner})}
}

func (p tilted) toLonLat(dst, src []orb.Point) error {
	const bend = 0.8391 / 6.37e6 // tan 40° over the radius
	for i, q := range src {
		x, y := q[0], q[1]
		x, y = x*0.99995-y*0.01, y*0.99995+x*0.01 // the grid's convergence
		x, y = x+bend*x*y, y-bend*x*x/2           // meridians close in, parallels bend
		dst[i] = orb.Point{corner[0] + x/p.scale.X, corner[1] + y/p.scale.Y}
	}
	return nil
}

// drawnLayer returns options for a layer drawn in the plane.
func drawnLayer(t *testing.T, s *Shapes) MeshOptions {
	t.Helper()
	p := newTilted()
	points := make([]orb.Point, len(s.Points))
	if err := p.toLonLat(points, s.Points); err != nil {
		t.Fatal(err)
	}
	return MeshOptions{Scale: Scale{1, 1}, Tolerance: 3 * millimeter, LonLat: s.WithPoints(points), ToLonLat: p.toLonLat}
}

// An 800 m zone beside 30 m cells, its long edge drawn straight: in its plane, from
// which the cells' corners, in lon/lat, leave the chord by 11 mm; or on a parallel,
// from which the geodesic that counts for acres departs by as much, 2/3 · 11 mm ·
// 810 m in acres.
//
//	+--+--+--+--+ ...
//	+--+--+--+--+ ...   cells
//	+-----------  ...   one zone, its upper edge 810 m
//	+-----------  ...
func TestLongEdgeBesideCells(t *testing.T) {
	for _, c := range []struct {
		name     string
		inPlane  bool
		min, max float64 // of the bound, square meters
	}{
		{"drawn in a plane", true, 0, 0.2},
		{"drawn in lon/lat", false, 5, 7},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Shapes{}
			s.Append(orb.MultiPolygon{{box(0, 0, 810, 100)}})
			for i := range 27 {
				x := float64(i) * 30
				s.Append(orb.MultiPolygon{{box(x, 100, x+30, 130)}})
			}
			opt := drawnLayer(t, s)
			lonlat := opt.LonLat
			if !c.inPlane {
				scale := newTilted().scale
				for i, p := range s.Points {
					s.Points[i] = orb.Point{corner[0] + p[0]/scale.X, corner[1] + p[1]/scale.Y}
				}
				opt, lonlat = lonLatOptions(s), s
			}
			o := outlineWith(t, s, opt)
			if err := sane(lonlat, o); err != nil {
				t.Error(err)
			}
			if o.Splits != 26 || o.Method != byEdges || len(o.Polygons) != 1 || len(o.Polygons[0]) != 1 {
				t.Errorf("%d splits by %s, %d polygons; want 26 splits, one polygon without holes", o.Splits, o.Method, len(o.Polygons))
			}
			if b := float64(o.Bound / unit.SquareMeter); b < c.min || b > c.max {
				t.Errorf("bound %.3f m2, want %g to %g", b, c.min, c.max)
			}
		})
	}
}

func TestBricksDrawnInThePlane(t *testing.T) {
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 9))
		s := &Shapes{}
		rows, wide := 2+r.IntN(8), 100+300*r.Float64()
		for row := range rows {
			for x := -wide * r.Float64(); x < 1500; x += wide {
				if r.IntN(8) > 0 {
					s.Append(orb.MultiPolygon{{box(x, float64(row)*40, x+wide, float64(row+1)*40)}})
				}
			}
		}
		if seed%2 == 1 {
			noisy(r, s, 1e-4)
		}
		s = shuffled(r, s)
		opt := drawnLayer(t, s)
		m, err := NewMesh(s, opt)
		if err != nil {
			t.Fatal(err)
		}
		o, err := m.Outline(nil)
		if err != nil {
			t.Fatalf("layer %d: %v", seed, err)
		}
		if err := sane(opt.LonLat, o); err != nil || o.Method != byEdges {
			t.Fatalf("layer %d: by %s: %v", seed, o.Method, err)
		}
		edges := 0.0
		for i := range s.RingEnds {
			_, length := flatRing(s.Ring(i))
			edges += length
		}
		// The bound that is stated must be one to live with: the tolerance along
		// all edges, plus what bending leaves.
		if limit := 0.003*edges + 0.002*edges; float64(o.Bound/unit.SquareMeter) > limit {
			t.Fatalf("layer %d: bound %.3f m2 of at most %.3f", seed, float64(o.Bound/unit.SquareMeter), limit)
		}
	}
}

// Against the union of an outside library: the same ground.
func TestOutlineIsTheUnion(t *testing.T) {
	for seed := range uint64(layerCount(t, 100)) {
		r := rand.New(rand.NewPCG(seed, 7))
		s := randomGrid(r)
		o := outline(t, s)
		if d := symmetricDifference(t, o.Polygons, mustUnion(s)); d > 1e-4 {
			t.Fatalf("layer %d: %g m2 apart", seed, d)
		}
	}
}

func symmetricDifference(t *testing.T, a, b orb.MultiPolygon) float64 {
	t.Helper()
	sum := 0.0
	for _, pair := range [][2]orb.MultiPolygon{{a, b}, {b, a}} {
		d, err := Subtract(pair[0], pair[1])
		if err != nil {
			t.Fatal(err)
		}
		area, err := AreaOf(d)
		if err != nil {
			t.Fatal(err)
		}
		sum += float64(area / unit.SquareMeter)
	}
	return sum
}

// Layers whose polygons cover each other: they are united or refused, but never
// come out as an outline that leaks.
func TestCoveringLayersAreUnited(t *testing.T) {
	for seed := range uint64(layerCount(t, 300)) {
		r := rand.New(rand.NewPCG(seed, 8))
		s := randomGrid(r)
		if s.Len() == 0 {
			continue
		}
		for range 1 + r.IntN(3) {
			switch r.IntN(4) {
			case 0: // a cell twice
				s.Append(s.Shape(r.IntN(s.Len())))
			case 1: // a cell aslant over others
				x, y := gridPoint(r.IntN(5), r.IntN(5))[0]+3e-5, gridPoint(0, r.IntN(5))[1]+2e-5
				s.Append(orb.MultiPolygon{{ring(x, y, x+1e-4, y+3e-5, x+5e-5, y+2e-4)}})
			case 2: // one inside a cell, touching nothing
				p := s.Ring(r.IntN(s.Len()))[0]
				s.Append(orb.MultiPolygon{{box(p[0]+1e-5, p[1]+1e-5, p[0]+5e-5, p[1]+5e-5)}})
			case 3: // a block of cells
				p := gridPoint(r.IntN(4), r.IntN(4))
				q := gridPoint(5+r.IntN(4), 5+r.IntN(4))
				s.Append(orb.MultiPolygon{{box(p[0], p[1], q[0], q[1])}})
			}
		}
		s = shuffled(r, s)
		o := outline(t, s)
		if err := sane(s, o); err != nil {
			t.Fatalf("layer %d: %v", seed, err)
		}
		if d := symmetricDifference(t, o.Polygons, mustUnion(s)); d > 0.01 {
			t.Fatalf("layer %d: by %s, %g m2 apart from the union", seed, o.Method, d)
		}
	}
}

func TestCoveringLayerTooLargeForAUnion(t *testing.T) {
	s := squareGrid(10_000)
	s.Append(orb.MultiPolygon{{square(-94.9995, 40.0005, 0.0004)}})
	m, err := NewMesh(s, lonLatOptions(s))
	if err != nil {
		t.Fatal(err)
	}
	_, err = m.Outline(nil)
	var bad *topologyError
	if !errors.As(err, &bad) {
		t.Fatalf("got %v, want a topology error", err)
	}
	if len(bad.Records) == 0 || bad.Records[0] != 10_000 || !(orb.Bound{Min: orb.Point{-94.9996, 40.0004}, Max: orb.Point{-94.999, 40.001}}).Contains(bad.Place) {
		t.Errorf("got %+v, want record 10001 where it lies", bad)
	}
}

func TestBrokenRingIsRefusedWithItsRecord(t *testing.T) {
	s := picture("##")
	s.Append(orb.MultiPolygon{{ring(-95, 40, -94.999, 40.001, -95, 40.001, -94.999, 40)}}) // a bow-tie over both
	m, err := NewMesh(s, lonLatOptions(s))
	if err != nil {
		t.Fatal(err)
	}
	_, err = m.Outline(nil)
	var bad *topologyError
	if !errors.As(err, &bad) || len(bad.Records) != 1 || bad.Records[0] != 2 {
		t.Errorf("got %v, want an error about record 3", err)
	}
}

func TestMeshRefuses(t *testing.T) {
	open := &Shapes{}
	open.Append(orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 1}}}})
	wild := &Shapes{}
	wild.Append(nil)
	wild.Append(orb.MultiPolygon{{ring(0, 0, 1, math.Inf(1), 1, 1)}})
	fine := picture("#")
	for _, c := range []struct {
		name string
		s    *Shapes
		opt  MeshOptions
		want string
	}{
		{"open ring", open, MeshOptions{Scale: Scale{1, 1}}, "record 1"},
		{"infinite", wild, MeshOptions{Scale: Scale{1, 1}}, "record 2"},
		{"no scale", fine, MeshOptions{}, "scale"},
		{"other points", fine, MeshOptions{Scale: Scale{1, 1}, LonLat: open}, "5 points drawn but 3"},
	} {
		if _, err := NewMesh(c.s, c.opt); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want one with %q", c.name, err, c.want)
		}
	}
}

func TestOutlineAcrossTheMeridianIsRefused(t *testing.T) {
	s := &Shapes{}
	s.Append(orb.MultiPolygon{{ring(179.99, 10, -179.99, 10, -179.99, 10.01, 179.99, 10.01)}})
	m, err := NewMesh(s, MeshOptions{Scale: Scale{1e5, 1e5}, Tolerance: 3 * millimeter})
	if err != nil {
		t.Fatal(err)
	}
	var bad *topologyError
	if _, err := m.Outline(nil); !errors.As(err, &bad) || !strings.Contains(bad.Why, "180°") {
		t.Errorf("got %v, want one about the 180° meridian", err)
	}
}

func TestOutlineDoesNotDependOnTheOrderOfRecords(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		s := bent(r, randomGrid(r))
		a, b := outline(t, s), outline(t, shuffled(r, s))
		if len(a.Polygons) != len(b.Polygons) || math.Abs(float64(a.Area-b.Area)) > 1e-10*float64(a.Area) {
			rt.Fatalf("%d polygons of %v, then %d of %v", len(a.Polygons), a.Area, len(b.Polygons), b.Area)
		}
	})
}
