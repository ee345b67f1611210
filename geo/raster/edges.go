package raster

import (
	"iter"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

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
