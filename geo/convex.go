package geo

import "github.com/paulmach/orb"

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
		reach := tol * tol * (dx*dx + dy*dy)
		for _, p := range other[1:] {
			if in := dx*(p[1]-a[1]) - dy*(p[0]-a[0]); in > 0 && in*in > reach {
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

// clipHalf keeps what lies to the left of the line from a to b.
func clipHalf(ring orb.Ring, a, b orb.Point) orb.Ring {
	side := func(p orb.Point) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
	out := make(orb.Ring, 0, len(ring)+4)
	last := side(ring[0])
	for i := 1; i < len(ring); i++ {
		here := side(ring[i])
		if (last < 0) != (here < 0) {
			t := last / (last - here)
			p, q := ring[i-1], ring[i]
			out = append(out, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
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
