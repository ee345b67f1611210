package invent

import "github.com/paulmach/orb"

// mesh divides a field into small convex cells. Cells that meet share vertices by
// number, and no vertex lies within the edge of a cell, through every cut: so what
// is put together from cells shares its vertices too.
type mesh struct {
	points []orb.Point
	cells  []cell
}

// cell is one convex piece of a [mesh].
type cell struct {
	ring []int32 // of points, counter-clockwise, the first not repeated
	mark mark
}

// mark says what a cell belongs to; equal neighbors become one zone.
type mark struct {
	out  bool // outside the field
	side int8 // of the waterway: 1 and 2 are its sides, 0 is the waterway
	band int8 // how many rate steps the cell lies above
}

// edge is a pair of points; undirected when the lower number comes first.
type edge [2]int32

func (e edge) reversed() edge { return edge{e[1], e[0]} }

func (e edge) undirected() edge { return edge{min(e[0], e[1]), max(e[0], e[1])} }

// values returns f at every point.
func (m *mesh) values(f func(orb.Point) float64) []float64 {
	values := make([]float64, len(m.points))
	for i, p := range m.points {
		values[i] = f(p)
	}
	return values
}

// cut divides the cells along the line where values, one a point, pass level,
// and marks the cells on both sides. It returns the values of all points, those
// on the line included. An edge is cut once, for both cells that share it.
func (m *mesh) cut(values []float64, level float64, set func(c *mark, above bool)) []float64 {
	k := knife{mesh: m, values: values, level: level, at: map[edge]int32{}}
	cells := make([]cell, 0, len(m.cells)+len(m.cells)/8)
	for _, c := range m.cells {
		cells = k.split(cells, c, set)
	}
	m.cells = cells
	return k.values
}

// knife is one cut of a mesh.
type knife struct {
	*mesh
	values []float64
	level  float64
	at     map[edge]int32 // where undirected edges were cut
}

func (k *knife) above(point int32) bool { return k.values[point] >= k.level }

// split appends to dst the pieces of a cell: one above the line, and one for each
// run of vertices below it. Chords between points of a convex ring leave all
// pieces convex, whatever the number of runs.
func (k *knife) split(dst []cell, c cell, set func(c *mark, above bool)) []cell {
	start := 0
	for start < len(c.ring) && !k.above(c.ring[start]) {
		start++
	}
	keep := func(ring []int32, above bool) {
		piece := cell{ring, c.mark}
		set(&piece.mark, above)
		dst = append(dst, piece)
	}
	if start == len(c.ring) {
		keep(c.ring, false)
		return dst
	}
	var upper, lower []int32
	for i := range c.ring {
		a, b := c.ring[(start+i)%len(c.ring)], c.ring[(start+i+1)%len(c.ring)]
		if k.above(a) {
			upper = append(upper, a)
		} else {
			lower = append(lower, a)
		}
		if k.above(a) == k.above(b) {
			continue
		}
		x := k.crossing(a, b)
		upper, lower = append(upper, x), append(lower, x)
		if k.above(b) {
			keep(lower, false)
			lower = nil
		}
	}
	keep(upper, true)
	return dst
}

// crossing returns the point where an edge passes the level. It stays off the
// edge's ends by a tenth of its length: shorter edges could fold over when their
// points are rounded.
func (k *knife) crossing(a, b int32) int32 {
	e := edge{a, b}.undirected()
	if x, ok := k.at[e]; ok {
		return x
	}
	va, vb := k.values[e[0]], k.values[e[1]]
	t := min(max((k.level-va)/(vb-va), 0.1), 0.9)
	p, q := k.points[e[0]], k.points[e[1]]
	x := int32(len(k.points))
	k.points = append(k.points, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
	k.values = append(k.values, k.level)
	k.at[e] = x
	return x
}

// area returns twice the area of a cell, in square units of the points.
func (m *mesh) area(c cell) float64 {
	var sum float64
	for i, a := range c.ring {
		p, q := m.points[a], m.points[c.ring[(i+1)%len(c.ring)]]
		sum += p[0]*q[1] - q[0]*p[1]
	}
	return sum
}
