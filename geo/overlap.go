package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// overlap measures what two polygons have in common, in meters first: area 0 if
// that is nothing, or noise.
func (m *Mesh) overlap(p pair) (Overlap, error) {
	a, b := m.flatPolygon(int(p.p)), m.flatPolygon(int(p.q))
	if len(a) == 0 || len(b) == 0 {
		return Overlap{}, nil
	}
	common, err := m.commonGround(a, b)
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

func (m *Mesh) recordOfPolygon(p int32) int { return searchEnds(m.drawn.ShapeEnds, int(p)) }

// commonGround intersects two polygons. A convex one without holes, as a grid's
// cell is, needs no overlay.
func (m *Mesh) commonGround(a, b orb.Polygon) (orb.MultiPolygon, error) {
	ca, cb := isConvex(a), isConvex(b)
	switch {
	case ca && separates(a[0], b[0], m.tol), cb && separates(b[0], a[0], m.tol):
		return nil, nil
	case ca:
		return clipConvex(b, a[0]), nil
	case cb:
		return clipConvex(a, b[0]), nil
	}
	return Intersect(orb.MultiPolygon{a}, orb.MultiPolygon{b})
}

// flatPolygon returns polygon p in meters with its points at their vertices, its
// shell counter-clockwise and its holes clockwise; without ground it is empty.
func (m *Mesh) flatPolygon(p int) orb.Polygon {
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
func (m *Mesh) isNoise(mp orb.MultiPolygon) bool {
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
		area += (a[0]-ring[0][0])*(b[1]-ring[0][1]) - (a[1]-ring[0][1])*(b[0]-ring[0][0])
		length += math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	return area / 2, length
}

// flatToLonLat brings rings from meters to lon/lat in place.
func (m *Mesh) flatToLonLat(mp orb.MultiPolygon) error {
	for _, polygon := range mp {
		for _, ring := range polygon {
			for i, p := range ring {
				ring[i] = orb.Point{
					p[0]/m.plane.scale.X + m.plane.origin[0],
					p[1]/m.plane.scale.Y + m.plane.origin[1],
				}
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
