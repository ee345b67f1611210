package geo

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

// sweep goes over edges from west to east and keeps those at hand in the order of
// their heights (M. I. Shamos and D. Hoey, Geometric Intersection Problems, 1976). Its
// cost grows nearly with the number of edges, however they lie: that of a search by
// boxes does not where long edges slant beside each other. The order is exact as long
// as no edges cross; those that share an end or touch are no obstacle.
type sweep struct {
	from, to []orb.Point // of each edge; from is farther west, or south if that is equal
	blocks   [][]int32   // the edges at hand from below, in blocks that are not empty
}

// sweepBlock is how many edges of a block are too many.
const sweepBlock = 512

func (s *sweep) add(a, b orb.Point) {
	if comparePoints(b, a) < 0 {
		a, b = b, a
	}
	s.from, s.to = append(s.from, a), append(s.to, b)
}

func comparePoints(a, b orb.Point) int {
	return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

// run calls visit as edges come up and go, with the edges right below and above, -1
// for none: of starts once the edge is at hand, of ends before it goes. It stops when
// visit returns false, and returns false if so or if crossing edges lost their order.
func (s *sweep) run(visit func(edge, below, above int32, starts bool) bool) bool {
	for _, e := range s.events() {
		if !s.step(e, visit) {
			return false
		}
	}
	return true
}

// step takes up the next event.
func (s *sweep) step(e int32, visit func(edge, below, above int32, starts bool) bool) bool {
	edge, starts := e>>1, e&1 == 1
	block, at := s.find(edge)
	if starts {
		s.insert(edge, block, at)
		block, at = s.find(edge)
	}
	if block == len(s.blocks) || at == len(s.blocks[block]) || s.blocks[block][at] != edge {
		return false
	}
	if !visit(edge, s.near(block, at-1), s.near(block, at+1), starts) {
		return false
	}
	if !starts {
		s.remove(block, at)
	}
	return true
}

// above calls found for points, in the order from west to east, with the lowest edge that is
// above each, -1 for none: one that passes over the point or starts there, and does not
// end there. It returns false if crossing edges lost their order. No edge may run straight north:
// then it does not matter in which order edges end that end as far east, nor in which others start,
// which start after that.
func (s *sweep) above(points []orb.Point, found func(i int, edge int32)) bool {
	next := 0
	look := func(until float64) {
		for ; next < len(points) && points[next][0] < until; next++ {
			p := points[next]
			below := func(e int32) bool { return orient(s.from[e], s.to[e], p) >= 0 }
			block := sort.Search(len(s.blocks), func(b int) bool { return !below(s.blocks[b][len(s.blocks[b])-1]) })
			if block == len(s.blocks) {
				found(next, -1)
				continue
			}
			found(next, s.blocks[block][sort.Search(len(s.blocks[block]), func(k int) bool { return !below(s.blocks[block][k]) })])
		}
	}
	for starts, ends := fromWest(s.from), fromWest(s.to); len(ends) > 0; {
		if len(starts) > 0 && starts[0].x < ends[0].x {
			look(starts[0].x)
			block, at := s.find(starts[0].edge)
			s.insert(starts[0].edge, block, at)
			starts = starts[1:]
			continue
		}
		look(ends[0].x)
		block, at := s.find(ends[0].edge)
		if block == len(s.blocks) || at == len(s.blocks[block]) || s.blocks[block][at] != ends[0].edge {
			return false
		}
		s.remove(block, at)
		ends = ends[1:]
	}
	look(math.Inf(1))
	return true
}

// endAt is how far east an end of an edge is.
type endAt struct {
	x    float64
	edge int32
}

// fromWest lists ends of edges from west to east.
func fromWest(ends []orb.Point) []endAt {
	list := make([]endAt, len(ends))
	for i, p := range ends {
		list[i] = endAt{p[0], int32(i)}
	}
	slices.SortFunc(list, func(a, b endAt) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	return list
}

// events lists the ends of edges in their order, twice the edge and one more where it
// starts. At a point, edges end before others start, the lowest first.
func (s *sweep) events() []int32 {
	events := make([]int32, 0, 2*len(s.from))
	for i := range s.from {
		events = append(events, int32(2*i), int32(2*i+1))
	}
	slices.SortFunc(events, func(x, y int32) int {
		p, q := s.place(x), s.place(y)
		if c := cmp.Or(comparePoints(p, q), cmp.Compare(x&1, y&1)); c != 0 || x&1 == 0 {
			return cmp.Or(c, cmp.Compare(x, y))
		}
		return s.compare(x>>1, y>>1)
	})
	return events
}

// place returns where an event is.
func (s *sweep) place(e int32) orb.Point {
	if e&1 == 1 {
		return s.from[e>>1]
	}
	return s.to[e>>1]
}

// compare tells whether an edge lies below another one at hand at the same time, -1,
// or above, 1: the one that starts farther east decides.
func (s *sweep) compare(e, f int32) int {
	a, b, c, d := s.from[e], s.to[e], s.from[f], s.to[f]
	if comparePoints(a, c) < 0 {
		return cmp.Or(-orient(a, b, c), -orient(a, b, d), cmp.Compare(e, f))
	}
	return cmp.Or(orient(c, d, a), orient(c, d, b), cmp.Compare(e, f))
}

// find returns the place of the first edge at hand that is not below another.
func (s *sweep) find(edge int32) (block, at int) {
	block, _ = slices.BinarySearchFunc(s.blocks, edge, func(b []int32, e int32) int { return s.compare(b[len(b)-1], e) })
	if block == len(s.blocks) {
		return block, 0
	}
	at, _ = slices.BinarySearchFunc(s.blocks[block], edge, s.compare)
	return block, at
}

func (s *sweep) insert(edge int32, block, at int) {
	switch {
	case len(s.blocks) == 0:
		s.blocks = [][]int32{{edge}}
		return
	case block == len(s.blocks):
		block, at = block-1, len(s.blocks[block-1])
	}
	list := slices.Insert(s.blocks[block], at, edge)
	s.blocks[block] = list
	if half := len(list) / 2; len(list) > sweepBlock {
		s.blocks[block] = list[:half:half]
		s.blocks = slices.Insert(s.blocks, block+1, slices.Clone(list[half:]))
	}
}

func (s *sweep) remove(block, at int) {
	s.blocks[block] = slices.Delete(s.blocks[block], at, at+1)
	if len(s.blocks[block]) == 0 {
		s.blocks = slices.Delete(s.blocks, block, block+1)
	}
}

// near returns the edge at a place, which may be one off the ends of a block.
func (s *sweep) near(block, at int) int32 {
	if at < 0 {
		if block--; block < 0 {
			return -1
		}
		at = len(s.blocks[block]) - 1
	} else if at == len(s.blocks[block]) {
		if block, at = block+1, 0; block == len(s.blocks) {
			return -1
		}
	}
	return s.blocks[block][at]
}

// at returns where an edge crosses the vertical line at x.
func (s *sweep) at(edge int32, x float64) orb.Point {
	a, b := s.from[edge], s.to[edge]
	switch x {
	case a[0]:
		return a
	case b[0]:
		return b
	}
	return orb.Point{x, a[1] + float64((x-a[0])/(b[0]-a[0])*(b[1]-a[1]))}
}

// trapezoid is ground between two edges, from one longitude to another, or a box
// around several.
type trapezoid struct {
	floor, ceiling int32
	low, high      [2]orb.Point // in the west and in the east
	box            bool
}

func (t trapezoid) area() float64 {
	return float64((t.low[1][0] - t.low[0][0]) * (t.high[0][1] - t.low[0][1] + t.high[1][1] - t.low[1][1]) / 2)
}

// around returns the box around two.
func (t trapezoid) around(o trapezoid) trapezoid {
	west, east := t.low[0][0], o.low[1][0]
	low := min(t.low[0][1], t.low[1][1], o.low[0][1], o.low[1][1])
	high := max(t.high[0][1], t.high[1][1], o.high[0][1], o.high[1][1])
	o.low, o.high, o.box = [2]orb.Point{{west, low}, {east, low}}, [2]orb.Point{{west, high}, {east, high}}, true
	return o
}

// trapezoids cuts the ground inside rings, whose edges the sweep goes over, into
// trapezoids: not more than there are ends of edges. It reports whether no edges cross.
func (s *sweep) trapezoids() (list []trapezoid, ok bool) {
	inside := make([]bool, len(s.from)) // right above an edge
	since := make([]float64, len(s.from))
	emit := func(floor, ceiling int32, east float64) {
		if floor < 0 || ceiling < 0 || !inside[floor] || since[floor] >= east {
			return
		}
		west := since[floor]
		list = append(list, trapezoid{
			floor: floor, ceiling: ceiling,
			low:  [2]orb.Point{s.at(floor, west), s.at(floor, east)},
			high: [2]orb.Point{s.at(ceiling, west), s.at(ceiling, east)},
		})
	}
	ok = s.run(func(edge, below, above int32, starts bool) bool {
		x := s.to[edge][0]
		if starts {
			x = s.from[edge][0]
			emit(below, above, x)
			inside[edge] = below < 0 || !inside[below]
			since[edge] = x
		} else {
			emit(below, edge, x)
			emit(edge, above, x)
		}
		if below >= 0 {
			since[below] = x
		}
		return true
	})
	return list, ok
}
