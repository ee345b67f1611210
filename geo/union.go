package geo

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// uniteOutline makes the outline by polygon overlay, where canceling edges failed
// for the given cause. It works on the drawn coordinates after vertices were
// moved, so that noise doesn't become slivers.
func uniteOutline(m *Mesh, keep func(record int) bool, cause *topologyError) (*Outline, error) {
	kept := m.kept(keep)
	if polygonsOf(m, kept) > maxUnion {
		return nil, cause
	}
	var parts []orb.MultiPolygon
	u := unionMaker{m, map[orb.Point]int32{}}
	for record := range m.drawn.Len() {
		if kept != nil && !kept[record] {
			continue
		}
		for p, end := m.drawn.PolySpan(record); p < end; p++ {
			part, err := u.weldedPolygon(p)
			if err != nil {
				return nil, u.invalidRecord(err, record)
			}
			if part != nil {
				parts = append(parts, orb.MultiPolygon{part})
			}
		}
	}
	drawn, err := Union(parts...)
	if err != nil {
		return nil, errors.Join(cause, err)
	}
	lonlat, err := u.toLonLat(drawn)
	if err != nil {
		return nil, err
	}
	orderPolygons(lonlat)
	if err := Valid(lonlat); err != nil {
		return nil, errors.Join(cause, err)
	}
	return measureUnion(lonlat, sumRings(m, keep))
}

// unionMaker lays the polygons of a mesh over each other.
type unionMaker struct {
	*Mesh
	vertices map[orb.Point]int32 // by their drawn places
}

func polygonsOf(m *Mesh, kept []bool) int {
	n := 0
	for record := range m.drawn.Len() {
		if kept == nil || kept[record] {
			from, to := m.drawn.PolySpan(record)
			n += to - from
		}
	}
	return n
}

// weldedPolygon returns polygon p with its points at their vertices' places, and
// enters those. Where that breaks a polygon which is valid as drawn, it is taken
// as drawn; one that vanishes is nil.
func (m unionMaker) weldedPolygon(p int) (orb.Polygon, error) {
	var welded, raw orb.Polygon
	from, to := m.drawn.RingSpan(p)
	for r := from; r < to; r++ {
		start, end := m.drawn.PointSpan(r)
		ring := make(orb.Ring, 0, end-start)
		for i := start; i < end; i++ {
			v := m.at(i)
			q := m.drawn.Points[m.first[v]]
			m.vertices[q] = v
			if len(ring) == 0 || ring[len(ring)-1] != q {
				ring = append(ring, q)
			}
		}
		if len(ring) > 3 {
			welded = append(welded, ring)
		} else if r == from {
			return nil, nil
		}
		raw = append(raw, m.drawn.Ring(r))
	}
	if Valid(orb.MultiPolygon{welded}) == nil {
		return welded, nil
	}
	return raw, Valid(orb.MultiPolygon{raw})
}

func (m unionMaker) invalidRecord(err error, record int) error {
	var bad *invalidError
	if !errors.As(err, &bad) {
		return err
	}
	place := []orb.Point{bad.Place}
	if m.opt.ToLonLat != nil {
		if err := m.opt.ToLonLat(place, place); err != nil {
			return err
		}
	}
	return &topologyError{Place: place[0], Records: []int{record}, Why: bad.Why}
}

// toLonLat gives the file's vertices their own lon/lat and computes those of
// the points that the union made.
func (m unionMaker) toLonLat(drawn orb.MultiPolygon) (orb.MultiPolygon, error) {
	var made []*orb.Point
	var places []orb.Point
	for _, polygon := range drawn {
		for _, ring := range polygon {
			for i, p := range ring {
				if v, ok := m.vertices[p]; ok {
					ring[i] = m.lonLat(v)
					continue
				}
				made, places = append(made, &ring[i]), append(places, p)
			}
		}
	}
	if m.opt.ToLonLat != nil && len(places) > 0 {
		if err := m.opt.ToLonLat(places, places); err != nil {
			return nil, err
		}
	}
	for i, p := range made {
		*p = places[i]
	}
	return drawn, nil
}

// orderPolygons starts each ring at its lowest point, the westernmost of several,
// and sorts holes and polygons by those.
func orderPolygons(mp orb.MultiPolygon) {
	compare := func(p, q orb.Point) int { return cmp.Or(cmp.Compare(p[1], q[1]), cmp.Compare(p[0], q[0])) }
	rings := func(x, y orb.Ring) int { return slices.CompareFunc(x, y, compare) }
	for _, polygon := range mp {
		for i, ring := range polygon {
			open := ring[:len(ring)-1]
			low := 0
			for k := range open {
				if compare(open[k], open[low]) < 0 {
					low = k
				}
			}
			turned := slices.Concat(open[low:], open[:low])
			polygon[i] = append(turned, turned[0])
		}
		slices.SortFunc(polygon[1:], rings)
	}
	slices.SortFunc(mp, func(x, y orb.Polygon) int { return rings(x[0], y[0]) })
}

func measureUnion(mp orb.MultiPolygon, sums ringSums) (*Outline, error) {
	area, err := AreaOf(mp)
	if err != nil {
		return nil, err
	}
	drawn := meters2(sums.area)
	return &Outline{
		Polygons: mp,
		Area:     area,
		Method:   byUnion,
		Moved:    sums.moved,
		MaxMove:  unit.Length(math.Sqrt(sums.farthest2)) * unit.Meter,
		Bound:    meters2(sums.changed) + max(drawn-area, area-drawn),
	}, nil
}
