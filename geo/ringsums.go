package geo

import (
	"math"

	"rxsplit/internal/cores"
)

// site is a vertex on the equal-area map, with ordinates counted from the first
// vertex of the layer: one base for all, so that what two rings share cancels to
// the last bit.
type site struct {
	lon float64 // degrees
	ordinate
}

// ringSums is what the kept rings hold, in square meters.
type ringSums struct {
	area      float64 // after vertices were moved: shells less holes
	terms     float64 // the sum of the sizes of what was added up, for its rounding
	changed   float64 // how much moving changed the rings, each without regard to sign
	moved     int     // points that moved
	farthest2 float64 // square of the longest move
}

// sumRings adds up the kept records in blocks, so that the sums don't depend on
// the number of cores.
func sumRings(m *Mesh, keep func(record int) bool) ringSums {
	kept := m.kept(keep)
	parts := cores.Map(m.drawn.Len(), cores.Block, func(from, to int) (part ringSums) {
		for record := from; record < to; record++ {
			if kept != nil && !kept[record] {
				continue
			}
			r, end := m.drawn.ShapeRings(record)
			for ; r < end; r++ {
				part.add(m, r)
			}
		}
		return part
	})
	var all ringSums
	for _, p := range parts {
		all.area += p.area
		all.terms += p.terms
		all.changed += p.changed
		all.moved += p.moved
		all.farthest2 = max(all.farthest2, p.farthest2)
	}
	return all
}

func (sums *ringSums) add(m *Mesh, r int) {
	from, to := m.drawn.PointSpan(r)
	sum, terms := 0.0, 0.0
	moved := false
	for i := from; i < to; i++ {
		if p, q := m.drawn.Points[i], m.drawn.Points[m.first[m.at(i)]]; p != q {
			moved = true
			if i+1 < to {
				sums.moved++
			}
			sums.farthest2 = max(sums.farthest2, distance2(m.plane.meters(p), m.plane.meters(q)))
		}
		if i == from {
			continue
		}
		u := underEdge(&m.sites[m.vertex[i-1]], &m.sites[m.vertex[i]])
		sum -= u
		terms += math.Abs(u)
	}
	if moved {
		sums.changed += float64(math.Abs(sum-sumDrawn(m, from, to)) * semiMinor * semiMinor)
	}
	if m.flip[r] {
		sum = -sum
	}
	sums.area += float64(sum * semiMinor * semiMinor)
	sums.terms += float64(terms * semiMinor * semiMinor)
}

// sumDrawn sums a ring as it is drawn, in the units of [underEdge].
func sumDrawn(m *Mesh, from, to int) float64 {
	points := m.drawn.Points
	if m.opt.LonLat != nil {
		points = m.opt.LonLat.Points
	}
	base := project(m.lonLat(0)).y
	sum := 0.0
	var last site
	for i := from; i < to; i++ {
		here := site{points[i][0], project(points[i])}
		here.y -= base
		if i > from {
			sum -= underEdge(&last, &here)
		}
		last = here
	}
	return sum
}

// underEdge returns the area between an edge and the base, in units of the
// squared semi-minor axis: counter-clockwise rings sum to minus their area.
func underEdge(p, q *site) float64 {
	lon := q.lon - p.lon
	if lon > 180 || lon < -180 {
		lon = math.Remainder(lon, 360)
	}
	area, _ := under(p.ordinate, q.ordinate, lon*radian)
	return area
}
