package lane

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// bend is how far an edge may turn off the one before and still go on with it, in degrees.
const bend = 1

// LongestEdge returns the azimuth, in degrees clockwise from north from 0 up to 180 and in tenths,
// of the longest straight edge of ground: along that machines drive. It is 0 of no ground.
func LongestEdge(mp orb.MultiPolygon) float64 {
	azimuth, longest := 0.0, 0.0
	for _, polygon := range mp {
		ring := polygon[0]
		for from := 0; from+1 < len(ring); {
			to := from + 1
			for to+1 < len(ring) && turn(ring[from], ring[from+1], ring[to], ring[to+1]) <= bend {
				to++
			}
			x, y := ring[to][0]-ring[from][0], ring[to][1]-ring[from][1]
			if way := samebits.Hypot(x, y); way > float64(longest*(1+1e-6)) {
				azimuth, longest = samebits.Atan2(x, y)*180/math.Pi, way
			}
			from = to
		}
	}
	return math.Mod(math.Round(azimuth*10)/10+180, 180)
}

// turn is by how many degrees the way from c to d is off that from a to b.
func turn(a, b, c, d orb.Point) float64 {
	x, y, u, v := b[0]-a[0], b[1]-a[1], d[0]-c[0], d[1]-c[1]
	cross, along := float64(x*v)-float64(y*u), float64(x*u)+float64(y*v)
	return math.Abs(samebits.Atan2(cross, along)) * 180 / math.Pi
}
