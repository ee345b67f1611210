package geo

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/recent"
	"rxsplit/internal/cores"
)

// cellsPerTolerance sets the cells of the grid that vertices are looked up in:
// wide enough that few points have a cell's border within the tolerance, narrow
// enough that a cell seldom holds two vertices.
const cellsPerTolerance = 16

// welder numbers points so that those within a tolerance share a number. Its
// table maps cells of a grid to the vertices in them, by open addressing.
type welder struct {
	points []orb.Point
	plane  plane
	perM   float64 // cells per meter
	border float64 // the tolerance in cells
	tol2   float64 // square meters
	first  []int32 // per vertex: its first point
	table  []entry
	mask   uint32
}

// entry is a slot of the table: the cell's hash and the vertex's number plus 1.
type entry struct {
	hash   uint32
	vertex int32
}

// weld numbers the points of a layer in file order and returns the vertex of each
// point and the first point of each vertex. A point takes the lowest vertex within
// the tolerance, so equal points always share one, and two vertices are never
// closer than the tolerance.
func weld(points []orb.Point, plane plane, extent orb.Bound, tol float64) (vertex, first []int32) {
	w := newWelder(points, plane, extent, tol)
	vertex = make([]int32, len(points))
	cores.Blocks(len(points), weldedAtOnce, func(from, to int) {
		var before recent.Points
		for i := from; i < to; i++ {
			if k, ok := before.Before(points, i); ok {
				vertex[i] = ^int32(k)
			}
		}
	})
	for i, p := range points {
		if k := vertex[i]; k < 0 {
			vertex[i] = vertex[^k]
		} else {
			vertex[i] = w.number(int32(i), p)
		}
	}
	return vertex, w.first
}

// weldedAtOnce is how many points one core looks through for those that came before: the
// first row of cells of each block has none.
const weldedAtOnce = 1 << 18

func newWelder(points []orb.Point, plane plane, extent orb.Bound, tol float64) *welder {
	size := max(math.Abs(extent.Max[0]-extent.Min[0])*plane.scale.X, math.Abs(extent.Max[1]-extent.Min[1])*plane.scale.Y)
	cell := max(cellsPerTolerance*tol, size/(1<<30), 1e-6)
	w := &welder{
		points: points, plane: plane,
		perM: 1 / cell, border: tol / cell, tol2: tol * tol,
		first: make([]int32, 0, len(points)/4),
	}
	slots := 64
	for slots < len(points)/4 {
		slots *= 2
	}
	w.resize(slots)
	return w
}

// number returns the vertex of a point, a new one if there is none.
func (w *welder) number(i int32, p orb.Point) int32 {
	x := (p[0] - w.plane.origin[0]) * w.plane.scale.X * w.perM
	y := (p[1] - w.plane.origin[1]) * w.plane.scale.Y * w.perM
	col, row := int32(x), int32(y) // never negative
	hash := hashCell(col, row)
	slot := hash & w.mask
	alone := true
	for ; w.table[slot].vertex != 0; slot = (slot + 1) & w.mask {
		if e := w.table[slot]; e.hash == hash {
			if w.points[w.first[e.vertex-1]] == p {
				return e.vertex - 1
			}
			alone = false
		}
	}
	if v := w.near(p, col, row, float64(x)-float64(col), float64(y)-float64(row), alone); v >= 0 {
		return v
	}
	return w.add(i, hash, slot)
}

// near returns the lowest vertex within the tolerance of a point, or -1. It looks
// into neighboring cells only across a border that is within the tolerance; fx
// and fy are where the point stands in its cell.
func (w *welder) near(p orb.Point, col, row int32, fx, fy float64, alone bool) int32 {
	left, right, down, up := int32(0), int32(0), int32(0), int32(0)
	if fx <= w.border {
		left = -1
	}
	if fx >= 1-w.border {
		right = 1
	}
	if fy <= w.border {
		down = -1
	}
	if fy >= 1-w.border {
		up = 1
	}
	best := int32(-1)
	for dy := down; dy <= up; dy++ {
		for dx := left; dx <= right; dx++ {
			if dx == 0 && dy == 0 && alone {
				continue
			}
			if v := w.nearIn(p, hashCell(col+dx, row+dy)); v >= 0 && (best < 0 || v < best) {
				best = v
			}
		}
	}
	return best
}

func (w *welder) nearIn(p orb.Point, hash uint32) int32 {
	best := int32(-1)
	for slot := hash & w.mask; w.table[slot].vertex != 0; slot = (slot + 1) & w.mask {
		e := w.table[slot]
		if e.hash != hash || best >= 0 && e.vertex-1 > best {
			continue
		}
		q := w.points[w.first[e.vertex-1]]
		dx, dy := (p[0]-q[0])*w.plane.scale.X, (p[1]-q[1])*w.plane.scale.Y
		if float64(dx*dx)+float64(dy*dy) < w.tol2 {
			best = e.vertex - 1
		}
	}
	return best
}

func (w *welder) add(i int32, hash, slot uint32) int32 {
	w.first = append(w.first, i)
	w.table[slot] = entry{hash, int32(len(w.first))}
	if 5*len(w.first) > 3*len(w.table) {
		w.resize(2 * len(w.table))
	}
	return int32(len(w.first) - 1)
}

func (w *welder) resize(slots int) {
	old := w.table
	w.table = make([]entry, slots)
	w.mask = uint32(slots - 1)
	for _, e := range old {
		if e.vertex == 0 {
			continue
		}
		slot := e.hash & w.mask
		for w.table[slot].vertex != 0 {
			slot = (slot + 1) & w.mask
		}
		w.table[slot] = e
	}
}

// hashCell mixes a cell's column and row; the constants are odd and arbitrary.
func hashCell(col, row int32) uint32 {
	h := uint64(uint32(col))<<32 | uint64(uint32(row))
	h *= 0x9e3779b97f4a7c15
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	return uint32(h >> 32)
}
