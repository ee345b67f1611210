package geo

import (
	"errors"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// Stretch is a connected stretch of ground that polygons of a layer make together.
type Stretch struct {
	Polygon orb.Polygon // lon/lat, as [Outline] makes it
	Parts   []int32     // the polygons, numbered as [Shapes.PolySpan] does, ascending
}

// Stretches joins the polygons of some records, in ascending order, as [Mesh.Outline]
// does, and tells which of them make each. It takes time in proportion to
// those records, not to the layer. A polygon smaller than the tolerance can be left
// out. The error is that of Outline.
func (m *Mesh) Stretches(records []int32) ([]Stretch, error) {
	parts := m.partsOf(records)
	if len(parts) == 1 {
		return []Stretch{{m.lonLatPolygon(parts[0]), parts}}, nil
	}
	sub, err := NewMesh(pick(m.drawn, records), m.optionsFor(records))
	if err != nil {
		return nil, err
	}
	outline, err := sub.Outline(nil)
	if err != nil {
		return nil, ofLayer(err, records)
	}
	stretches := make([]Stretch, len(outline.Polygons))
	for i, polygon := range outline.Polygons {
		stretches[i].Polygon = polygon
	}
	if len(stretches) == 1 {
		stretches[0].Parts = parts
		return stretches, nil
	}
	skyline := newSkyline(outline.Polygons)
	for _, part := range parts {
		if i := skyline.above(pointInside(m.lonLatPolygon(part))); i >= 0 {
			stretches[i].Parts = append(stretches[i].Parts, part)
		}
	}
	return stretches, nil
}

// partsOf returns the numbers of all polygons of the records.
func (m *Mesh) partsOf(records []int32) []int32 {
	parts := make([]int32, 0, len(records))
	for _, record := range records {
		for p, to := m.drawn.PolySpan(int(record)); p < to; p++ {
			parts = append(parts, int32(p))
		}
	}
	return parts
}

func (m *Mesh) lonLatPolygon(part int32) orb.Polygon {
	shapes := m.drawn
	if m.opt.LonLat != nil {
		shapes = m.opt.LonLat
	}
	return shapes.polygon(int(part))
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

func (m *Mesh) optionsFor(records []int32) MeshOptions {
	opt := m.opt
	if opt.LonLat != nil {
		opt.LonLat = pick(opt.LonLat, records)
	}
	return opt
}

// pick copies some records.
func pick(s *Shapes, records []int32) *Shapes {
	out := &Shapes{}
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

// ofLayer turns an error about picked records into one about those of the layer.
func ofLayer(err error, records []int32) error {
	var bad *TopologyError
	if errors.As(err, &bad) {
		for i, r := range bad.Records {
			bad.Records[i] = int(records[r])
		}
	}
	return err
}

// pointInside returns a point in a polygon, cheaply: half way up, in the widest
// stretch there.
func pointInside(polygon orb.Polygon) orb.Point {
	box := bound(polygon[0])
	if p, ok := widestSpan(polygon, (box.Min[1]+box.Max[1])/2); ok {
		return p
	}
	return InteriorPoint(orb.MultiPolygon{polygon})
}

// skyline finds the polygon that a point is in, of polygons that share no ground, by
// the first edge above it.
type skyline struct {
	edges []side
	of    []int32 // per edge: its polygon
	boxes *boxtree.Tree
}

func newSkyline(polygons orb.MultiPolygon) *skyline {
	s := &skyline{}
	for i, polygon := range polygons {
		for _, ring := range polygon {
			for k := 1; k < len(ring); k++ {
				s.edges = append(s.edges, side{ring[k-1], ring[k]})
				s.of = append(s.of, int32(i))
			}
		}
	}
	s.boxes = boxtree.New(len(s.edges), func(i int) orb.Bound { return boxtree.Segment(s.edges[i].a, s.edges[i].b) })
	return s
}

// above returns the polygon whose edge is the first above a point, -1 if there is
// none.
func (s *skyline) above(p orb.Point) int32 {
	lowest, polygon := math.Inf(1), int32(-1)
	s.boxes.Search(
		func(o orb.Bound) bool {
			return o.Min[0] <= p[0] && p[0] <= o.Max[0] && p[1] <= o.Max[1] && o.Min[1] <= lowest
		},
		func(i int32) bool {
			if y, ok := heightAt(s.edges[i].a, s.edges[i].b, p[0]); ok && y >= p[1] && y < lowest {
				lowest, polygon = y, s.of[i]
			}
			return true
		})
	return polygon
}
