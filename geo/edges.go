package geo

import (
	"iter"
	"slices"
)

// edge goes from vertex a to vertex b with its ground on the left. src is the
// point of the layer that it starts from, which tells its record.
type edge struct{ a, b, src int32 }

// ringEdges yields the edges of the kept records, turned so that shells go
// counter-clockwise and holes clockwise; edges without length are left out.
func (m *Mesh) ringEdges(keep func(record int) bool) iter.Seq[edge] {
	return func(yield func(edge) bool) {
		for record := range m.drawn.Len() {
			if keep != nil && !keep(record) {
				continue
			}
			from, to := m.drawn.ShapeRings(record)
			for r := from; r < to; r++ {
				if !m.yieldRing(r, yield) {
					return
				}
			}
		}
	}
}

func (m *Mesh) yieldRing(r int, yield func(edge) bool) bool {
	from, to := m.drawn.PointSpan(r)
	flip := m.flip[r]
	for i := from; i+1 < to; i++ {
		a, b := m.vertex[i], m.vertex[i+1]
		if a == b {
			continue
		}
		if flip {
			a, b = b, a
		}
		if !yield(edge{a, b, int32(i)}) {
			return false
		}
	}
	return true
}

// cancel returns the edges that are left when opposite ones have canceled, in the
// order of their lower vertex. Where an edge is there twice in one direction it
// stays twice. Vertices are below n.
//
// Edges are dealt into one bucket per lower vertex. As vertices are numbered in
// file order, neighbors in the file share buckets that lie close in memory.
func cancel(edges iter.Seq[edge], n int) []edge {
	ends := make([]int32, n+1)
	total := 0
	for e := range edges {
		ends[min(e.a, e.b)+1]++
		total++
	}
	for i := 1; i <= n; i++ {
		ends[i] += ends[i-1]
	}
	dealt := make([]edge, total)
	for e := range edges {
		low := min(e.a, e.b)
		dealt[ends[low]] = e
		ends[low]++
	}
	kept := dealt[:0]
	from := int32(0)
	for v := range n {
		to := ends[v]
		kept = append(kept, cancelBucket(dealt[from:to])...)
		from = to
	}
	return slices.Clone(kept)
}

// cancelBucket removes opposite pairs from the edges of one lower vertex and
// returns the rest, in its argument's array.
func cancelBucket(bucket []edge) []edge {
	if len(bucket) > 32 {
		return cancelLargeBucket(bucket)
	}
	kept := 0
next:
	for _, e := range bucket {
		for k := kept - 1; k >= 0; k-- {
			if bucket[k].a == e.b && bucket[k].b == e.a {
				kept--
				copy(bucket[k:kept], bucket[k+1:kept+1])
				continue next
			}
		}
		bucket[kept] = e
		kept++
	}
	return bucket[:kept]
}

// cancelLargeBucket sorts, so that a vertex with many edges stays affordable.
func cancelLargeBucket(bucket []edge) []edge {
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
