package geo

import (
	"iter"
	"slices"
)

// fewAround is how many edges of one lower vertex are held against each other as they come:
// beyond, they are sorted, so that a vertex with many edges stays affordable.
const fewAround = 32

// canceler cancels opposite edges as they come. Neighbors in the file mostly cancel soon,
// so that few edges are open at a time.
type canceler struct {
	met  func(src, other int32) // told of each pair that cancels, by where they start; may be nil
	last []int32                // per lower vertex: its last open edge, from 1; 0 for none
	seen []uint8                // per lower vertex: its edges so far, up to fewAround
	open []openEdge
	free int32            // the first of those in open that are free, from 1; 0 for none
	more map[int32][]edge // per lower vertex: those beyond fewAround, in order
}

// openEdge is an edge that has not met its opposite.
type openEdge struct {
	edge
	next int32 // the one before of the same lower vertex, or the next free one; 0 for none
}

// cancel returns the edges that are left when opposite ones have canceled, in the
// order of their lower vertex. Where an edge is there twice in one direction it
// stays twice. Vertices are below n.
func cancel(edges iter.Seq[edge], n int, met func(src, other int32)) []edge {
	c := &canceler{met: met, last: make([]int32, n), seen: make([]uint8, n), more: map[int32][]edge{}}
	for e := range edges {
		c.add(e)
	}
	return c.left()
}

func (c *canceler) add(e edge) {
	v := min(e.a, e.b)
	if c.seen[v] == fewAround {
		c.more[v] = append(c.more[v], e)
		return
	}
	c.seen[v]++
	for at := &c.last[v]; *at != 0; at = &c.open[*at-1].next {
		if o := &c.open[*at-1]; o.a == e.b && o.b == e.a {
			if c.met != nil {
				c.met(e.src, o.src)
			}
			c.free, *at, o.next = *at, o.next, c.free
			return
		}
	}
	at := c.free
	if at == 0 {
		c.open = append(c.open, openEdge{})
		at = int32(len(c.open))
	} else {
		c.free = c.open[at-1].next
	}
	c.open[at-1] = openEdge{e, c.last[v]}
	c.last[v] = at
}

// left lists the open edges.
func (c *canceler) left() (left []edge) {
	for v, at := range c.last {
		from := len(left)
		for ; at != 0; at = c.open[at-1].next {
			left = append(left, c.open[at-1].edge)
		}
		slices.Reverse(left[from:])
		if c.seen[v] < fewAround {
			continue
		}
		if more := c.more[int32(v)]; more != nil {
			left = append(left[:from], cancelMany(append(left[from:], more...), c.met)...)
		}
	}
	return left
}

// cancelMany cancels the edges of one lower vertex and returns the rest, in its argument's
// array, sorted by the higher vertex.
func cancelMany(bucket []edge, met func(src, other int32)) []edge {
	high := func(e edge) int32 { return max(e.a, e.b) }
	slices.SortStableFunc(bucket, func(x, y edge) int { return int(high(x)) - int(high(y)) })
	kept := 0
	for from := 0; from < len(bucket); {
		to := from + 1
		for to < len(bucket) && high(bucket[to]) == high(bucket[from]) {
			to++
		}
		start := kept
		for _, e := range bucket[from:to] {
			if kept > start && bucket[kept-1].a == e.b && bucket[kept-1].b == e.a {
				if met != nil {
					met(e.src, bucket[kept-1].src)
				}
				kept--
				continue
			}
			bucket[kept] = e
			kept++
		}
		from = to
	}
	return bucket[:kept]
}

// ringEdges yields the edges of the kept records, turned so that shells go
// counter-clockwise and holes clockwise; edges without length are left out.
func (m *Mesh) ringEdges(keep func(record int) bool) iter.Seq[edge] {
	return func(yield func(edge) bool) {
		point, ring := 0, 0
		for record, polygons := range m.drawn.ShapeEnds {
			rings := 0
			if polygons > 0 {
				rings = int(m.drawn.PolyEnds[polygons-1])
			}
			kept := keep == nil || keep(record)
			for ; ring < rings; ring++ {
				end := int(m.drawn.RingEnds[ring])
				if kept && !m.yieldRing(point, end, m.flip[ring], yield) {
					return
				}
				point = end
			}
		}
	}
}

// yieldRing yields the edges of the ring that some points make.
func (m *Mesh) yieldRing(from, to int, flip bool, yield func(edge) bool) bool {
	for i := from + 1; i < to; i++ {
		a, b := m.at(i-1), m.at(i)
		if a == b {
			continue
		}
		if flip {
			a, b = b, a
		}
		if !yield(edge{a, b, int32(i - 1)}) {
			return false
		}
	}
	return true
}
