package raster

import (
	"iter"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// Beside yields the cells that share a side with a cell.
func (g Grid) Beside(cell int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for s := range sides {
			if n, ok := g.across(cell, s); ok && !yield(n) {
				return
			}
		}
	}
}

// side is one of a cell, as an outline passes them with the cell on its left.
type side int

// The sides: along the south going east, along the east going north, and so on.
const (
	south side = iota
	east
	north
	west
	sides
)

// across returns the cell on the other side.
func (g Grid) across(cell int, s side) (int, bool) {
	row, column := cell/g.Columns, cell%g.Columns
	switch s {
	case south:
		return cell - g.Columns, row > 0
	case east:
		return cell + 1, column < g.Columns-1
	case north:
		return cell + g.Columns, row < g.Rows-1
	}
	return cell - 1, column > 0
}

// corner is one of the lattice's, by its number from the south-west.
func (g Grid) corner(cell int, s side) int {
	row, column := cell/g.Columns, cell%g.Columns
	if s == east || s == north {
		column++
	}
	if s == north || s == west {
		row++
	}
	return row*(g.Columns+1) + column
}

// Regions returns the outline of each region of cells that are connected side by side, by
// their numbers from 0; region has that of each cell, below 0 for none. Every corner of a
// cell that an outline passes is one of its vertices, so that neighbors share them. Shells
// go counter-clockwise, holes clockwise; an outline that touches itself at a corner is cut
// there, so that each ring is simple.
func (g Grid) Regions(region []int32, count int) []orb.Polygon {
	t := tracer{g: g, region: region, passed: make([]uint8, len(region)), place: make([]int32, (g.Rows+1)*(g.Columns+1))}
	shells, holes := make([]orb.Ring, count), make([][]orb.Ring, count)
	for cell, r := range region {
		for s := range sides {
			if r < 0 || t.passed[cell]>>s&1 == 1 || !t.borders(cell, s) {
				continue
			}
			for _, ring := range t.trace(cell, s) {
				if geo.TwiceArea(ring) > 0 {
					shells[r] = ring
				} else {
					holes[r] = append(holes[r], ring)
				}
			}
		}
	}
	out := make([]orb.Polygon, count)
	for r, shell := range shells {
		out[r] = append(orb.Polygon{shell}, holes[r]...)
	}
	return out
}

// tracer walks around regions.
type tracer struct {
	g      Grid
	region []int32
	passed []uint8 // sides of each cell, a bit each
	place  []int32 // of each corner, as the how many-th it stands in the walk; 0 for not at all
	walk   []int   // corners
}

// borders reports whether another region, or none, lies across a side.
func (t *tracer) borders(cell int, s side) bool {
	n, ok := t.g.across(cell, s)
	return !ok || t.region[n] != t.region[cell]
}

// trace walks from a side until it comes back to it, with the region on the left, and
// turns left wherever it can. It returns the rings that it cuts off.
func (t *tracer) trace(cell int, s side) (rings []orb.Ring) {
	walk := t.walk[:0]
	for t.passed[cell]>>s&1 == 0 {
		t.passed[cell] |= 1 << s
		at := t.g.corner(cell, s)
		if from := t.place[at] - 1; from >= 0 {
			rings = append(rings, t.ring(walk[from:]))
			t.leave(walk[from:])
			walk = walk[:from]
		}
		walk = append(walk, at)
		t.place[at] = int32(len(walk))
		cell, s = t.next(cell, s)
	}
	t.walk = walk
	t.leave(walk)
	return append(rings, t.ring(walk))
}

// leave takes corners off the walk.
func (t *tracer) leave(corners []int) {
	for _, c := range corners {
		t.place[c] = 0
	}
}

// next returns the side that follows: the next one of the cell, or the same one of the
// cell before it, or that of the cell beyond the corner.
func (t *tracer) next(cell int, s side) (int, side) {
	left := (s + 1) % sides
	if t.borders(cell, left) {
		return cell, left
	}
	ahead, _ := t.g.across(cell, left)
	if t.borders(ahead, s) {
		return ahead, s
	}
	beyond, _ := t.g.across(ahead, s)
	return beyond, (s + sides - 1) % sides
}

// ring closes corners to a ring.
func (t *tracer) ring(corners []int) orb.Ring {
	ring := make(orb.Ring, 0, len(corners)+1)
	for _, c := range corners {
		row, column := c/(t.g.Columns+1), c%(t.g.Columns+1)
		ring = append(ring, orb.Point{t.g.west(column), t.g.south(row)})
	}
	return append(ring, ring[0])
}
