package read

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// slivers finds zones that are narrower on average than [narrowGap]: slips of
// drawing that a machine can't follow, whatever they say. It is a note, as cutting
// a grid along the field's border makes them as well.
func slivers(s *suspect) []rx.Finding {
	if rx.Worst(s.Findings, func(f rx.Finding) bool { return f.About == rx.AboutFile }) == rx.Error {
		return nil // what ground is meant is in doubt
	}
	scale := geo.LonLatScale(s.LonLat.Extent())
	var zones []int
	var area unit.Area
	var place orb.Point
	for _, z := range s.Zones {
		if z.Area <= 0 || meanWidth(s.LonLat, int(z.Record), scale) >= unit.Meters(narrowGap) {
			continue
		}
		if zones == nil {
			place = s.LonLat.Bound(int(z.Record)).Center()
		}
		zones, area = append(zones, z.Number()), area+z.Area
	}
	if zones == nil {
		return nil
	}
	verb := "is a sliver"
	if len(zones) > 1 {
		verb = "are slivers"
	}
	return []rx.Finding{{
		Rule: "sliver", Severity: rx.Note, About: rx.AboutFile, Zones: zones, Area: area, Place: &place, Want: "at least 1 m wide",
		Text: fmt.Sprintf("%s (%s) %s less than 1 m wide: no machine can follow it, whatever the rate", rx.ZonesNamed(zones), acres(area), verb),
		Hint: "join it with a neighbor where the prescription was made",
	}}
}

// meanWidth returns twice the area over the length of the outline, in meters: the
// width of a long strip.
func meanWidth(s *geo.Shapes, record int, scale geo.Scale) float64 {
	area, length := 0.0, 0.0
	p, end := s.PolySpan(record)
	for ; p < end; p++ {
		from, to := s.RingSpan(p)
		for r := from; r < to; r++ {
			a, l := measureRing(s.Ring(r), scale)
			if r > from {
				a = -a
			}
			area, length = area+a, length+l
		}
	}
	return 2 * area / length
}

// measureRing returns the area and the length of a ring in the plane of a scale.
func measureRing(ring orb.Ring, scale geo.Scale) (area, length float64) {
	for i := 1; i < len(ring); i++ {
		x, y := (ring[i-1][0]-ring[0][0])*scale.X, (ring[i-1][1]-ring[0][1])*scale.Y
		dx, dy := (ring[i][0]-ring[i-1][0])*scale.X, (ring[i][1]-ring[i-1][1])*scale.Y
		area += (x*dy - y*dx) / 2
		length += math.Sqrt(dx*dx + dy*dy)
	}
	return math.Abs(area), length
}
