package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// LongestExtent returns the longest distance between two points of a polygon in
// lon/lat, in the plane of [InscribedCircle]; 0 without ground.
//
// The two are corners of the convex hull, opposite each other (M. I. Shamos,
// Computational Geometry, 1978).
func LongestExtent(polygon orb.Polygon) unit.Length {
	if len(polygon) == 0 || len(polygon[0]) == 0 {
		return 0
	}
	box := bound(polygon[0])
	plane := plane{box.Min, LonLatScale(box)}
	points := make([]orb.Point, len(polygon[0]))
	for i, p := range polygon[0] {
		points[i] = plane.meters(p)
	}
	return unit.Length(math.Sqrt(farthest2(convexHull(points)))) * unit.Meter
}

// convexHull returns the corners of the hull counter-clockwise, each once. It sorts
// the points (A. M. Andrew, Another Efficient Algorithm for Convex Hulls in Two
// Dimensions, 1979).
func convexHull(points []orb.Point) []orb.Point {
	slices.SortFunc(points, func(p, q orb.Point) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) })
	points = slices.Compact(points)
	if len(points) < 3 {
		return points
	}
	lower := chain(points)
	slices.Reverse(points)
	upper := chain(points)
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
}

// chain returns the side of the hull to the right of the way from the first point to
// the last.
func chain(points []orb.Point) []orb.Point {
	var out []orb.Point
	for _, p := range points {
		for n := len(out); n > 1 && orient(out[n-2], out[n-1], p) <= 0; n = len(out) {
			out = out[:n-1]
		}
		out = append(out, p)
	}
	return out
}

// farthest2 returns the square of the longest distance between corners of a hull:
// along it, the corner farthest from an edge only goes forward.
func farthest2(hull []orb.Point) float64 {
	n := len(hull)
	if n < 2 {
		return 0
	}
	longest := 0.0
	far := 1
	for i, a := range hull {
		b := hull[(i+1)%n]
		for off(a, b, hull[(far+1)%n]) > off(a, b, hull[far]) {
			longest = max(longest, distance2(a, hull[far]), distance2(b, hull[far]))
			far = (far + 1) % n
		}
		longest = max(longest, distance2(a, hull[far]), distance2(b, hull[far]))
		if next := hull[(far+1)%n]; off(a, b, next) == off(a, b, hull[far]) { // parallel edges
			longest = max(longest, distance2(a, next), distance2(b, next))
		}
	}
	return longest
}

// off is how far p stands to the left of the line ab, times the length of ab.
func off(a, b, p orb.Point) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
