package geo

import (
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
	"rxsplit/internal/samebits"
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

// overlapFinder finds the overlaps of a mesh. A clean layer is proved clean by exact checks of its
// boundary edges alone: none cross, and in and out alternate at each node. One that is not clean
// compares all polygons whose boxes meet, as edges that cancel can hide a zone under a larger one.
type overlapFinder struct{ *Mesh }

func (m overlapFinder) find(max int) (list []Overlap, total unit.Area, more int, err error) {
	if m.clean() {
		return nil, 0, 0, nil
	}
	if m.boundary(nil).tangled {
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
func (m overlapFinder) overlapsOf(pairs []pair) ([]Overlap, error) {
	found := make([][]Overlap, cores.Count(len(pairs), cores.Block))
	most := int64(fewFound + mostFound*len(m.drawn.PolyEnds))
	cross := leastCrossings + mostCrossings*len(m.drawn.Points)
	var count, crossed atomic.Int64
	err := cores.Try(len(pairs), cores.Block, func(from, to int) error {
		for _, p := range pairs[from:to] {
			if count.Load() > most || crossed.Load() > int64(cross) {
				break
			}
			o, err := m.overlap(p, func(a, b orb.MultiPolygon) (few bool, err error) {
				n, _ := crossings(cross, meetings(edgesOf(a)+edgesOf(b)), a, b)
				if n == unknown { // what lays them over each other would find so
					return false, &crossingsError{}
				}
				return crossed.Add(int64(n)) <= int64(cross), nil
			})
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
	switch {
	case count.Load() > most:
		return nil, m.tangled()
	case crossed.Load() > int64(cross):
		return nil, m.crossing(pairs, cross)
	}
	return slices.Concat(found...), err
}

// crossing tells of the first pair of polygons whose edges cross, where all cross more
// than most times.
func (m overlapFinder) crossing(pairs []pair, most int) error {
	e := &topologyError{Place: m.lonLat(0), Why: fmt.Sprintf("edges of zones cross more than %s times, too often to lay them over each other", unit.Thousands(fmt.Sprint(most)))}
	for _, p := range pairs {
		a, b := m.flatPolygon(int(p.p)), m.flatPolygon(int(p.q))
		if n, place := crossings(0, mostTests, orb.MultiPolygon{a}, orb.MultiPolygon{b}); n > 0 {
			at := orb.MultiPolygon{{{place}}}
			if err := m.flatToLonLat(at); err == nil {
				e.Place = at[0][0][0]
			}
			e.Records = []int{m.recordOfPolygon(p.p), m.recordOfPolygon(p.q)}
			break
		}
	}
	return e
}

// clean reports whether the boundary edges of all records are an outline.
func (m overlapFinder) clean() bool {
	g := newGraph(m.Mesh, m.boundary(nil).edges)
	if g.alternation() != nil || g.crossings() != nil {
		return false
	}
	_, _, flaw := g.pieces()
	return flaw == nil
}

// pair is two polygons, by number; records are in order of their polygons.
type pair struct{ p, q int32 }

// closePairs returns the pairs of polygons whose boxes share ground, in order.
func (m overlapFinder) closePairs() ([]pair, error) {
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

func (m overlapFinder) tangled() error {
	return &topologyError{Place: m.lonLat(0), Why: "too many polygons lie on each other to compare them all"}
}

// shellBox returns the box of a polygon's shell, in meters.
func (m overlapFinder) shellBox(p int) orb.Bound {
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

// overlap measures what two polygons have in common, in meters first: area 0 if
// that is nothing, or noise. Few tells whether edges cross few times enough to go on.
func (m overlapFinder) overlap(p pair, few func(a, b orb.MultiPolygon) (bool, error)) (Overlap, error) {
	a, b := m.flatPolygon(int(p.p)), m.flatPolygon(int(p.q))
	if len(a) == 0 || len(b) == 0 {
		return Overlap{}, nil
	}
	common, err := m.commonGround(a, b, few)
	if err != nil {
		return Overlap{}, fmt.Errorf("zones %d and %d: %w", m.recordOfPolygon(p.p)+1, m.recordOfPolygon(p.q)+1, err)
	}
	if len(common) == 0 {
		return Overlap{}, nil
	}
	if m.isNoise(common) {
		return Overlap{}, nil
	}
	if err := m.flatToLonLat(common); err != nil {
		return Overlap{}, err
	}
	o := Overlap{A: m.recordOfPolygon(p.p), B: m.recordOfPolygon(p.q), Place: InteriorPoint(common)}
	o.Area, err = AreaOf(common)
	return o, err
}

// commonGround intersects two polygons. A convex one without holes, as a grid's
// cell is, needs no overlay.
func (m overlapFinder) commonGround(a, b orb.Polygon, few func(a, b orb.MultiPolygon) (bool, error)) (orb.MultiPolygon, error) {
	ca, cb := isConvex(a), isConvex(b)
	switch {
	case ca && separates(a[0], b[0], m.tol), cb && separates(b[0], a[0], m.tol):
		return nil, nil
	case ca:
		return clipConvex(b, a[0]), nil
	case cb:
		return clipConvex(a, b[0]), nil
	}
	if ok, err := few(orb.MultiPolygon{a}, orb.MultiPolygon{b}); !ok {
		return nil, err
	}
	return Intersect(orb.MultiPolygon{a}, orb.MultiPolygon{b})
}

// flatPolygon returns polygon p in meters with its points at their vertices, its
// shell counter-clockwise and its holes clockwise; without ground it is empty.
func (m overlapFinder) flatPolygon(p int) orb.Polygon {
	var polygon orb.Polygon
	from, to := m.drawn.RingSpan(p)
	for r := from; r < to; r++ {
		start, end := m.drawn.PointSpan(r)
		ring := make(orb.Ring, 0, end-start)
		for i := start; i < end; i++ {
			if i == start || m.vertex[i] != m.vertex[i-1] {
				ring = append(ring, m.place(m.vertex[i]))
			}
		}
		if m.flip[r] {
			ring.Reverse()
		}
		if len(ring) > 3 {
			polygon = append(polygon, ring)
		} else if r == from {
			return nil
		}
	}
	return polygon
}

// isNoise reports whether ground is narrower than the tolerance on average: twice
// its area over its perimeter is the width of a long strip.
func (m overlapFinder) isNoise(mp orb.MultiPolygon) bool {
	area, around := 0.0, 0.0
	for _, polygon := range mp {
		for _, ring := range polygon {
			a, l := flatRing(ring)
			area += a
			around += l
		}
	}
	return 2*math.Abs(area) <= m.tol*around || area == 0
}

// flatRing returns a ring's signed area and length in its plane.
func flatRing(ring orb.Ring) (area, length float64) {
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		area += float64((a[0]-ring[0][0])*(b[1]-ring[0][1])) - float64((a[1]-ring[0][1])*(b[0]-ring[0][0]))
		length += samebits.Hypot(b[0]-a[0], b[1]-a[1])
	}
	return area / 2, length
}

// flatToLonLat brings rings from meters to lon/lat in place.
func (m overlapFinder) flatToLonLat(mp orb.MultiPolygon) error {
	for _, polygon := range mp {
		for _, ring := range polygon {
			for i, p := range ring {
				ring[i] = m.plane.degrees(p)
			}
			if m.opt.ToLonLat == nil {
				continue
			}
			if err := m.opt.ToLonLat(ring, ring); err != nil {
				return err
			}
		}
	}
	return nil
}
