// Package raster lays polygons in longitude and latitude on a grid of cells: which of
// them holds a cell's center, which cells an outline passes, and which zone is nearest to
// a cell at the edge of a field.
package raster

import (
	"fmt"
	"iter"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
)

// Grid is cells of one size in degrees. Cell 0 is the one in the south-west; then it goes
// east along the row, then to the next row north.
type Grid struct {
	South, West   float64 // the corner of cell 0
	Height, Width float64 // of a cell
	Columns, Rows int
}

// mostCells bounds a grid: beyond it nobody means the cell's size.
const mostCells = 1 << 26

// Cover returns the grid that covers a box with cells of a size in meters, and by one cell
// more on every side. round rounds the corner and the cell's size to what the form that the
// grid is written in can say of them; nil rounds nothing. The cell's width is that of the
// box's middle latitude.
func Cover(box orb.Bound, cell unit.Length, round func(place, size float64) (float64, float64)) (Grid, error) {
	side := float64(cell / unit.Meter)
	if !(side > 0) || math.IsInf(side, 0) {
		return Grid{}, fmt.Errorf("cells of %v are none", cell)
	}
	scale := geo.LonLatScale(box)
	g := Grid{Height: side / scale.Y, Width: side / scale.X}
	columns, rows := math.Ceil((box.Max[0]-box.Min[0])/g.Width), math.Ceil((box.Max[1]-box.Min[1])/g.Height)
	if !((columns+2)*(rows+2) <= mostCells) {
		return Grid{}, fmt.Errorf("cells of %v make %.0f by %.0f of them, more than any terminal takes", cell, columns, rows)
	}
	g.Columns, g.Rows = int(columns)+2, int(rows)+2
	g.South, g.West = box.Min[1]-g.Height, box.Min[0]-g.Width
	if round != nil {
		g.South, g.Height = round(g.South, g.Height)
		g.West, g.Width = round(g.West, g.Width)
	}
	return g, nil
}

// Cells returns how many cells there are.
func (g Grid) Cells() int { return g.Columns * g.Rows }

// Center returns the middle of a cell.
func (g Grid) Center(row, column int) orb.Point {
	return orb.Point{g.west(column) + float64(g.Width/2), g.south(row) + float64(g.Height/2)}
}

func (g Grid) south(row int) float64   { return g.South + float64(float64(row)*g.Height) }
func (g Grid) west(column int) float64 { return g.West + float64(float64(column)*g.Width) }

// Ring returns the outline of the cells of a row from one column up to another, counter-
// clockwise and closed.
func (g Grid) Ring(row, from, to int) orb.Ring {
	s, n, w, e := g.south(row), g.south(row+1), g.west(from), g.west(to)
	return orb.Ring{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}
}

// CellArea returns the area of a cell of a row.
func (g Grid) CellArea(row int) unit.Area {
	area, err := geo.AreaOf(orb.MultiPolygon{{g.Ring(row, 0, 1)}})
	if err != nil {
		return 0 // no cell is near a pole, where areas can't be measured
	}
	return area
}

// at returns a point in columns and rows of the grid.
func (g Grid) at(p orb.Point) (column, row float64) {
	return (p[0] - g.West) / g.Width, (p[1] - g.South) / g.Height
}

// Set is a set of cells.
type Set []uint64

// NewSet returns an empty set of the grid's cells.
func (g Grid) NewSet() Set { return make(Set, (g.Cells()+63)/64) }

// Add puts a cell into the set.
func (s Set) Add(cell int) { s[cell/64] |= 1 << (cell % 64) }

// Has reports whether a cell is in the set; none is in a nil one.
func (s Set) Has(cell int) bool { return s != nil && s[cell/64]>>(cell%64)&1 == 1 }

// skin is by how much of a cell an edge is taken to be wider than it is: rounding must
// not lose a cell that an edge only touches.
const skin = 1e-6

// passed yields the cells that a segment passes or touches, in an order that depends on
// nothing else.
func (g Grid) passed(a, b orb.Point) iter.Seq[int] {
	return func(yield func(int) bool) {
		ax, ay := g.at(a)
		bx, by := g.at(b)
		if ay > by {
			ax, ay, bx, by = bx, by, ax, ay
		}
		if by < -skin || ay > float64(g.Rows)+skin {
			return
		}
		for row := clamp(ay-skin, g.Rows); row <= clamp(by+skin, g.Rows); row++ {
			x0, x1 := ax, bx
			if by > ay { // the part of the segment in this row
				along := func(y float64) float64 {
					return ax + float64((min(max(y, ay), by)-ay)/(by-ay)*(bx-ax))
				}
				x0, x1 = along(float64(row)-skin), along(float64(row)+1+skin)
			}
			low, high := min(x0, x1)-skin, max(x0, x1)+skin
			if high < 0 || low > float64(g.Columns) {
				continue
			}
			for column := clamp(low, g.Columns); column <= clamp(high, g.Columns); column++ {
				if !yield(row*g.Columns + column) {
					return
				}
			}
		}
	}
}

// clamp returns the cell of a coordinate along one side of the grid.
func clamp(v float64, n int) int {
	return int(math.Max(0, math.Min(math.Floor(v), float64(n-1))))
}

// Touched returns the cells that polygons touch: with their edges, or with their inside.
func (g Grid) Touched(mp orb.MultiPolygon) Set {
	touched := g.NewSet()
	for _, polygon := range mp {
		inside := g.Inside(rings(polygon))
		for i := range touched {
			touched[i] |= inside[i]
		}
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				for cell := range g.passed(ring[i-1], ring[i]) {
					touched.Add(cell)
				}
			}
		}
	}
	return touched
}

func rings(polygon orb.Polygon) iter.Seq[orb.Ring] {
	return func(yield func(orb.Ring) bool) {
		for _, r := range polygon {
			if !yield(r) {
				return
			}
		}
	}
}

// Nearest returns, of the cells that are asked for and that an edge of a record passes,
// the record whose edge comes nearest to the center; the first of several. Distances are
// in meters, nearly.
func (g Grid) Nearest(shapes *geo.Shapes, wanted func(cell int) bool) map[int]int32 {
	scale := geo.LonLatScale(orb.Bound{Min: g.Center(0, 0), Max: g.Center(g.Rows-1, g.Columns-1)})
	type near struct {
		record int32
		d2     float64
	}
	best := map[int]near{}
	for record := range shapes.Len() {
		from, to := shapes.ShapeRings(record)
		for r := from; r < to; r++ {
			ring := shapes.Ring(r)
			for i := 1; i < len(ring); i++ {
				for cell := range g.passed(ring[i-1], ring[i]) {
					if !wanted(cell) {
						continue
					}
					d2 := toSegment2(g.Center(cell/g.Columns, cell%g.Columns), ring[i-1], ring[i], scale)
					if b, ok := best[cell]; !ok || d2 < b.d2 {
						best[cell] = near{int32(record), d2}
					}
				}
			}
		}
	}
	out := make(map[int]int32, len(best))
	for cell, b := range best {
		out[cell] = b.record
	}
	return out
}

// toSegment2 returns the square of the distance from p to the segment ab.
func toSegment2(p, a, b orb.Point, s geo.Scale) float64 {
	ax, ay := float64((a[0]-p[0])*s.X), float64((a[1]-p[1])*s.Y)
	dx, dy := (b[0]-a[0])*s.X, (b[1]-a[1])*s.Y
	t := 0.0
	if l2 := float64(dx*dx) + float64(dy*dy); l2 > 0 {
		t = min(max(-(float64(ax*dx)+float64(ay*dy))/l2, 0), 1)
	}
	x, y := ax+float64(t*dx), ay+float64(t*dy)
	return float64(x*x) + float64(y*y)
}
