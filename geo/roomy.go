package geo

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// roomyLines are the heights that [roomyCircle] tries, as shares of a polygon's box. The
// middle comes first: it settles cells and strips.
var roomyLines = [...]float64{0.5, 0.25, 0.75, 0.375, 0.625, 0.125, 0.875}

// roomyCircle looks for a circle of a radius in meters around the middles of a few widest
// spans, which most ground of a field has and which costs no search tree. It wants more
// than enough by what [InscribedCircle] may miss, so that it never finds room where that
// finds none.
func roomyCircle(polygon orb.Polygon, enough float64) (center orb.Point, radius unit.Length, ok bool) {
	if len(polygon) == 0 || len(polygon[0]) == 0 {
		return center, 0, false
	}
	box := bound(polygon[0])
	flat := plane{box.Min, LonLatScale(box)}
	size := flat.meters(box.Max)
	enough += max(circleLeast, circleShare*enough, circleSide*max(size[0], size[1]))
	if min(size[0], size[1])/2 < enough {
		return center, 0, false
	}
	for _, share := range roomyLines {
		p, some := widestSpan(polygon, box.Min[1]+float64(share*(box.Max[1]-box.Min[1])))
		if !some {
			continue
		}
		if room := flat.room(polygon, p, enough); room >= enough {
			return p, unit.Length(room) * unit.Meter, true
		}
	}
	return center, 0, false
}

// room returns how far a point in lon/lat is from a polygon's boundary, in meters; of less
// than enough, how far it is at most.
func (f plane) room(polygon orb.Polygon, p orb.Point, enough float64) float64 {
	at, least := f.meters(p), math.Inf(1)
	for _, ring := range polygon {
		a := f.meters(ring[0])
		for _, v := range ring[1:] {
			b := f.meters(v)
			if least = min(least, toSegment2(at, a, b)); least < float64(enough*enough) {
				return math.Sqrt(least)
			}
			a = b
		}
	}
	return math.Sqrt(least)
}
