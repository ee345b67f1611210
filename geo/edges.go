package geo

import (
	"cmp"
	"slices"
	"sync/atomic"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
)

// boundaryEdges is what remains of a layer's edges: those that separate covered ground
// from bare ground, or that don't fit their neighbors.
type boundaryEdges struct {
	edges  []edge
	splits int       // vertices that were put into edges
	delta  float64   // what that changed under the edges, as [underEdge] counts
	bent   []float64 // the same for each edge that was split, absolute

	tangled bool // too many vertices lie on edges: not all were put into them
}

// Bounds of how many vertices are put into edges. In a layer of a field a vertex
// lies on an edge or two; edges along one line by the thousand would otherwise be
// cut into pieces by the million.
const (
	fewSplits  = 100_000
	mostSplits = 16 // and as many an edge
)

// maxRounds bounds how often edges are split: an edge that was bent to a vertex
// can come within the tolerance of another one.
const maxRounds = 4

// boundary cancels the edges of the kept records, splits what is left at
// vertices that lie on it, and cancels again. Those of all records, which overlaps
// and gaps both ask for, are kept; they are not to be changed.
func (m *Mesh) boundary(keep func(record int) bool) boundaryEdges {
	if keep != nil {
		return m.cancelAndSplit(keep)
	}
	m.once.Do(func() { m.whole = m.cancelAndSplit(nil) })
	return m.whole
}

func (m *Mesh) cancelAndSplit(keep func(record int) bool) boundaryEdges {
	var l boundaryEdges
	l.edges = cancel(m.ringEdges(keep), len(m.first), m.met)
	for range maxRounds {
		split := m.split(&l)
		if split == nil {
			break
		}
		l.edges = cancel(slices.Values(split), len(m.first), m.met)
	}
	return l
}

// split puts the vertices of boundary edges into the edges that they lie on,
// within the tolerance. It returns nil if there are none, or too many.
func (m *Mesh) split(l *boundaryEdges) []edge {
	vertices := m.startsOf(l.edges)
	places := make([]orb.Point, len(vertices))
	cores.Blocks(len(places), cores.Block, func(from, to int) {
		for i := from; i < to; i++ {
			places[i] = m.place(vertices[i])
		}
	})
	starts := boxtree.New(len(places), func(i int) orb.Bound { return orb.Bound{Min: places[i], Max: places[i]} })
	var inserted atomic.Int64
	most := int64(fewSplits + mostSplits*len(l.edges))
	split := cores.Collect(len(l.edges), cores.Block, func(from, to int) []edge {
		var hits []onEdge
		out := make([]edge, 0, to-from)
		look := boxtree.Lookup{Tree: starts, Ends: m.edgeEnds(l.edges), Reach: m.tol}
		look.Each(from, to, func(i int, near []int32) bool {
			hits = m.verticesOn(l.edges[i], vertices, places, near, hits[:0])
			out = appendSplit(out, l.edges[i], hits)
			return inserted.Add(int64(len(hits))) <= most
		})
		return out
	})
	added := inserted.Load()
	if added == 0 || added > most {
		l.tangled = added > most
		return nil
	}
	l.splits += int(added)
	m.measureBends(l, split)
	return split
}

// onEdge is a vertex that lies on an edge, at a share of its length.
type onEdge struct {
	at     float64
	vertex int32
}

// edgeEnds gives the ends of edges in meters.
func (m *Mesh) edgeEnds(edges []edge) func(i int) (a, b orb.Point) {
	return func(i int) (a, b orb.Point) { return m.place(edges[i].a), m.place(edges[i].b) }
}

// startsOf returns the vertices of boundary edges, each once: as those edges form
// closed walks, each vertex of theirs starts one.
func (m *Mesh) startsOf(edges []edge) []int32 {
	seen := make([]bool, len(m.first))
	vertices := make([]int32, 0, len(edges))
	for _, e := range edges {
		if !seen[e.a] {
			seen[e.a] = true
			vertices = append(vertices, e.a)
		}
	}
	return vertices
}

// verticesOn appends those of the near vertices, given by their places in a list,
// that lie within the tolerance of an edge and between its ends, in its direction.
func (m *Mesh) verticesOn(e edge, vertices []int32, places []orb.Point, near []int32, hits []onEdge) []onEdge {
	a, b := m.place(e.a), m.place(e.b)
	dx, dy := b[0]-a[0], b[1]-a[1]
	length2 := float64(dx*dx) + float64(dy*dy)
	for _, i := range near {
		v := vertices[i]
		if v == e.a || v == e.b {
			continue
		}
		p := places[i]
		at := (float64((p[0]-a[0])*dx) + float64((p[1]-a[1])*dy)) / length2
		if at > 0 && at < 1 && distance2(p, orb.Point{a[0] + float64(at*dx), a[1] + float64(at*dy)}) <= m.tol*m.tol {
			hits = append(hits, onEdge{at, v})
		}
	}
	if len(hits) < 2 {
		return hits
	}
	slices.SortFunc(hits, func(x, y onEdge) int {
		return cmp.Or(cmp.Compare(x.at, y.at), cmp.Compare(x.vertex, y.vertex))
	})
	return slices.CompactFunc(hits, func(x, y onEdge) bool { return x.vertex == y.vertex })
}

func appendSplit(out []edge, e edge, hits []onEdge) []edge {
	a := e.a
	for _, h := range hits {
		out = append(out, edge{a, h.vertex, e.src})
		a = h.vertex
	}
	return append(out, edge{a, e.b, e.src})
}

// measureBends adds what splitting changed: split holds the parts of each of l's
// edges in turn.
func (m *Mesh) measureBends(l *boundaryEdges, split []edge) {
	k := 0
	for _, e := range l.edges {
		if split[k].b == e.b {
			k++
			continue
		}
		bend := -underEdge(m.site(e.a), m.site(e.b))
		for end := e.b; ; k++ {
			bend += underEdge(m.site(split[k].a), m.site(split[k].b))
			if split[k].b == end {
				k++
				break
			}
		}
		l.delta += bend
		l.bent = append(l.bent, bend)
	}
}

// edge goes from vertex a to vertex b with its ground on the left. src is the
// point of the layer that it starts from, which tells its record.
type edge struct{ a, b, src int32 }
