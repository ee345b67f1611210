package read

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/rx"
)

// Where nothing is farmed: south of Cape Horn, at 56° S (from memory), and on the
// open water around 0, 0, where lie the coordinates of a plane of its own, those
// of maps in kilometers, and zeros.
const (
	southernmost = -56.0
	aroundZero   = 2.0
)

// atSea finds coordinates where no field can be.
func atSea(s *suspect) []rx.Finding {
	if len(s.LonLat.Points) == 0 {
		return nil
	}
	place := s.LonLat.Extent().Center()
	var w rx.Finding
	switch {
	case place[1] < southernmost:
		w = warning("no-land", degreesOf(place), "north of 56° S",
			fmt.Sprintf("the field lies at %s, where nothing is farmed", degreesOf(place)), "check the coordinate system of the file (--crs)")
		if couldSwap(place) {
			w.Hint = hintSwapped
		}
	case math.Abs(place[0]) < aroundZero && math.Abs(place[1]) < aroundZero:
		w = warning("no-land", degreesOf(place), "a place on land",
			fmt.Sprintf("the field lies at %s, on open water: its coordinates may be of a plane of their own, or in another unit", degreesOf(place)),
			"say which system they are in with --crs EPSG:n")
	default:
		return nil
	}
	w.Place = &place
	return []rx.Finding{w}
}

// couldSwap reports whether a place is where fields are once its coordinates are
// swapped.
func couldSwap(p orb.Point) bool {
	return p[0] > southernmost && p[0] < 70 && math.Abs(p[1]) <= 180
}
