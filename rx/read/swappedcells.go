package read

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/rx"
)

// The figures of swappedCells.
const (
	fewestCells  = 20
	squareWithin = 0.005 // by which a square's sides may differ on the ground
	squareNotBy  = 0.03  // by which they have to differ in degrees
)

// swappedCells finds longitude and latitude swapped by the shape of a grid's cells:
// where they are square on the ground once swapped, they were drawn so. But near
// 0, 0, cells can't be square both ways. Cells that are square in degrees say
// nothing.
func swappedCells(s *suspect) []rx.Finding {
	if !isLonLat(s) {
		return nil
	}
	zones := s.sample(sampled, func(z rx.Zone) bool { return z.Area > 0 })
	if len(zones) < fewestCells {
		return nil
	}
	square := 0
	for _, z := range zones {
		b := s.LonLat.Bound(int(s.Zones[z].Record))
		width, height, center := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1], b.Center()
		if differ(width, height, squareNotBy) && !differ(height*cosine(center[0]), width, squareWithin) {
			square++
		}
	}
	place := s.LonLat.Extent().Center()
	if float64(square) < 0.6*float64(len(zones)) || !couldSwap(place) {
		return nil
	}
	swapped := orb.Point{place[1], place[0]}
	w := warning("axes-swapped", degreesOf(place), degreesOf(swapped),
		"the cells of the grid are oblong at "+degreesOf(place)+", where the file puts them, and square at "+degreesOf(swapped)+": longitude and latitude may be swapped",
		"look where the field lies; if they are swapped, export the file again with the longitude first")
	w.Place = &place
	return []rx.Finding{w}
}

// isLonLat reports whether the file itself is in longitude and latitude.
func isLonLat(s *suspect) bool { return s.Drawn == s.LonLat }

func cosine(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }

func differ(a, b, by float64) bool { return math.Abs(a/b-1) > by }
