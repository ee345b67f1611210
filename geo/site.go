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

func (m *Mesh) placeSites() {
	m.sites = make([]site, len(m.first))
	if len(m.first) == 0 {
		return
	}
	base := project(m.lonLat(0)).y
	cores.Blocks(len(m.sites), cores.Block, func(from, to int) {
		for v := from; v < to; v++ {
			p := m.lonLat(int32(v))
			o := project(p)
			o.y -= base
			m.sites[v] = site{p[0], o}
		}
	})
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
