package raster

import (
	"iter"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// None stands for a cell that no record owns.
const None = -1

// Owners returns, of each cell, the record that holds its center, even-odd; the first of
// several, and [None] where none does.
func (g Grid) Owners(shapes *geo.Shapes) []int32 {
	owners := make([]int32, g.Cells())
	for i := range owners {
		owners[i] = None
	}
	var c crossings
	for record := range shapes.Len() {
		from, to := shapes.ShapeRings(record)
		c.collect(g, func(yield func(orb.Ring) bool) {
			for r := from; r < to; r++ {
				if !yield(shapes.Ring(r)) {
					return
				}
			}
		})
		c.fill(g, func(cell int) {
			if owners[cell] == None {
				owners[cell] = int32(record)
			}
		})
	}
	return owners
}

// Inside returns the cells whose centers lie inside rings, even-odd.
func (g Grid) Inside(rings iter.Seq[orb.Ring]) Set {
	inside := g.NewSet()
	var c crossings
	c.collect(g, rings)
	c.fill(g, inside.Add)
	return inside
}

// crossings are where rings cross the lines through the centers of rows.
type crossings struct {
	first int         // row of lines[0]
	lines [][]float64 // longitudes, in the order of the edges
}

// collect finds where rings cross. An edge counts from its lower end up to, and without,
// its upper one, and is always taken the same way round: neighbors that share it agree on
// every cell.
func (c *crossings) collect(g Grid, rings iter.Seq[orb.Ring]) {
	low, high := math.Inf(1), math.Inf(-1)
	for ring := range rings {
		for _, p := range ring {
			low, high = min(low, p[1]), max(high, p[1])
		}
	}
	c.lines = c.lines[:0]
	first, end := g.linesBetween(low, high)
	if first >= end {
		return
	}
	c.first = first
	c.lines = slices.Grow(c.lines, end-first)[:end-first]
	for i := range c.lines {
		c.lines[i] = c.lines[i][:0]
	}
	for ring := range rings {
		for i := 1; i < len(ring); i++ {
			c.edge(g, ring[i-1], ring[i])
		}
	}
}

// linesBetween returns the rows whose centers lie at or above one latitude and below
// another.
func (g Grid) linesBetween(low, high float64) (first, end int) {
	row := func(y float64) int {
		if !(y > g.South) {
			return 0
		}
		r := int(math.Min((y-g.South)/g.Height+1, float64(g.Rows))) // half a cell or more beyond
		for r > 0 && g.Center(r-1, 0)[1] >= y {
			r--
		}
		return r
	}
	return row(low), row(high)
}

func (c *crossings) edge(g Grid, a, b orb.Point) {
	if a[1] > b[1] {
		a, b = b, a
	}
	first, end := g.linesBetween(a[1], b[1])
	for row := first; row < end; row++ {
		y := g.Center(row, 0)[1]
		x := a[0] + float64((y-a[1])/(b[1]-a[1])*(b[0]-a[0]))
		c.lines[row-c.first] = append(c.lines[row-c.first], x)
	}
}

// fill names every cell whose center lies between a crossing and the next.
func (c *crossings) fill(g Grid, take func(cell int)) {
	for i, line := range c.lines {
		slices.Sort(line)
		row := c.first + i
		for k := 1; k < len(line); k += 2 {
			for column := g.centerFrom(line[k-1]); column < g.centerFrom(line[k]); column++ {
				take(row*g.Columns + column)
			}
		}
	}
}

// centerFrom returns the first column whose center lies at or east of a longitude.
func (g Grid) centerFrom(x float64) int {
	c := int(math.Max(0, math.Min((x-g.West)/g.Width, float64(g.Columns)))) // or the one before
	for c < g.Columns && g.Center(0, c)[0] < x {
		c++
	}
	return c
}
