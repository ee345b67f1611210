package geo

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// Gap is bare ground between covered ground on both sides that is too narrow to
// be meant: a sliver or a slit, where zones were drawn not quite side by side.
type Gap struct {
	A, B   int         // records from 0 on its two sides, A ≤ B; they may be one
	Place  orb.Point   // lon/lat, inside it
	Width  unit.Length // on average
	Length unit.Length
	Area   unit.Area // width times length
}

func findGaps(m *Mesh, width unit.Length) []Gap {
	g := newGraph(m, m.boundary(nil).edges)
	if len(g.edges) == 0 {
		return nil
	}
	flat := make([]orb.Point, len(g.vertex))
	for n, v := range g.vertex {
		flat[n] = m.place(v)
	}
	f := &gapFinder{m: m, g: g, flat: flat, width: unit.Meters(width)}
	f.index()
	return f.gather(f.sights())
}

type gapFinder struct {
	m     *Mesh
	g     *graph
	flat  []orb.Point   // per node, meters
	boxes *boxtree.Tree // of the pieces of each edge in turn
	cut   int           // pieces of an edge
	width float64
}

// Long edges that slant, as spikes of a star do, have boxes that lie on each other. They
// are cut into pieces where a point lies in more than a few boxes, on average.
const (
	fewBoxes   = 64
	mostPieces = 16
)

// index finds edges by place.
func (f *gapFinder) index() {
	all, sum := bound(f.flat), 0.0
	for i := range f.g.edges {
		sum += areaOf(boxtree.Segment(f.ends(int32(i))))
	}
	f.cut = 1
	if size := areaOf(all); size > 0 {
		f.cut = int(min(max(1, math.Ceil(sum/size/fewBoxes)), mostPieces))
	}
	f.boxes = boxtree.New(len(f.g.edges)*f.cut, func(i int) orb.Bound {
		a, b := f.ends(int32(i / f.cut))
		part := func(k int) orb.Point {
			if k == f.cut {
				return b
			}
			at := float64(k) / float64(f.cut)
			return orb.Point{a[0] + float64(at*(b[0]-a[0])), a[1] + float64(at*(b[1]-a[1]))}
		}
		return boxtree.Segment(part(i%f.cut), part(i%f.cut+1))
	})
}

func areaOf(b orb.Bound) float64 {
	return float64((b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1]))
}

func (f *gapFinder) ends(e int32) (a, b orb.Point) {
	return f.flat[f.g.edges[e].a], f.flat[f.g.edges[e].b]
}

// sight is what an edge sees across a gap: the edge opposite and how far it is.
type sight struct {
	opposite int32 // -1: nothing within the width
	across   float64
}

func (f *gapFinder) sights() []sight {
	seen := make([]sight, len(f.g.edges))
	cores.Blocks(len(seen), cores.Block, func(from, to int) {
		for e := from; e < to; e++ {
			seen[e] = f.look(int32(e))
		}
	})
	return seen
}

// look follows a ray from the middle of an edge to its right.
func (f *gapFinder) look(e int32) sight {
	a, b := f.ends(e)
	length := samebits.Hypot(b[0]-a[0], b[1]-a[1])
	from := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	dx, dy := (b[1]-a[1])/length, -(b[0]-a[0])/length
	to := orb.Point{from[0] + float64(dx*f.width), from[1] + float64(dy*f.width)}
	best := sight{-1, f.width}
	inward := false
	f.boxes.Search(boxtree.Along(from, to, 0), func(piece int32) bool {
		k := piece / int32(f.cut)
		if k == e {
			return true
		}
		c, d := f.ends(k)
		ex, ey := d[0]-c[0], d[1]-c[1]
		det := float64(dx*ey) - float64(dy*ex)
		if det == 0 {
			return true
		}
		along := (float64((c[0]-from[0])*ey) - float64((c[1]-from[1])*ex)) / det
		at := (float64((c[0]-from[0])*dy) - float64((c[1]-from[1])*dx)) / det
		if along > 0 && along < best.across && at >= 0 && at <= 1 {
			best = sight{k, along}
			inward = det < 0 // the ray passes to the edge's left: onto its ground
		}
		return true
	})
	if !inward {
		best.opposite = -1
	}
	return best
}

// gather joins sights that follow one another, or face each other, into gaps.
func (f *gapFinder) gather(seen []sight) []Gap {
	set := NewSets(len(seen))
	for e, s := range seen {
		if s.opposite < 0 {
			continue
		}
		if seen[s.opposite].opposite >= 0 {
			set.Join(int32(e), s.opposite)
		}
		n := f.g.edges[e].b
		for k := f.g.outs[n]; k < f.g.outs[n+1]; k++ {
			if seen[k].opposite >= 0 {
				set.Join(int32(e), k)
			}
		}
	}
	sums := map[int32]*gapSum{}
	var order []int32
	for e, s := range seen {
		if s.opposite < 0 {
			continue
		}
		root := set.Find(int32(e))
		if sums[root] == nil {
			sums[root] = &gapSum{}
			order = append(order, root)
		}
		f.add(sums[root], int32(e), s)
	}
	gaps := make([]Gap, 0, len(order))
	for _, root := range order {
		gaps = append(gaps, f.gap(sums[root]))
	}
	slices.SortStableFunc(gaps, func(x, y Gap) int {
		if x.A != y.A {
			return x.A - y.A
		}
		return x.B - y.B
	})
	return gaps
}

// gapSum adds up the edges along a gap; most of it is seen from both sides.
type gapSum struct {
	length, area float64 // of both sides
	longest      float64
	widest       int32 // the longest edge, which tells where the gap is
	sight        sight
}

func (f *gapFinder) add(sum *gapSum, e int32, s sight) {
	a, b := f.ends(e)
	length := samebits.Hypot(b[0]-a[0], b[1]-a[1])
	sum.length += length
	sum.area += float64(length * s.across)
	if length > sum.longest {
		sum.longest, sum.widest, sum.sight = length, e, s
	}
}

func (f *gapFinder) gap(sum *gapSum) Gap {
	a, b := f.g.pos[f.g.edges[sum.widest].a], f.g.pos[f.g.edges[sum.widest].b]
	c, d := f.g.pos[f.g.edges[sum.sight.opposite].a], f.g.pos[f.g.edges[sum.sight.opposite].b]
	from := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	across := nearest(from, c, d)
	x := f.m.recordOfPoint(f.g.edges[sum.widest].src)
	y := f.m.recordOfPoint(f.g.edges[sum.sight.opposite].src)
	return Gap{
		A: min(x, y), B: max(x, y),
		Place:  orb.Point{(from[0] + across[0]) / 2, (from[1] + across[1]) / 2},
		Width:  unit.Length(sum.area/sum.length) * unit.Meter,
		Length: unit.Length(sum.length/2) * unit.Meter,
		Area:   meters2(sum.area / 2),
	}
}
