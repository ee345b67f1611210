package geo

import (
	"slices"

	"github.com/paulmach/orb"
)

// face is one connected stretch of ground.
type face struct {
	shell loop
	holes []loop
}

// faces finds the stretches of ground that sound leftover edges bound, in the
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
			list = append(list, face{shell: k.loops[k.shell]})
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
	return list, nil
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
