package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// graph is the boundary edges as they lie in lon/lat. Where it is sound, its edges
// part covered ground, on their left, from bare ground.
type graph struct {
	vertex []int32     // per node: the mesh's vertex, ascending
	pos    []orb.Point // per node: lon/lat
	edges  []edge      // a and b are nodes; in the order of a
	outs   []int32     // node n starts edges outs[n] to outs[n+1], the end excluded
	ins    []int32     // node n ends edges into[ins[n]:ins[n+1]]
	into   []int32
	boxes  *boxtree.Tree // of the edges
	along  []int32       // per edge: the face along it, once they are found
}

// flaw is a place where boundary edges can't be an outline.
type flaw struct {
	place orb.Point
	why   string
	edges [2]int32 // that show it; -1 where there is none
}

func newGraph(m *Mesh, left []edge) *graph {
	g := &graph{edges: make([]edge, len(left))}
	node := g.nodes(m, left)
	g.outs = make([]int32, len(g.vertex)+1)
	g.ins = make([]int32, len(g.vertex)+1)
	for _, e := range left {
		g.outs[node[e.a]+1]++
		g.ins[node[e.b]+1]++
	}
	for n := range g.vertex {
		g.outs[n+1] += g.outs[n]
		g.ins[n+1] += g.ins[n]
	}
	next := slices.Clone(g.outs)
	for _, e := range left {
		a := node[e.a]
		g.edges[next[a]] = edge{a, node[e.b], e.src}
		next[a]++
	}
	copy(next, g.ins)
	g.into = make([]int32, len(left))
	for i, e := range g.edges {
		g.into[next[e.b]] = int32(i)
		next[e.b]++
	}
	return g
}

// nodes finds the vertices of the edges and their places, and returns the node of
// each vertex. Longitudes are counted on from the first node, so that a layer
// drawn across the 180° meridian holds together.
func (g *graph) nodes(m *Mesh, left []edge) []int32 {
	node := make([]int32, len(m.first))
	for _, e := range left {
		node[e.a] = 1 // each vertex of a closed walk starts an edge
	}
	for v := range node {
		if node[v] == 0 {
			continue
		}
		node[v] = int32(len(g.vertex))
		g.vertex = append(g.vertex, int32(v))
	}
	g.pos = make([]orb.Point, len(g.vertex))
	for n, v := range g.vertex {
		p := m.lonLat(v)
		if n > 0 && math.Abs(p[0]-g.pos[0][0]) > 180 {
			p[0] = g.pos[0][0] + math.Remainder(p[0]-g.pos[0][0], 360)
		}
		g.pos[n] = p
	}
	return node
}

func (g *graph) index() *boxtree.Tree {
	if g.boxes == nil {
		g.boxes = boxtree.New(len(g.edges), func(i int) orb.Bound {
			return boxtree.Segment(g.ends(i))
		})
	}
	return g.boxes
}

func (g *graph) ends(i int) (a, b orb.Point) { return g.pos[g.edges[i].a], g.pos[g.edges[i].b] }

// simple reports whether just one edge comes into a node, and one goes out.
func (g *graph) simple(n int32) bool { return g.outs[n+1]-g.outs[n] == 1 }

// spoke is an edge seen from one of its ends.
type spoke struct {
	edge int32
	far  int32 // the node at its other end
	out  bool  // the edge starts here
}

// spokes appends the edges at a node, counter-clockwise from east. It reports
// whether no two go the same way.
func (g *graph) spokes(n int32, at []spoke) ([]spoke, bool) {
	for e := g.outs[n]; e < g.outs[n+1]; e++ {
		at = append(at, spoke{e, g.edges[e].b, true})
	}
	for _, e := range g.into[g.ins[n]:g.ins[n+1]] {
		at = append(at, spoke{e, g.edges[e].a, false})
	}
	slices.SortFunc(at, func(x, y spoke) int {
		return cmp.Or(g.compareAngle(n, x.far, y.far), cmp.Compare(x.edge, y.edge))
	})
	for i := 1; i < len(at); i++ {
		if g.compareAngle(n, at[i-1].far, at[i].far) == 0 {
			return at, false
		}
	}
	return at, true
}

// compareAngle compares the directions from a node to two others, from east
// counter-clockwise.
func (g *graph) compareAngle(n, x, y int32) int {
	o, p, q := g.pos[n], g.pos[x], g.pos[y]
	if c := cmp.Compare(below(o, p), below(o, q)); c != 0 {
		return c
	}
	return -orient(o, p, q)
}

// below is 0 for directions from east to just before west, 1 for the others.
func below(o, p orb.Point) int {
	if p[1] > o[1] || p[1] == o[1] && p[0] > o[0] {
		return 0
	}
	return 1
}

// Sets are disjoint sets of the numbers below n, such as records; the least number of
// each names it.
type Sets []int32

// NewSets puts each number below n into a set of its own.
func NewSets(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// Find returns the number that names the set of i.
func (s Sets) Find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// Join makes one set of those of a and b.
func (s Sets) Join(a, b int32) {
	a, b = s.Find(a), s.Find(b)
	s[max(a, b)] = min(a, b)
}
