package geo

import (
	"math"

	"rxsplit/internal/cores"
)

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
func (m *Mesh) sumRings(keep func(record int) bool) ringSums {
	kept := m.kept(keep)
	parts := cores.Map(m.drawn.Len(), cores.Block, func(from, to int) (part ringSums) {
		for record := from; record < to; record++ {
			if kept != nil && !kept[record] {
				continue
			}
			r, end := m.drawn.ShapeRings(record)
			for ; r < end; r++ {
				m.sumRing(r, &part)
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

// kept asks keep once a record, in order and from one goroutine.
func (m *Mesh) kept(keep func(record int) bool) []bool {
	if keep == nil {
		return nil
	}
	kept := make([]bool, m.drawn.Len())
	for i := range kept {
		kept[i] = keep(i)
	}
	return kept
}

func (m *Mesh) sumRing(r int, sums *ringSums) {
	from, to := m.drawn.PointSpan(r)
	sum, terms := 0.0, 0.0
	moved := false
	for i := from; i < to; i++ {
		v := m.vertex[i]
		if p, q := m.drawn.Points[i], m.drawn.Points[m.first[v]]; p != q {
			moved = true
			if i+1 < to {
				sums.moved++
			}
			sums.farthest2 = max(sums.farthest2, distance2(m.plane.meters(p), m.plane.meters(q)))
		}
		if i == from {
			continue
		}
		u := underEdge(&m.sites[m.vertex[i-1]], &m.sites[v])
		sum -= u
		terms += math.Abs(u)
	}
	if moved {
		sums.changed += math.Abs(sum-m.drawnRing(from, to)) * semiMinor * semiMinor
	}
	if m.flip[r] {
		sum = -sum
	}
	sums.area += sum * semiMinor * semiMinor
	sums.terms += terms * semiMinor * semiMinor
}

// drawnRing sums a ring as it is drawn, in the units of [underEdge].
func (m *Mesh) drawnRing(from, to int) float64 {
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

// checkConserved compares the outline with the rings that it was made from. It is
// a check of this package's own bookkeeping, made on every run: acres that leak
// out of an outline would be acres without product.
func (m *Mesh) checkConserved(g *graph, faces []face, sums ringSums, left leftover) error {
	var area float64
	add := func(l loop) {
		for i, n := range l.nodes {
			next := l.nodes[(i+1)%len(l.nodes)]
			area -= underEdge(&m.sites[g.vertex[n]], &m.sites[g.vertex[next]])
		}
	}
	for _, f := range faces {
		add(f.shell)
		for _, h := range f.holes {
			add(h)
		}
	}
	area *= semiMinor * semiMinor
	want := sums.area - left.delta*semiMinor*semiMinor
	if math.Abs(area-want) <= 1e-11*math.Abs(want)+1e-15*sums.terms {
		return nil
	}
	e := &TopologyError{Why: "the outline's acres are not those of the rings"}
	if len(g.pos) > 0 {
		e.Place = g.pos[0]
	}
	return e
}
