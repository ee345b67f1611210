package geo

import (
	"cmp"
	"slices"
)

// loop is a closed walk over edges that meets no node twice. As ground is on its
// left, a shell goes counter-clockwise and a hole clockwise.
type loop struct {
	nodes []int32 // the first one is the least; it doesn't stand again at the end
	shell bool
}

// walk is a whole boundary of one connected stretch of ground, as one goes along
// it with the ground on the left: one loop, or several that touch.
type walk struct {
	loops []loop
	shell int // which of them is a shell; -1 if none
}

// walks takes the sharpest left at each node: the first outgoing edge clockwise
// from the edge just walked. So stretches of ground that touch at a corner are
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
