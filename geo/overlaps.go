package geo

import (
	"slices"
	"sync/atomic"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

// Overlap is ground that two polygons cover.
type Overlap struct {
	A, B  int       // records from 0, A ≤ B; equal if two polygons of one record overlap
	Place orb.Point // lon/lat, inside it
	Area  unit.Area
}

// Bounds of what a layer may cost before it counts as too tangled, in proportion to
// its polygons: a grid has 4 pairs a cell whose boxes meet, and a layer that was
// joined with itself one overlap a polygon.
const (
	maxPairs  = 50_000_000
	fewPairs  = 1 << 20 // whose boxes meet
	mostPairs = 64      // and as many a polygon
	fewFound  = 10_000  // that cover common ground
	mostFound = 8       // and as many a polygon
)

// Overlaps finds the pairs of polygons that cover common ground. It returns the
// first max of them in the order of records, the acres of all, and how many more
// there are than listed. Where three polygons cover a place, each pair counts.
// Overlaps that are narrower than the tolerance on average are noise and left out.
//
// Where the leftover edges of the whole layer are sound, no ground is covered
// twice, and nothing is compared: a clean layer costs no more than its outline.
// Else every pair of polygons whose boxes meet is, as edges that cancel can hide
// one polygon under others. Where each lies on very many others, that is a
// [*TopologyError]: time and memory stay in proportion to the layer.
func (m *Mesh) Overlaps(max int) (list []Overlap, total unit.Area, more int, err error) {
	if m.clean() {
		return nil, 0, 0, nil
	}
	if m.leftovers(nil).tangled {
		return nil, 0, 0, m.tangled()
	}
	pairs, err := m.closePairs()
	if err != nil {
		return nil, 0, 0, err
	}
	found, err := m.overlapsOf(pairs)
	if err != nil {
		return nil, 0, 0, err
	}
	for _, o := range found {
		total += o.Area
	}
	listed := min(len(found), max)
	return slices.Clone(found[:listed]), total, len(found) - listed, nil
}

// overlapsOf returns the overlaps of pairs of polygons, in order.
func (m *Mesh) overlapsOf(pairs []pair) ([]Overlap, error) {
	found := make([][]Overlap, cores.Count(len(pairs), cores.Block))
	most := int64(fewFound + mostFound*len(m.drawn.PolyEnds))
	var count atomic.Int64
	err := cores.Try(len(pairs), cores.Block, func(from, to int) error {
		for _, p := range pairs[from:to] {
			if count.Load() > most {
				break
			}
			o, err := m.overlap(p)
			if err != nil {
				return err
			}
			if o.Area > 0 {
				found[from/cores.Block] = append(found[from/cores.Block], o)
				count.Add(1)
			}
		}
		return nil
	})
	if count.Load() > most {
		return nil, m.tangled()
	}
	return slices.Concat(found...), err
}

// clean reports whether the leftover edges of all records are an outline.
func (m *Mesh) clean() bool {
	g := m.newGraph(m.leftovers(nil).edges)
	if g.alternation() != nil || g.crossings() != nil {
		return false
	}
	_, _, flaw := g.pieces()
	return flaw == nil
}

// pair is two polygons, by number; records are in order of their polygons.
type pair struct{ p, q int32 }

// closePairs returns the pairs of polygons whose boxes share ground, in order.
func (m *Mesh) closePairs() ([]pair, error) {
	n := len(m.drawn.PolyEnds)
	boxes := make([]orb.Bound, n)
	cores.Blocks(n, cores.Block, func(from, to int) {
		for p := from; p < to; p++ {
			boxes[p] = m.shellBox(p)
		}
	})
	t := boxtree.New(n, func(p int) orb.Bound { return boxes[p] })
	most := int64(min(maxPairs, fewPairs+mostPairs*n))
	var count atomic.Int64
	pairs := cores.Collect(n, cores.Block, func(from, to int) (part []pair) {
		for p := from; p < to && count.Load() <= most; p++ {
			before := len(part)
			t.Search(boxtree.In(boxes[p]), func(q int32) bool {
				if int(q) > p && deepMeet(boxes[p], boxes[q], m.tol) {
					part = append(part, pair{int32(p), q})
				}
				return true
			})
			own := part[before:]
			slices.SortFunc(own, func(x, y pair) int { return int(x.q) - int(y.q) })
			count.Add(int64(len(own)))
		}
		return part
	})
	if count.Load() > most {
		return nil, m.tangled()
	}
	return pairs, nil
}

func (m *Mesh) tangled() error {
	return &TopologyError{Place: m.lonLat(0), Why: "too many polygons lie on each other to compare them all"}
}

// shellBox returns the box of a polygon's shell, in meters.
func (m *Mesh) shellBox(p int) orb.Bound {
	r, end := m.drawn.RingSpan(p)
	if r == end {
		return orb.Bound{Min: orb.Point{1, 1}} // empty: meets nothing
	}
	from, to := m.drawn.PointSpan(r)
	if from == to {
		return orb.Bound{Min: orb.Point{1, 1}}
	}
	b := orb.Bound{Min: m.place(m.vertex[from]), Max: m.place(m.vertex[from])}
	for _, v := range m.vertex[from+1 : to] {
		q := m.place(v)
		b = boxtree.Join(b, orb.Bound{Min: q, Max: q})
	}
	return b
}

// deepMeet reports whether two boxes share more than a strip as wide as tol.
func deepMeet(a, b orb.Bound, tol float64) bool {
	return min(a.Max[0], b.Max[0])-max(a.Min[0], b.Min[0]) > tol &&
		min(a.Max[1], b.Max[1])-max(a.Min[1], b.Min[1]) > tol
}
