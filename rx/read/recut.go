package read

import (
	"maps"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/rx"
)

// recut cuts those zones anew in lon/lat that are whole as drawn and folded there: edges
// that lie on one another in the plane part by less than a millimeter in degrees, and a
// hole that touches its outline can cross it. before are all zones in lon/lat as they were,
// and owners those that each zone gives ground to. What can't be cut so stays as it is.
func (f *File) recut(p *rx.Prescription, before *geo.Shapes, owners map[int][]int) error {
	lonLat, drawn := make(map[int]orb.MultiPolygon), make(map[int]orb.MultiPolygon)
	for _, i := range slices.Sorted(maps.Keys(owners)) {
		if geo.Valid(p.LonLat.Shape(i)) == nil {
			continue
		}
		rest, ok := cutFrom(before, i, owners[i])
		if !ok {
			continue
		}
		back := make(orb.MultiPolygon, len(rest))
		for k, polygon := range rest {
			for _, ring := range polygon {
				points := make(orb.Ring, len(ring))
				if err := f.System.FromLonLat(points, ring); err != nil {
					return f.unmeasured(err)
				}
				back[k] = append(back[k], points)
			}
		}
		lonLat[i], drawn[i] = rest, back
	}
	if len(lonLat) > 0 {
		points := replaced(p.LonLat, lonLat).Points
		p.Drawn = replaced(p.Drawn, drawn)
		p.LonLat = p.Drawn.WithPoints(points)
	}
	return nil
}

// cutFrom cuts the owners out of a zone, and reports whether what is left is whole.
func cutFrom(zones *geo.Shapes, zone int, owners []int) (orb.MultiPolygon, bool) {
	rest, ok := joined(zones.Shape(zone))
	for _, owner := range owners {
		ground, whole := joined(zones.Shape(owner))
		if !ok || !whole {
			return nil, false
		}
		var err error
		rest, err = geo.Subtract(rest, ground)
		ok = err == nil
	}
	rest = withoutShreds(rest)
	return rest, ok && geo.Valid(rest) == nil
}

// joined joins the parts of a zone where they share ground, and reports whether that
// makes it whole.
func joined(parts orb.MultiPolygon) (orb.MultiPolygon, bool) {
	if geo.Valid(parts) == nil {
		return parts, true
	}
	one, err := unionOf(parts)
	return one, err == nil && geo.Valid(one) == nil
}
