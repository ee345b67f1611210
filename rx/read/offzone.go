package read

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/crs"
	"rxsplit/rx"
)

// offZoneBy returns how many degrees a field may lie outside the ground that EPSG
// defines its system for: neighbors across a border share a system now and then.
// It is a quarter of the ground's width, which is 1.5 for a zone of UTM.
func offZoneBy(box orb.Bound) float64 {
	return min(max(0.5, widthOf(box)/4), 1.5)
}

// widthOf returns a box's degrees of longitude; it may reach across the
// antimeridian.
func widthOf(box orb.Bound) float64 {
	if box.Max[0] < box.Min[0] {
		return box.Max[0] - box.Min[0] + 360
	}
	return box.Max[0] - box.Min[0]
}

// offZone finds a coordinate system that contradicts the coordinates: they lie far
// from where the system is of use. So do feet that are taken for meters, and
// eastings and northings that are swapped.
func offZone(s *suspect) []rx.Finding {
	system, err := crs.Parse(fmt.Sprintf("EPSG:%d", s.Source.EPSG))
	if err != nil || s.LonLat.Len() == 0 {
		return nil
	}
	box, ok := system.AreaOfUse()
	place := s.LonLat.Extent().Center()
	if !ok || within(place, box, offZoneBy(box)) {
		return nil
	}
	w := warning("off-zone", degreesOf(place), degreesOf(box.Min)+" to "+degreesOf(box.Max),
		fmt.Sprintf("by the system %s the field lies at %s, far outside the ground that it is made for (%s to %s)", s.Source.System, degreesOf(place), degreesOf(box.Min), degreesOf(box.Max)),
		"the file may name the wrong system or zone, count feet for meters, or have its axes swapped: give the right system with --crs EPSG:n")
	w.Place = &place
	return []rx.Finding{w}
}

// within reports whether a place lies in a box or no more than some degrees off.
func within(place orb.Point, box orb.Bound, degrees float64) bool {
	east := math.Mod(place[0]-box.Min[0]+degrees+720, 360)
	return place[1] >= box.Min[1]-degrees && place[1] <= box.Max[1]+degrees && east <= widthOf(box)+2*degrees
}

// degreesOf prints a place in lon/lat as people do.
func degreesOf(p orb.Point) string {
	side := func(v float64, positive, negative string) string {
		if v < 0 {
			positive = negative
		}
		return fmt.Sprintf("%.4g° %s", math.Abs(v), positive)
	}
	return side(p[1], "N", "S") + " " + side(p[0], "E", "W")
}
