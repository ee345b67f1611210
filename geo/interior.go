package geo

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// scanLines is how many heights [InteriorPoint] tries.
const scanLines = 15

// InteriorPoint returns a point well inside a multipolygon in lon/lat: of its
// largest polygon, about where the widest circle fits. It is where a label goes,
// and what "where" means of a zone. Without ground it returns the first vertex,
// or the zero point.
func InteriorPoint(mp orb.MultiPolygon) orb.Point {
	polygon := largest(mp)
	if len(polygon) == 0 || len(polygon[0]) == 0 {
		return orb.Point{}
	}
	box := bound(polygon[0])
	squeeze := samebits.Cos((box.Min[1] + box.Max[1]) / 2 * radian)
	best, room := polygon[0][0], 0.0
	for i := range scanLines {
		y := box.Min[1] + (box.Max[1]-box.Min[1])*(float64(i)+0.5)/scanLines
		p, wide := widestSpan(polygon, y)
		far := float64(wide/2*squeeze) + slack // where the span ends, at the boundary
		if wide == 0 || far*far <= room {
			continue
		}
		if d, more := clearance(polygon, p, squeeze, room, far); more {
			best, room = p, d
		}
	}
	return best
}

// largest returns the polygon with the largest shell.
func largest(mp orb.MultiPolygon) orb.Polygon {
	var best orb.Polygon
	size := -1.0
	for _, p := range mp {
		if len(p) == 0 {
			continue
		}
		var extent orb.Bound
		if area, _ := windRing(p[0], &extent); math.Abs(area) > size {
			best, size = p, math.Abs(area)
		}
	}
	return best
}

// slack is more than a distance in degrees is off by rounding.
const slack = 1e-12

// widestSpan returns the middle of the widest part of a polygon at a height, and how wide
// that is: 0 if there is none.
func widestSpan(polygon orb.Polygon, y float64) (middle orb.Point, wide float64) {
	var few [16]float64
	cuts := few[:0]
	for _, ring := range polygon {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			if (a[1] <= y) != (b[1] <= y) {
				cuts = append(cuts, a[0]+float64((y-a[1])/(b[1]-a[1])*(b[0]-a[0])))
			}
		}
	}
	slices.Sort(cuts)
	at := 0.0
	for i := 1; i < len(cuts); i += 2 {
		if w := cuts[i] - cuts[i-1]; w > wide {
			at, wide = cuts[i-1]+float64(w/2), w
		}
	}
	return orb.Point{at, y}, wide
}

// clearance returns the square of a point's distance from a polygon's boundary, in
// degrees of latitude, and whether it is more than room. It is known to be no more than far,
// in degrees. Most edges lie farther up, down or aside than that or the nearest so far, and
// are not measured.
func clearance(polygon orb.Polygon, p orb.Point, squeeze, room, far float64) (least float64, more bool) {
	least = math.Inf(1)
	for _, ring := range polygon {
		var a orb.Point
		for i := range ring {
			b := orb.Point{(ring[i][0] - p[0]) * squeeze, ring[i][1] - p[1]}
			from := a
			a = b
			if i == 0 || min(from[0], b[0]) > far || max(from[0], b[0]) < -far || min(from[1], b[1]) > far || max(from[1], b[1]) < -far {
				continue
			}
			if d := toSegment2(orb.Point{}, from, b); d < least {
				least, far = d, math.Sqrt(d)+slack
			}
			if least <= room {
				return least, false
			}
		}
	}
	return least, true
}

// toSegment2 returns the square of the distance from p to the segment ab.
func toSegment2(p, a, b orb.Point) float64 {
	return distance2(p, nearest(p, a, b))
}

// nearest returns the point of the segment ab that is nearest to p.
func nearest(p, a, b orb.Point) orb.Point {
	dx, dy := b[0]-a[0], b[1]-a[1]
	if dx == 0 && dy == 0 {
		return a
	}
	t := (float64((p[0]-a[0])*dx) + float64((p[1]-a[1])*dy)) / (float64(dx*dx) + float64(dy*dy))
	t = min(max(t, 0), 1)
	return orb.Point{a[0] + float64(t*dx), a[1] + float64(t*dy)}
}

// roomyLines is how many heights [roomyCircle] tries. The middle of a polygon's box comes
// first: it settles cells and strips. All together cost a fiftieth of a search.
const roomyLines = 32

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
	for i := range roomyLines {
		share := math.Mod(0.5+float64(float64(7*i)/roomyLines), 1) // each once, far from the one before
		p, wide := widestSpan(polygon, box.Min[1]+float64(share*(box.Max[1]-box.Min[1])))
		if wide == 0 {
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
