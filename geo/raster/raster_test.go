package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	gogeom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/xy"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// The lengths of a degree at 47.35: 111 178 m north, 75 558 m east, by the series of the
// meridian and the parallel (111132.954 − 559.822 cos 2p + 1.175 cos 4p; 111412.84 cos p −
// 93.5 cos 3p, from memory), so that 5 m are 0.000044973 and 0.000066174 degrees.
func TestCover(t *testing.T) {
	box := orb.Bound{Min: orb.Point{-90.4, 47.345}, Max: orb.Point{-90.39, 47.355}}
	g, err := Cover(box, 5*unit.Meter, nil)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(g.Height-0.000044973) > 1e-9 || math.Abs(g.Width-0.000066174) > 1e-9 {
		t.Errorf("cells are %v by %v degrees", g.Height, g.Width)
	}
	// 0.01 degrees are 1111.78 and 755.58 m: 223 and 152 cells, and one on each side.
	if g.Rows != 225 || g.Columns != 154 {
		t.Errorf("%d rows, %d columns", g.Rows, g.Columns)
	}
	low, high := g.Center(0, 0), g.Center(g.Rows-1, g.Columns-1)
	if low[0] > box.Min[0]-g.Width/3 || low[1] > box.Min[1]-g.Height/3 || high[0] < box.Max[0]+g.Width/3 || high[1] < box.Max[1]+g.Height/3 {
		t.Errorf("it goes from %v to %v", low, high)
	}
	if a := g.CellArea(100) / unit.SquareMeter; math.Abs(float64(a)-25) > 0.01 {
		t.Errorf("a cell has %v m²", a)
	}
	for _, cell := range []unit.Length{0, -1, unit.Length(math.NaN()), unit.Length(math.Inf(1)), 0.001 * unit.Meter} {
		if _, err := Cover(box, cell, nil); err == nil {
			t.Errorf("cells of %v are taken", cell)
		}
	}
}

// wild is a polygon of random corners, often on the lines through centers.
func wild(random *rand.Rand, g Grid) orb.Ring {
	var ring orb.Ring
	for range 3 + random.IntN(9) {
		p := orb.Point{g.West + random.Float64()*float64(g.Columns)*g.Width, g.South + random.Float64()*float64(g.Rows)*g.Height}
		if random.IntN(3) == 0 {
			p = g.Center(random.IntN(g.Rows), random.IntN(g.Columns))
		}
		ring = append(ring, p)
	}
	return append(ring, ring[0])
}

// Each cell belongs to who holds its center, as go-geom's point in ring says; on an edge
// either may have it, but one of two neighbors must.
func TestOwnersHoldTheCenter(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	g := Grid{South: 47, West: -90, Height: 0.001, Width: 0.0015, Columns: 23, Rows: 17}
	for range 300 {
		ring := wild(random, g)
		var s geo.Shapes
		s.Append(orb.MultiPolygon{{ring}})
		owners := g.Owners(&s)
		flat := make([]float64, 0, 2*len(ring))
		for _, p := range ring {
			flat = append(flat, p[0], p[1])
		}
		for cell, owner := range owners {
			c := g.Center(cell/g.Columns, cell%g.Columns)
			where := int(xy.LocatePointInRing(gogeom.XY, []float64{c[0], c[1]}, flat))
			switch {
			case onEdge(c, ring): // within rounding
			case where == 0 && owner != 0, where == 2 && owner != None:
				t.Fatalf("cell %d: owner %d, located %d", cell, owner, where)
			}
		}
	}
}

func onEdge(p orb.Point, ring orb.Ring) bool {
	for i := 1; i < len(ring); i++ {
		if toSegment2(p, ring[i-1], ring[i], geo.Scale{X: 1, Y: 1}) < 1e-24 {
			return true
		}
	}
	return false
}

// Two neighbors share an edge through centers: each cell has one of them.
func TestNeighborsShareNoCell(t *testing.T) {
	g := Grid{South: 0, West: 0, Height: 1, Width: 1, Columns: 8, Rows: 8}
	left := orb.Ring{{0, 0}, {4.5, 0}, {3.5, 8}, {0, 8}, {0, 0}}
	right := orb.Ring{{4.5, 0}, {8, 0}, {8, 8}, {3.5, 8}, {4.5, 0}}
	var s geo.Shapes
	s.Append(orb.MultiPolygon{{left}})
	s.Append(orb.MultiPolygon{{right}})
	for cell, owner := range g.Owners(&s) {
		if owner == None {
			t.Errorf("cell %d has no owner", cell)
		}
	}
	one, two := g.Inside(rings(orb.Polygon{left})), g.Inside(rings(orb.Polygon{right}))
	for cell := range g.Cells() {
		if one.Has(cell) == two.Has(cell) {
			t.Errorf("cell %d: %v and %v", cell, one.Has(cell), two.Has(cell))
		}
	}
}

// A cell is touched where it and the polygon share a point, as simplefeatures says; one
// that the polygon misses by a hair may count too.
func TestTouchedMissesNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	g := Grid{South: 0, West: 0, Height: 1, Width: 1, Columns: 9, Rows: 7}
	for range 200 {
		x, y := random.Float64()*9-1, random.Float64()*7-1
		ring := orb.Ring{{x, y}, {x + 3*random.Float64(), y - random.Float64()}, {x + random.Float64(), y + 2*random.Float64() + 0.1}, {x, y}}
		touched := g.Touched(orb.MultiPolygon{{ring}})
		shape := asGeometry(t, ring)
		for cell := range g.Cells() {
			row, column := cell/g.Columns, cell%g.Columns
			want := geom.Intersects(shape, asGeometry(t, g.Ring(row, column, column+1)))
			if want && !touched.Has(cell) {
				t.Fatalf("%v: cell %d is not touched", ring, cell)
			}
			if wide := g.Ring(row, column, column+1); touched.Has(cell) && !want {
				const hair = 1e-5
				wide[0], wide[1], wide[2], wide[3] = orb.Point{wide[0][0] - hair, wide[0][1] - hair}, orb.Point{wide[1][0] + hair, wide[1][1] - hair}, orb.Point{wide[2][0] + hair, wide[2][1] + hair}, orb.Point{wide[3][0] - hair, wide[3][1] + hair}
				wide[4] = wide[0]
				if !geom.Intersects(shape, asGeometry(t, wide)) {
					t.Fatalf("%v: cell %d is touched", ring, cell)
				}
			}
		}
	}
}

func asGeometry(t *testing.T, ring orb.Ring) geom.Geometry {
	t.Helper()
	var flat []float64
	for _, p := range ring {
		flat = append(flat, p[0], p[1])
	}
	return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))}).AsGeometry()
}

// Of two zones that pass through a cell the nearer one has it.
func TestNearest(t *testing.T) {
	g := Grid{South: 0, West: 0, Height: 1, Width: 1, Columns: 4, Rows: 3}
	square := func(x0, y0, x1, y1 float64) orb.MultiPolygon {
		return orb.MultiPolygon{{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}}
	}
	var s geo.Shapes
	s.Append(square(0, 0, 1.2, 0.4))  // its edges pass cells 0 and 1
	s.Append(square(1.8, 0, 4, 0.45)) // passes cells 1 to 3, nearer to the center of cell 1
	got := g.Nearest(&s, func(cell int) bool { return cell < 4 })
	// (1.2, 0.4) is 0.316 from (1.5, 0.5), the center of cell 1; (1.8, 0.45) is 0.304.
	for cell, want := range map[int]int32{0: 0, 1: 1, 2: 1, 3: 1} {
		if got[cell] != want {
			t.Errorf("cell %d: %d, want %d", cell, got[cell], want)
		}
	}
	if len(got) != 4 {
		t.Errorf("got %v", got)
	}
}
