package invent

import "math"

// regions are the connected parts of a mesh whose cells have equal marks.
type regions struct {
	of      []int32             // region of each cell; -1 outside the field
	area    []float64           // twice the area of each region; 0 if it was absorbed
	mark    []mark              // of each region
	borders []map[int32]float64 // length of the border with each neighbor
}

// twins returns for each directed edge its cell: the cell across an edge is that
// of the reversed one.
func (m *mesh) twins() map[edge]int32 {
	cells := make(map[edge]int32, 4*len(m.cells))
	for i, c := range m.cells {
		for e := range c.edges() {
			cells[e] = int32(i)
		}
	}
	return cells
}

// edges yields the directed edges of a cell.
func (c cell) edges() func(yield func(edge) bool) {
	return func(yield func(edge) bool) {
		for i, a := range c.ring {
			if !yield(edge{a, c.ring[(i+1)%len(c.ring)]}) {
				return
			}
		}
	}
}

func newRegions(m *mesh, twins map[edge]int32) *regions {
	r := &regions{of: make([]int32, len(m.cells))}
	for i := range r.of {
		r.of[i] = -1
	}
	for i, c := range m.cells {
		if r.of[i] < 0 && !c.mark.out {
			r.flood(m, twins, int32(i))
		}
	}
	r.measureBorders(m, twins)
	return r
}

// flood makes a region of all cells that are connected to one by equal marks.
func (r *regions) flood(m *mesh, twins map[edge]int32, from int32) {
	region := int32(len(r.area))
	r.area = append(r.area, 0)
	r.mark = append(r.mark, m.cells[from].mark)
	r.of[from] = region
	for stack := []int32{from}; len(stack) > 0; {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		r.area[region] += m.area(m.cells[at])
		for e := range m.cells[at].edges() {
			next, ok := twins[e.reversed()]
			if ok && r.of[next] < 0 && m.cells[next].mark == r.mark[region] {
				r.of[next] = region
				stack = append(stack, next)
			}
		}
	}
}

func (r *regions) measureBorders(m *mesh, twins map[edge]int32) {
	r.borders = make([]map[int32]float64, len(r.area))
	for i := range r.borders {
		r.borders[i] = map[int32]float64{}
	}
	for i, c := range m.cells {
		for e := range c.edges() {
			next, ok := twins[e.reversed()]
			if !ok || r.of[i] == r.of[next] || r.of[i] < 0 || r.of[next] < 0 {
				continue
			}
			p, q := m.points[e[0]], m.points[e[1]]
			r.borders[r.of[i]][r.of[next]] += math.Hypot(q[0]-p[0], q[1]-p[1])
		}
	}
}
