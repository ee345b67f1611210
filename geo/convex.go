package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// isConvex reports whether a polygon is one ring that turns left all the way
// around, once.
func isConvex(p orb.Polygon) bool {
	if len(p) != 1 || len(p[0]) < 4 {
		return false
	}
	ring := p[0][:len(p[0])-1]
	n := len(ring)
	rises := 0 // in a convex ring, the heights go up once and down once
	for i := range n {
		a, b, c := ring[i], ring[(i+1)%n], ring[(i+2)%n]
		if orient(a, b, c) < 0 {
			return false
		}
		if goesUp(a, b) && !goesUp(b, c) {
			rises++
		}
	}
	return rises == 1
}

func goesUp(a, b orb.Point) bool { return b[1] > a[1] || b[1] == a[1] && b[0] > a[0] }

// separates reports whether an edge of a convex ring has all of another ring on
// its outer side, or no farther in than tol.
func separates(convex, other orb.Ring, tol float64) bool {
next:
	for i := 1; i < len(convex); i++ {
		a, b := convex[i-1], convex[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		reach := tol * tol * (float64(dx*dx) + float64(dy*dy))
		for _, p := range other[1:] {
			if in := float64(dx*(p[1]-a[1])) - float64(dy*(p[0]-a[0])); in > 0 && in*in > reach {
				continue next
			}
		}
		return true
	}
	return false
}

// clipConvex returns the part of a polygon inside a convex counter-clockwise ring
// (I. E. Sutherland and G. W. Hodgman, Reentrant Polygon Clipping, 1974). Parts of
// a polygon that isn't convex may hang together by edges of no width along the
// ring; they add nothing to the area.
func clipConvex(p orb.Polygon, convex orb.Ring) orb.MultiPolygon {
	var out orb.Polygon
	for r, ring := range p {
		for i := 1; i < len(convex) && len(ring) > 0; i++ {
			ring = clipHalf(ring, convex[i-1], convex[i])
		}
		if len(ring) > 3 {
			out = append(out, ring)
		} else if r == 0 {
			return nil
		}
	}
	return orb.MultiPolygon{out}
}

// ConvexOverlap returns the area that two convex polygons without holes share, in the units of
// their plane; 0 where one is none. Corners that rounding turned inward don't matter.
func ConvexOverlap(a, b orb.MultiPolygon) float64 {
	if len(a) != 1 || len(b) != 1 || !a.Bound().Intersects(b.Bound()) {
		return 0
	}
	p, q := nearlyConvex(a[0]), nearlyConvex(b[0])
	if p == nil || q == nil {
		return 0
	}
	sum := 0.0
	for _, polygon := range clipConvex(p, q[0]) {
		sum += TwiceArea(polygon[0])
	}
	return sum / 2
}

// nearlyConvex returns a polygon counter-clockwise if it is convex, its hull if that is larger
// by no more than a thousandth, else nil.
func nearlyConvex(polygon orb.Polygon) orb.Polygon {
	if len(polygon) != 1 {
		return nil
	}
	p := polygon.Clone()
	if p[0].Orientation() == orb.CW {
		p[0].Reverse()
	}
	if isConvex(p) {
		return p
	}
	hull := convexHull(slices.Clone(p[0]))
	if len(hull) < 3 {
		return nil
	}
	ring := append(orb.Ring(hull), hull[0])
	if TwiceArea(ring) > float64(1.001*TwiceArea(p[0])) {
		return nil
	}
	return orb.Polygon{ring}
}

// clipHalf keeps what lies to the left of the line from a to b.
func clipHalf(ring orb.Ring, a, b orb.Point) orb.Ring {
	side := func(p orb.Point) float64 { return float64((b[0]-a[0])*(p[1]-a[1])) - float64((b[1]-a[1])*(p[0]-a[0])) }
	out := make(orb.Ring, 0, len(ring)+4)
	last := side(ring[0])
	for i := 1; i < len(ring); i++ {
		here := side(ring[i])
		if (last < 0) != (here < 0) {
			t := last / (last - here)
			p, q := ring[i-1], ring[i]
			out = append(out, orb.Point{p[0] + float64(t*(q[0]-p[0])), p[1] + float64(t*(q[1]-p[1]))})
		}
		if here >= 0 {
			out = append(out, ring[i])
		}
		last = here
	}
	if len(out) > 0 && out[0] != out[len(out)-1] {
		out = append(out, out[0])
	}
	return out
}

// LongestExtent returns the longest distance between two points of a polygon in
// lon/lat, in the plane of [InscribedCircle]; 0 without ground. Of a polygon whose box is
// longer than what is enough it returns how long the box is, which is quicker.
//
// The two are corners of the convex hull, opposite each other (M. I. Shamos,
// Computational Geometry, 1978).
func LongestExtent(polygon orb.Polygon, enough unit.Length) unit.Length {
	if len(polygon) == 0 || len(polygon[0]) == 0 {
		return 0
	}
	const rounding = 1e-9
	box := bound(polygon[0])
	plane := plane{box.Min, LonLatScale(box)}
	size := plane.meters(box.Max) // a side of the box has a point on it, and so has the opposite one
	if long := max(size[0], size[1]); long > unit.Meters(enough)*(1+rounding) {
		return unit.Length(long) * unit.Meter
	}
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

// firm leaves out the corners of a hull in meters that stand less than a micrometer off
// the line between their neighbors. The hull is exact, but rounding can turn such a
// corner inward, and a walk around it would take that for the farthest.
func firm(hull []orb.Point) []orb.Point {
	const least = 1e-6
	var out []orb.Point
	for i, p := range hull {
		if n := len(out); n > 0 {
			last, next := out[n-1], hull[(i+1)%len(hull)]
			side2 := distance2(last, next)
			if off(last, p, next) < float64(least*math.Sqrt(side2)) && max(distance2(last, p), distance2(p, next)) < side2 {
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// farthest2 returns the square of the longest distance between corners of a hull:
// along it, the corner farthest from an edge only goes forward.
func farthest2(hull []orb.Point) float64 {
	hull = firm(hull)
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
func off(a, b, p orb.Point) float64 {
	return float64((b[0]-a[0])*(p[1]-a[1])) - float64((b[1]-a[1])*(p[0]-a[0]))
}
