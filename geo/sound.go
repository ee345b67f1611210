package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
)

// A set of boundary edges is an outline, with every place covered once or not at
// all, if and only if three things hold, each of which can be seen nearby:
// no two edges meet but at nodes; around each node ground and no ground take
// turns; and what stands above the top of each connected piece fits that piece.

// manyNear is how many edges near each edge are too many to hold each against them, as
// long slanting ones side by side have.
const manyNear = 128

// crossings returns a flaw if two edges meet elsewhere than at a common node.
func (g *graph) crossings() *flaw {
	type result struct {
		flaw    *flaw
		crowded bool
	}
	boxes := g.index()
	results := cores.Map(len(g.edges), cores.Block, func(from, to int) (r result) {
		look := boxtree.Lookup{Tree: boxes, Ends: g.ends}
		budget := manyNear * cores.Block
		look.Each(from, to, func(i int, near []int32) bool {
			budget -= len(near)
			r.flaw, r.crowded = g.crossed(i, near), budget < 0
			return r.flaw == nil && !r.crowded
		})
		return r
	})
	for _, r := range results {
		if r.flaw != nil {
			return r.flaw
		}
	}
	if slices.ContainsFunc(results, func(r result) bool { return r.crowded }) {
		return g.sweepCrossings()
	}
	return nil
}

// sweepCrossings is [graph.crossings] for crowded edges.
func (g *graph) sweepCrossings() (found *flaw) {
	var s sweep
	for i := range g.edges {
		s.add(g.ends(i))
	}
	ok := s.run(func(edge, below, above int32, starts bool) bool {
		switch {
		case !starts:
			found = g.crossed2(below, above)
		default:
			found = cmp.Or(g.crossed2(below, edge), g.crossed2(edge, above))
		}
		return found == nil
	})
	if !ok && found == nil {
		found = &flaw{g.pos[0], "edges cross", [2]int32{-1, -1}}
	}
	return found
}

// crossed2 is crossed for two edges in any order, -1 for none.
func (g *graph) crossed2(i, k int32) *flaw {
	if i < 0 || k < 0 {
		return nil
	}
	return g.crossed(int(min(i, k)), []int32{max(i, k)})
}

// crossed returns a flaw if one of the edges that are near, and come after edge i,
// meets it. Those with a common node are left to alternation.
func (g *graph) crossed(i int, near []int32) *flaw {
	e := g.edges[i]
	a, b := g.pos[e.a], g.pos[e.b]
	for _, k := range near {
		f := g.edges[k]
		if int(k) <= i || e.a == f.a || e.a == f.b || e.b == f.a || e.b == f.b {
			continue
		}
		if c, d := g.pos[f.a], g.pos[f.b]; meetSegments(a, b, c, d) != apart {
			return &flaw{crossing(a, b, c, d), "edges cross", [2]int32{int32(i), k}}
		}
	}
	return nil
}

// alternation returns a flaw if edges at a node lie on each other, or don't go in
// and out in turn.
func (g *graph) alternation() *flaw {
	var at []spoke
	for n := range int32(len(g.vertex)) {
		if g.simple(n) {
			continue
		}
		var distinct bool
		if at, distinct = g.spokes(n, at[:0]); !distinct {
			return &flaw{g.pos[n], "edges lie on each other", [2]int32{at[0].edge, -1}}
		}
		for i := range at {
			if at[i].out == at[(i+1)%len(at)].out {
				return &flaw{g.pos[n], "ground is covered twice", [2]int32{at[i].edge, at[(i+1)%len(at)].edge}}
			}
		}
	}
	return nil
}

// piece is a connected piece of the graph.
type piece struct {
	top    int32 // its highest node
	ground bool  // what surrounds it is covered ground
	above  int32 // the edge above its top; -1 if there is none
}

// pieces returns the connected pieces in the order of their first node, the piece
// of each node, and a flaw if what surrounds a piece is covered by one side's
// account and bare by the other's.
func (g *graph) pieces() ([]piece, []int32, *flaw) {
	of, list := g.connect()
	g.findAbove(list, of)
	for i := range list {
		p := &list[i]
		p.ground = g.groundAbove(p.top)
		covered := false
		if p.above >= 0 {
			e := g.edges[p.above]
			covered = g.pos[e.a][0] > g.pos[e.b][0] // westward: ground is below
		}
		if covered != p.ground {
			return nil, nil, &flaw{g.pos[p.top], "ground is covered twice", [2]int32{g.outs[p.top], p.above}}
		}
	}
	return list, of, nil
}

// findAbove finds the edge above each piece: by boxes, or by a sweep where too many long
// slanting edges lie above one another.
func (g *graph) findAbove(list []piece, of []int32) {
	boxes := g.index()
	crowded := slices.Contains(cores.Map(len(list), cores.Block, func(from, to int) bool {
		budget := manyNear * cores.Block
		for i := from; i < to && budget > 0; i++ {
			list[i].above = g.edgeAbove(boxes, list[i].top, of, &budget)
		}
		return budget <= 0
	}), true)
	if crowded && !g.sweepAbove(list) {
		boundless := math.MaxInt
		for i := range list {
			list[i].above = g.edgeAbove(boxes, list[i].top, of, &boundless)
		}
	}
}

// sweepAbove is [graph.findAbove] for crowded edges. None of a piece's own edges is above its
// top, nor is one that runs straight north. It returns false where edges cross.
func (g *graph) sweepAbove(list []piece) bool {
	var s sweep
	var edges []int32
	for i := range g.edges {
		if a, b := g.ends(i); a[0] != b[0] {
			s.add(a, b)
			edges = append(edges, int32(i))
		}
	}
	order := make([]int, len(list)) // of the pieces, by their tops
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(x, y int) int { return cmp.Compare(g.pos[list[x].top][0], g.pos[list[y].top][0]) })
	tops := make([]orb.Point, len(list))
	for i, n := range order {
		tops[i] = g.pos[list[n].top]
	}
	return s.above(tops, func(i int, edge int32) {
		if list[order[i]].above = -1; edge >= 0 {
			list[order[i]].above = edges[edge]
		}
	})
}

// connect finds the pieces and their tops.
func (g *graph) connect() (of []int32, list []piece) {
	set := NewSets(len(g.vertex))
	for _, e := range g.edges {
		set.Join(e.a, e.b)
	}
	of = make([]int32, len(g.vertex))
	for n := range of {
		root := set.Find(int32(n)) // the piece's first node
		if root == int32(n) {
			of[n] = int32(len(list))
			list = append(list, piece{top: root})
			continue
		}
		of[n] = of[root]
		if p := &list[of[n]]; g.pos[n][1] > g.pos[p.top][1] {
			p.top = int32(n)
		}
	}
	return of, list
}

// groundAbove tells whether covered ground is above the top of a piece. All edges
// there go down or level: the last one clockwise from straight up decides.
func (g *graph) groundAbove(top int32) bool {
	at, _ := g.spokes(top, nil)
	// From east counter-clockwise: a level one to the east comes first, else the
	// one farthest on is the nearest clockwise from straight up.
	if p := g.pos[at[0].far]; p[1] == g.pos[top][1] && p[0] > g.pos[top][0] {
		return at[0].out
	}
	return at[len(at)-1].out
}

// edgeAbove returns the first edge of another piece straight above a node, or -1.
// Where an edge ends there, the next one to the east counts. It takes the boxes that it
// looks at off a budget.
func (g *graph) edgeAbove(boxes *boxtree.Tree, n int32, of []int32, budget *int) int32 {
	p := g.pos[n]
	best, height := int32(-1), 0.0
	boxes.Search(func(b orb.Bound) bool {
		*budget--
		return b.Min[0] <= p[0] && p[0] <= b.Max[0] && b.Max[1] >= p[1] && (best < 0 || b.Min[1] <= height)
	}, func(k int32) bool {
		a, b := g.pos[g.edges[k].a], g.pos[g.edges[k].b]
		if a[0] > b[0] {
			a, b = b, a
		}
		if a[0] > p[0] || p[0] >= b[0] || of[g.edges[k].a] == of[n] || orient(a, b, p) >= 0 {
			return true
		}
		y := a[1] + float64((p[0]-a[0])*((b[1]-a[1])/(b[0]-a[0])))
		if best < 0 || g.lower(k, best) {
			best, height = k, y+float64(1e-15*(math.Abs(a[1])+math.Abs(b[1]))) // not lost by rounding
		}
		return true
	})
	return best
}

// lower tells whether edge k runs below edge best above the same place. Edges that don't cross
// are compared by the one that starts farther east, exactly.
func (g *graph) lower(k, best int32) bool {
	a, b := g.eastward(k)
	c, d := g.eastward(best)
	switch {
	case a == c:
		return orient(c, d, b) < 0
	case a[0] >= c[0]:
		if side := orient(c, d, a); side != 0 {
			return side < 0
		}
		return orient(c, d, b) < 0
	}
	if side := orient(a, b, c); side != 0 {
		return side > 0
	}
	return orient(a, b, d) > 0
}

func (g *graph) eastward(k int32) (from, to orb.Point) {
	from, to = g.pos[g.edges[k].a], g.pos[g.edges[k].b]
	if from[0] > to[0] {
		return to, from
	}
	return from, to
}
