package read

import (
	"math"
	"regexp"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

var placeDiffers = rx.NewRule[twoPlaces]("place-differs", rx.AboutFile, rx.EveryPlan).InDoubt()

// twoPlaces is where the job says that the field lies, how far from where the file puts it.
type twoPlaces struct {
	Said orb.Point
	Away unit.Length
}

// degreesPlace are latitude and longitude as people write them: 47.35, -90.4.
var degreesPlace = regexp.MustCompile(`(-?\d{1,2}\.\d+)[\s,;]+(-?\d{1,3}\.\d+)`)

// placeSaid returns the place that a job's words hold, in lon/lat.
func placeSaid(words string) (p orb.Point, ok bool) {
	m := degreesPlace.FindStringSubmatch(words)
	if m == nil {
		return p, false
	}
	p[1], _ = strconv.ParseFloat(m[1], 64)
	p[0], _ = strconv.ParseFloat(m[2], 64)
	return p, math.Abs(p[1]) <= 90 && math.Abs(p[0]) <= 180
}

// farFromSaid is more than a place that is said roughly is off. A neighbor zone of UTM is off by 6° of
// longitude: 400 km and more.
const farFromSaid = 50_000 * unit.Meter

// findOtherPlace finds a file that puts the field where the job does not: by the zone of a neighbor, say,
// or because the job is one of another field.
func findOtherPlace(s *suspect) []rx.Finding {
	said, ok := placeSaid(s.opt.Place)
	if !ok || s.LonLat.Len() == 0 {
		return nil
	}
	place := s.box.Center()
	east := float64(math.Remainder(float64(place[0])-said[0], 360) * cosine((place[1]+said[1])/2))
	away := unit.Length(metersPerDegree*samebits.Hypot(east, float64(place[1])-said[1])) * unit.Meter
	if away < farFromSaid {
		return nil
	}
	return at(place, placeDiffers.Find(rx.Warning, twoPlaces{said, away}))
}
