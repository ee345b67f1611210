package invent

import (
	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// drawing puts the cells of a lattice on the ground.
type drawing struct {
	*lattice
	site   *site
	ground *ground
	nodes  []orb.Point // in the layer's coordinates
}

// line returns the nodes of one line of row j. Rows of bricks share none.
func (d *drawing) line(j int, north bool) []orb.Point {
	at := j
	if d.brick {
		at *= 2
	}
	if north {
		at++
	}
	wide := d.columns + 1
	return d.nodes[at*wide : (at+1)*wide]
}

// placeNodes computes each node once; the cells around it share its bits.
func (d *drawing) placeNodes() error {
	lines := d.rows + 1
	if d.brick {
		lines = 2 * d.rows
	}
	d.nodes = make([]orb.Point, lines*(d.columns+1))
	for j := range d.rows {
		d.meters(j, false)
		if d.brick || j == d.rows-1 {
			d.meters(j, true)
		}
	}
	return d.site.place(d.nodes)
}

func (d *drawing) meters(j int, north bool) {
	for i, line := 0, d.line(j, north); i < len(line); i++ {
		line[i] = d.ground.meters(d.place(i, j, north))
	}
}

// draw fills the points and the ends of rings of all cells.
func (d *drawing) draw(shapes *geo.Shapes, spans []size) error {
	return cores.Try(d.rows, rowsAtOnce, func(from, to int) error {
		p := pen{row: newRow(d.lattice), drawing: d, points: shapes.Points}
		for ; from < to; from++ {
			p.move(from)
			p.at = spans[from].points
			cell := spans[from].cells
			for i := range p.cells() {
				if cell == spans[from+1].cells {
					break
				}
				p.cell(i)
				shapes.RingEnds[cell] = int32(p.at)
				cell++
			}
		}
		return p.placeCuts()
	})
}

// pen writes the rings of one row after the other.
type pen struct {
	*row
	drawing *drawing
	points  []orb.Point
	at      int         // of the next point
	cuts    []orb.Point // where sides of the field cut edges, in meters
	cutAt   []int       // where those points go
}

// cell writes the part of cell i that is in the field.
func (p *pen) cell(i int) {
	start := p.at
	cuts := len(p.cuts)
	for c := range corner(4) {
		next := (c + 1) & 3
		in := p.depthAt(i, c) >= 0
		if in {
			column, north := c.column(i)
			p.points[p.at] = p.drawing.line(p.j, north)[column]
			p.at++
		}
		if in != (p.depthAt(i, next) >= 0) {
			p.cut(p.crossing(i, c, next))
		}
	}
	if len(p.cuts) > cuts && p.cutAt[cuts] == start {
		p.cut(p.cuts[cuts])
		return
	}
	p.points[p.at] = p.points[start]
	p.at++
}

// cut leaves room for a point that is placed later, with others.
func (p *pen) cut(q orb.Point) {
	p.cuts = append(p.cuts, q)
	p.cutAt = append(p.cutAt, p.at)
	p.at++
}

// crossing returns the point in meters where the edge between two corners leaves
// the field. Both cells of an edge compute it in the same way, from the western or
// southern end, and so get the same bits. It stays off the ends by 1/20.
func (p *pen) crossing(i int, a, b corner) orb.Point {
	if a >= 2 {
		a, b = b, a
	}
	from, to := p.depthAt(i, a), p.depthAt(i, b)
	t := min(max(from/(from-to), 0.05), 0.95)
	u, v := p.cornerPlace(i, a), p.cornerPlace(i, b)
	return p.drawing.ground.meters(orb.Point{u[0] + t*(v[0]-u[0]), u[1] + t*(v[1]-u[1])})
}

func (p *pen) cornerPlace(i int, c corner) orb.Point {
	column, north := c.column(i)
	return p.place(column, p.j, north)
}

// placeCuts puts the cut points in their places.
func (p *pen) placeCuts() error {
	if err := p.drawing.site.place(p.cuts); err != nil {
		return err
	}
	for i, at := range p.cutAt {
		p.points[at] = p.cuts[i]
	}
	return nil
}
