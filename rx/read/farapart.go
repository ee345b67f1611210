package read

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// farApart finds zones whose distance from the middle of the others is far
// beyond the size of a field.
func farApart(s *suspect) []rx.Finding {
	const far = 20000 // meters
	p := s.Prescription
	box := p.LonLat.Extent()
	middle := (box.Min[1] + box.Max[1]) / 2
	width := (box.Max[0] - box.Min[0]) * metersPerDegree * math.Cos(middle*math.Pi/180)
	height := (box.Max[1] - box.Min[1]) * metersPerDegree
	if width < far && height < far || box.Max[0]-box.Min[0] > 350 { // or a field across the antimeridian
		return nil
	}
	// The median corner stands for where the field is.
	x := median(p, func(z rx.Zone) float64 { return p.LonLat.Bound(int(z.Record)).Min[0] })
	y := median(p, func(z rx.Zone) float64 { return p.LonLat.Bound(int(z.Record)).Min[1] })
	var zones []int
	var place *orb.Point
	var farthest float64
	var area unit.Area
	for _, z := range p.Zones {
		corner := p.LonLat.Bound(int(z.Record)).Min
		dx := (corner[0] - x) * metersPerDegree * math.Cos(y*math.Pi/180)
		dy := (corner[1] - y) * metersPerDegree
		distance := math.Hypot(dx, dy)
		if distance > far {
			zones, area = append(zones, z.Number()), area+z.Area
		}
		if distance > max(far, farthest) {
			farthest, place = distance, &corner
		}
	}
	if len(zones) == 0 {
		return nil
	}
	verb := " lies"
	if len(zones) > 1 {
		verb = " lie"
	}
	return []rx.Finding{{
		Rule: "far-apart", Severity: rx.Warning, About: rx.AboutFile, Zones: zones, Area: area, Place: place,
		Got: fmt.Sprintf("%.0f km", farthest/1000), Want: "at most 20 km",
		Text: rx.ZonesNamed(zones) + verb + " more than 20 km away from the others",
		Hint: "check whether they belong to this field",
	}}
}

// median returns the middle value of f over the zones.
func median(p *rx.Prescription, f func(rx.Zone) float64) float64 {
	values := make([]float64, len(p.Zones))
	for i, z := range p.Zones {
		values[i] = f(z)
	}
	slices.Sort(values)
	return values[len(values)/2]
}
