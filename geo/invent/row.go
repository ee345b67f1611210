package invent

import "iter"

// row is one row of a lattice's cells, with the depths of its corners.
type row struct {
	*lattice
	j            int
	lower, upper []float64
}

func newRow(l *lattice) *row {
	return &row{lattice: l, lower: make([]float64, l.columns+1), upper: make([]float64, l.columns+1)}
}

// move makes r the row j.
func (r *row) move(j int) {
	r.j = j
	r.depths(r.lower, j, false)
	r.depths(r.upper, j, true)
}

// cells yields the columns of the cells that exist and reach into the field.
func (r *row) cells() iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := range r.columns {
			if r.checkered && (i+r.j)%2 == 1 {
				continue
			}
			if max(r.lower[i], r.lower[i+1], r.upper[i], r.upper[i+1]) >= 0 && !yield(i) {
				return
			}
		}
	}
}

// corner is a corner of a cell, counter-clockwise from the south-western.
type corner int

// column returns the node column of a corner of cell i, and whether it is on the
// northern line.
func (c corner) column(i int) (column int, north bool) {
	return i + int((c+1)&3)>>1, c >= 2
}

func (r *row) depthAt(i int, c corner) float64 {
	column, north := c.column(i)
	if north {
		return r.upper[column]
	}
	return r.lower[column]
}

// corners returns how many vertices the part of cell i in the field has.
func (r *row) corners(i int) int {
	n := 0
	for c := range corner(4) {
		in := r.depthAt(i, c) >= 0
		if in {
			n++
		}
		if in != (r.depthAt(i, (c+1)&3) >= 0) {
			n++
		}
	}
	return n
}
