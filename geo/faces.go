package geo

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// face is one piece of connected ground.
type face struct {
	shell loop
	holes []loop
	walk  int32 // that its shell is in
}

// faces finds the connected ground that sound boundary edges bound, in the
// order of their first node, or the flaw that there is.
func (g *graph) faces() ([]face, *flaw) {
	if f := g.alternation(); f != nil {
		return nil, f
	}
	if f := g.crossings(); f != nil {
		return nil, f
	}
	pieces, of, f := g.pieces()
	if f != nil {
		return nil, f
	}
	walks, in := g.walks()
	owner, f := g.owners(walks, in, pieces, of)
	if f != nil {
		return nil, f
	}
	var list []face
	number := make([]int, len(walks))
	for w, k := range walks {
		if k.shell >= 0 {
			number[w] = len(list)
			list = append(list, face{shell: k.loops[k.shell], walk: int32(w)})
		}
	}
	for w, k := range walks {
		f := &list[number[owner[w]]]
		for i, l := range k.loops {
			if i != k.shell {
				f.holes = append(f.holes, l)
			}
		}
	}
	for i := range list {
		slices.SortFunc(list[i].holes, compareLoops)
	}
	slices.SortFunc(list, func(x, y face) int { return compareLoops(x.shell, y.shell) })
	g.along = alongEdges(list, owner, in)
	return list, nil
}

// alongEdges returns the face that lies along each edge.
func alongEdges(list []face, owner, in []int32) []int32 {
	number := make([]int32, len(owner))
	for i, f := range list {
		number[f.walk] = int32(i)
	}
	along := make([]int32, len(in))
	for e, w := range in {
		along[e] = number[owner[w]]
	}
	return along
}

// owners returns for each walk the one whose shell holds its ground: its own, or
// that of the walk above the top of its piece, which is always higher up.
func (g *graph) owners(walks []walk, in []int32, pieces []piece, of []int32) ([]int32, *flaw) {
	owner := make([]int32, len(walks))
	for w := range owner {
		k := int32(w)
		for walks[k].shell < 0 {
			n := walks[k].loops[0].nodes[0]
			above := pieces[of[n]].above
			if above < 0 {
				return nil, &flaw{g.pos[n], "a hole has no ground around it", [2]int32{g.outs[n], -1}}
			}
			k = in[above]
		}
		owner[w] = k
	}
	return owner, nil
}

func compareLoops(x, y loop) int { return slices.Compare(x.nodes, y.nodes) }

// polygons returns the faces as rings that share one backing array, closed, shells
// counter-clockwise, with the places that place gives for the nodes' vertices.
func (g *graph) polygons(faces []face, place func(vertex int32) orb.Point) orb.MultiPolygon {
	size := 0
	for _, f := range faces {
		size += len(f.shell.nodes) + 1
		for _, h := range f.holes {
			size += len(h.nodes) + 1
		}
	}
	slab := make([]orb.Point, 0, size)
	ring := func(l loop) orb.Ring {
		from := len(slab)
		for _, n := range l.nodes {
			slab = append(slab, place(g.vertex[n]))
		}
		slab = append(slab, slab[from])
		return orb.Ring(slab[from:len(slab):len(slab)])
	}
	mp := make(orb.MultiPolygon, 0, len(faces))
	for _, f := range faces {
		polygon := make(orb.Polygon, 0, 1+len(f.holes))
		polygon = append(polygon, ring(f.shell))
		for _, h := range f.holes {
			polygon = append(polygon, ring(h))
		}
		mp = append(mp, polygon)
	}
	return mp
}

// loop is a closed walk over edges that meets no node twice. As ground is on its
// left, a shell goes counter-clockwise and a hole clockwise.
type loop struct {
	nodes []int32 // the first one is the least; it doesn't stand again at the end
	shell bool
}

// walk is a whole boundary of one piece of connected ground, as one goes along
// it with the ground on the left: one loop, or several that touch.
type walk struct {
	loops []loop
	shell int // which of them is a shell; -1 if none
}

// walks takes the sharpest left at each node: the first outgoing edge clockwise
// from the edge just walked. So pieces of ground that touch at a corner are
// kept apart, and holes that touch stay with the ground between them. It also
// returns the walk that each edge is in.
func (g *graph) walks() ([]walk, []int32) {
	next := g.successors()
	in := make([]int32, len(g.edges))
	for i := range in {
		in[i] = -1
	}
	var list []walk
	cut := cutter{g: g, at: make([]int32, len(g.vertex))}
	for e := range int32(len(g.edges)) {
		if in[e] >= 0 {
			continue
		}
		cut.path = cut.path[:0]
		w := walk{shell: -1}
		for k := e; in[k] < 0; k = next[k] {
			in[k] = int32(len(list))
			w.loops = cut.step(w.loops, g.edges[k])
		}
		w.shell = slices.IndexFunc(w.loops, func(l loop) bool { return l.shell })
		list = append(list, w)
	}
	return list, in
}

// successors returns the edge that is walked after each edge.
func (g *graph) successors() []int32 {
	next := make([]int32, len(g.edges))
	var at []spoke
	for n := range int32(len(g.vertex)) {
		if g.simple(n) {
			next[g.into[g.ins[n]]] = g.outs[n]
			continue
		}
		at, _ = g.spokes(n, at[:0])
		for i, s := range at {
			if !s.out {
				next[s.edge] = at[(i+len(at)-1)%len(at)].edge
			}
		}
	}
	return next
}

// cutter cuts a loop off a path whenever the path meets a node again.
type cutter struct {
	g    *graph
	path []int32
	at   []int32 // per node: where on the path it stands, from 1; 0 if it doesn't
}

func (c *cutter) step(loops []loop, e edge) []loop {
	if len(c.path) == 0 {
		c.push(e.a)
	}
	from := c.at[e.b]
	if from == 0 {
		c.push(e.b)
		return loops
	}
	nodes := slices.Clone(c.path[from-1:])
	for _, n := range c.path[from:] {
		c.at[n] = 0
	}
	c.path = c.path[:from]
	if from == 1 { // back at the start; if the walk goes on from here, it starts anew
		c.at[e.b] = 0
		c.path = c.path[:0]
	}
	return append(loops, c.g.newLoop(nodes))
}

func (c *cutter) push(n int32) {
	c.path = append(c.path, n)
	c.at[n] = int32(len(c.path))
}

// newLoop turns a loop to start at its least node and finds its sense from the
// turn at its lowest one, which is exact.
func (g *graph) newLoop(nodes []int32) loop {
	least, low := 0, 0
	for i, n := range nodes {
		if n < nodes[least] {
			least = i
		}
		p, q := g.pos[n], g.pos[nodes[low]]
		if cmp.Or(cmp.Compare(p[1], q[1]), cmp.Compare(p[0], q[0])) < 0 {
			low = i
		}
	}
	before, after := nodes[(low+len(nodes)-1)%len(nodes)], nodes[(low+1)%len(nodes)]
	shell := orient(g.pos[before], g.pos[nodes[low]], g.pos[after]) > 0
	return loop{slices.Concat(nodes[least:], nodes[:least]), shell}
}
