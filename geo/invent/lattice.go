package invent

import (
	"iter"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// lattice lays square cells of side 1 over an irregular field. Column i and row j
// of its nodes lie at x = i, y = j; cell i, j is north-east of that node.
type lattice struct {
	columns, rows int
	brick         bool // odd rows lie half a cell farther east
	checkered     bool // only every other cell exists, as on a chess board

	west, east   []float64 // x of the sides, by node row
	south, north []float64 // y of the sides, by half node columns
	ponds        []pond
}

// pond is an ellipse that is left out of a field.
type pond struct{ x, y, wide, high float64 }

// fringe is the number of cells below which a field is a plain rectangle: sides
// can't wind over a handful of cells.
const fringe = 100

// fitLattice returns the smallest lattice of a seed's shape that has at least n
// cells in the field.
func fitLattice(opt GridOptions) *lattice {
	n := float64(opt.Cells)
	if opt.CornersOnly {
		n *= 2
	}
	if opt.Cells < fringe {
		columns := int(math.Ceil(math.Sqrt(n * 1.25)))
		return newLattice(opt, columns, int(math.Ceil(n/float64(columns)))+1, false)
	}
	for scale := math.Sqrt(n); ; {
		l := newLattice(opt, int(scale*1.12), int(scale/1.12), true)
		count := l.count()
		if count >= opt.Cells {
			return l
		}
		scale = max(scale*math.Sqrt(float64(opt.Cells)/float64(count)), scale+0.5)
	}
}

func newLattice(opt GridOptions, columns, rows int, winding bool) *lattice {
	l := &lattice{columns: columns, rows: rows, brick: opt.Shift, checkered: opt.CornersOnly}
	l.west, l.east = make([]float64, rows+1), make([]float64, rows+1)
	l.south, l.north = make([]float64, 2*columns+2), make([]float64, 2*columns+2)
	margin := 0.0
	var sides [4]func(u float64) float64
	if winding {
		rng := newRand(opt.Seed, "sides")
		margin = 0.03 * float64(min(columns, rows))
		for i := range sides {
			w := newWinding(rng, 0.5*margin)
			sides[i] = w.at
		}
		l.dig()
	} else {
		for i := range sides {
			sides[i] = func(float64) float64 { return 0 }
		}
	}
	for j := range l.west {
		v := float64(j) / float64(rows)
		l.west[j] = margin + sides[0](v)
		l.east[j] = float64(columns) - margin + sides[1](v)
		if l.brick {
			l.east[j] += 0.5
		}
	}
	for i := range l.south {
		u := float64(i) / float64(2*columns)
		l.south[i] = margin + sides[2](u)
		l.north[i] = float64(rows) - margin + sides[3](u)
	}
	return l
}

// dig makes two ponds, if there is room for more than a cell each.
func (l *lattice) dig() {
	x, y := float64(l.columns), float64(l.rows)
	if min(x, y) < 16 {
		return
	}
	l.ponds = []pond{
		{0.71 * x, 0.74 * y, 0.07 * x, 0.05 * y},
		{0.22 * x, 0.80 * y, 0.04 * x, 0.05 * y},
	}
}

// place returns x, y of a corner of the cells of row j: node column i, on the
// row's southern or northern line.
func (l *lattice) place(i, j int, north bool) orb.Point {
	p := orb.Point{float64(i), float64(j)}
	if l.brick && j%2 == 1 {
		p[0] += 0.5
	}
	if north {
		p[1]++
	}
	return p
}

// depth is positive inside the field, at a place returned by [lattice.place], and
// grows with the distance from its sides and ponds.
func (l *lattice) depth(p orb.Point) float64 {
	row, half := int(p[1]), int(2*p[0])
	d := min(p[0]-l.west[row], l.east[row]-p[0], p[1]-l.south[half], l.north[half]-p[1])
	for _, h := range l.ponds {
		x, y := (p[0]-h.x)/h.wide, (p[1]-h.y)/h.high
		if x > -1.5 && x < 1.5 && y > -1.5 && y < 1.5 {
			d = min(d, (math.Hypot(x, y)-1)*h.high)
		}
	}
	return d
}

// depths fills line with the depths of one line of row j.
func (l *lattice) depths(line []float64, j int, north bool) {
	for i := range line {
		line[i] = l.depth(l.place(i, j, north))
	}
}

// count returns the number of cells of which a part lies in the field.
func (l *lattice) count() int {
	sizes := l.sizes()
	var cells int
	for _, s := range sizes {
		cells += s.cells
	}
	return cells
}

// rowsAtOnce is how many rows of cells one core takes at a time.
const rowsAtOnce = 32

// size is the number of cells and points of a row.
type size struct{ cells, points int }

// sizes returns the sizes of all rows.
func (l *lattice) sizes() []size {
	sizes := make([]size, l.rows)
	cores.Blocks(l.rows, rowsAtOnce, func(from, to int) {
		for r := newRow(l); from < to; from++ {
			r.move(from)
			for i := range r.cells() {
				sizes[from].cells++
				sizes[from].points += r.corners(i) + 1
			}
		}
	})
	return sizes
}

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
