// Package geo holds field geometry: the polygons of a layer, their acres, their
// dissolved outline, and where they break the rules of valid polygons.
//
// A layer's polygons live in one [Shapes]: one backing array of points with
// ends of rings, polygons and records, so that a million cells cost a few
// allocations. Coordinates are x, y: longitude and latitude in degrees where a
// function asks for lon/lat, else whatever the file's system uses.
package geo

import (
	"iter"
	"sort"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// Shapes holds the polygons of many records. Record i is the i-th of the file,
// from 0; one without a polygon has no parts. The first ring of a polygon is its
// shell, the others are its holes; a ring's first point stands again at its end.
// The zero value holds no records.
type Shapes struct {
	Points    []orb.Point
	RingEnds  []int32 // ring r is Points[RingEnds[r-1]:RingEnds[r]]
	PolyEnds  []int32 // polygon p is rings PolyEnds[p-1] to PolyEnds[p]
	ShapeEnds []int32 // record i is polygons ShapeEnds[i-1] to ShapeEnds[i]
}

// Len returns the number of records.
func (s *Shapes) Len() int { return len(s.ShapeEnds) }

// Empty reports whether record i has no polygon.
func (s *Shapes) Empty(i int) bool {
	from, to := s.PolySpan(i)
	return from == to
}

// PolySpan returns the polygons of record i, the end excluded.
func (s *Shapes) PolySpan(i int) (from, to int) { return span(s.ShapeEnds, i) }

// RingSpan returns the rings of polygon p, the end excluded.
func (s *Shapes) RingSpan(p int) (from, to int) { return span(s.PolyEnds, p) }

// PointSpan returns the points of ring r, the end excluded.
func (s *Shapes) PointSpan(r int) (from, to int) { return span(s.RingEnds, r) }

// Ring returns ring r as a view of the backing array: not to be appended to.
func (s *Shapes) Ring(r int) orb.Ring {
	from, to := s.PointSpan(r)
	return orb.Ring(s.Points[from:to:to])
}

func span(ends []int32, i int) (from, to int) {
	if i > 0 {
		from = int(ends[i-1])
	}
	return from, int(ends[i])
}

// ShapeRings returns all rings of record i, the end excluded.
func (s *Shapes) ShapeRings(i int) (from, to int) {
	p, q := s.PolySpan(i)
	if p == q {
		return 0, 0
	}
	from, _ = s.RingSpan(p)
	_, to = s.RingSpan(q - 1)
	return from, to
}

// Polygons yields the polygons of record i; their rings are views.
func (s *Shapes) Polygons(i int) iter.Seq[orb.Polygon] {
	return func(yield func(orb.Polygon) bool) {
		for p, to := s.PolySpan(i); p < to; p++ {
			if !yield(s.polygon(p)) {
				return
			}
		}
	}
}

// Shape returns record i as a multipolygon whose rings are views; nil if it has
// no polygon.
func (s *Shapes) Shape(i int) orb.MultiPolygon {
	var mp orb.MultiPolygon
	for polygon := range s.Polygons(i) {
		mp = append(mp, polygon)
	}
	return mp
}

// Append adds one record; a nil multipolygon adds one without a polygon. The
// points are copied.
func (s *Shapes) Append(mp orb.MultiPolygon) {
	for _, polygon := range mp {
		for _, ring := range polygon {
			s.Points = append(s.Points, ring...)
			s.RingEnds = append(s.RingEnds, int32(len(s.Points)))
		}
		s.PolyEnds = append(s.PolyEnds, int32(len(s.RingEnds)))
	}
	s.ShapeEnds = append(s.ShapeEnds, int32(len(s.PolyEnds)))
}

// WithPoints returns the same records over other points, as a change of
// coordinates makes them; both share the ends. len(points) must be len(s.Points).
func (s *Shapes) WithPoints(points []orb.Point) *Shapes {
	return &Shapes{Points: points, RingEnds: s.RingEnds, PolyEnds: s.PolyEnds, ShapeEnds: s.ShapeEnds}
}

// Bound returns the smallest box around record i; the zero box if it is empty.
func (s *Shapes) Bound(i int) orb.Bound {
	from, to := s.PointsOf(i)
	return bound(s.Points[from:to])
}

// PointsOf returns all points of record i, the end excluded.
func (s *Shapes) PointsOf(i int) (from, to int) {
	first, end := s.ShapeRings(i)
	if first == end {
		return 0, 0
	}
	from, _ = s.PointSpan(first)
	_, to = s.PointSpan(end - 1)
	return from, to
}

// Extent returns the smallest box around all records; the zero box if there is
// no point.
func (s *Shapes) Extent() orb.Bound {
	if len(s.Points) == 0 {
		return orb.Bound{}
	}
	boxes := cores.Map(len(s.Points), cores.Block, func(from, to int) orb.Bound { return bound(s.Points[from:to]) })
	box := boxes[0]
	for _, b := range boxes[1:] {
		box = box.Union(b)
	}
	return box
}

// bound returns the smallest box around finite points.
func bound(points []orb.Point) orb.Bound {
	if len(points) == 0 {
		return orb.Bound{}
	}
	b := orb.Bound{Min: points[0], Max: points[0]}
	for _, p := range points[1:] {
		if p[0] < b.Min[0] {
			b.Min[0] = p[0]
		} else if p[0] > b.Max[0] {
			b.Max[0] = p[0]
		}
		if p[1] < b.Min[1] {
			b.Min[1] = p[1]
		} else if p[1] > b.Max[1] {
			b.Max[1] = p[1]
		}
	}
	return b
}

// polygon returns polygon p; its rings are views.
func (s *Shapes) polygon(p int) orb.Polygon {
	from, to := s.RingSpan(p)
	polygon := make(orb.Polygon, 0, to-from)
	for r := from; r < to; r++ {
		polygon = append(polygon, s.Ring(r))
	}
	return polygon
}

// pick copies some records.
func pick(s *Shapes, records []int32) *Shapes {
	points, rings, polygons := 0, 0, 0
	for _, record := range records {
		p, end := s.PolySpan(int(record))
		r, last := s.ShapeRings(int(record))
		polygons, rings = polygons+end-p, rings+last-r
		for ; r < last; r++ {
			from, to := s.PointSpan(r)
			points += to - from
		}
	}
	out := &Shapes{make([]orb.Point, 0, points), make([]int32, 0, rings), make([]int32, 0, polygons), make([]int32, 0, len(records))}
	for _, record := range records {
		for p, to := s.PolySpan(int(record)); p < to; p++ {
			from, end := s.RingSpan(p)
			for r := from; r < end; r++ {
				out.Points = append(out.Points, s.Ring(r)...)
				out.RingEnds = append(out.RingEnds, int32(len(out.Points)))
			}
			out.PolyEnds = append(out.PolyEnds, int32(len(out.RingEnds)))
		}
		out.ShapeEnds = append(out.ShapeEnds, int32(len(out.PolyEnds)))
	}
	return out
}

// searchEnds returns the first span whose end is beyond i, which is not below 0. It looks first
// where that is if all spans are of one length, as those of cells are, and then farther and
// farther from there.
func searchEnds(ends []int32, i int) int {
	n := len(ends)
	if n == 0 || i >= int(ends[n-1]) {
		return n
	}
	low := int(int64(n) * int64(i) / int64(ends[n-1]))
	high := low
	for step := 1; low > 0 && int(ends[low-1]) > i; step *= 2 {
		low = max(low-step, 0)
	}
	for step := 1; int(ends[high]) <= i; step *= 2 {
		high = min(high+step, n-1)
	}
	return low + sort.Search(high-low, func(k int) bool { return int(ends[low+k]) > i })
}
