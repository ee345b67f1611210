package shapefile

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// readRing decodes a part's points to the end of points, closes the ring if it is
// open, and returns points with it and the ring's winding as [windingOf] has it. The
// ring is bad if why is not empty: less than three distinct points, or a coordinate
// that is not finite.
func readRing(points []orb.Point, part []byte) (_ []orb.Point, winding int, closed bool, why string) {
	from := len(points)
	points = points[:from+len(part)/16] // the slab has room: the guard counted
	ring := points[from:]
	for i := range ring {
		ring[i] = pointAt(part, i)
	}
	if ring[0] != ring[len(ring)-1] {
		points = append(points, ring[0])
		ring = points[from:]
		closed = true
	}
	winding, finite := windingOf(ring)
	if !finite {
		if why := notFinite(ring); why != "" {
			return points, 0, closed, why
		}
	}
	if n := distinct(ring); n < 3 {
		return points, 0, closed, fewPoints(len(part)/16, n)
	}
	return points, winding, closed, ""
}

// windingOf returns 1 for a counter-clockwise ring, -1 for a clockwise one, 0 for
// one without area. Unless finite is true, some coordinate may be not finite.
func windingOf(ring []orb.Point) (winding int, finite bool) {
	area := doubleArea(ring)
	finite = !math.IsNaN(area) && !math.IsInf(area, 0)
	if !finite {
		area = scaledDoubleArea(ring)
	}
	switch {
	case area > 0:
		winding = 1
	case area < 0:
		winding = -1
	}
	return winding, finite
}

// doubleArea is twice the signed area by the shoelace formula, taken from the
// first point to keep digits. A coordinate that is not finite makes the sum not
// finite, as each stands in some product.
func doubleArea(ring []orb.Point) (sum float64) {
	x0, y0 := ring[0][0], ring[0][1]
	var px, py float64
	for _, p := range ring[1:] {
		x, y := p[0]-x0, p[1]-y0
		sum += px*y - x*py
		px, py = x, y
	}
	return sum
}

// scaledDoubleArea keeps the sign where coordinates are so large that their
// products overflow.
func scaledDoubleArea(ring []orb.Point) (sum float64) {
	const scale = 0x1p-540
	p := ring[0]
	for _, q := range ring[1:] {
		sum += p[0]*scale*(q[1]*scale) - q[0]*scale*(p[1]*scale)
		p = q
	}
	return sum
}

func notFinite(ring []orb.Point) (why string) {
	for i, p := range ring {
		for axis, v := range p {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Sprintf("point %d has %s = %v", i+1, [...]string{"x", "y"}[axis], v)
			}
		}
	}
	return ""
}

// distinct counts the distinct points of a ring, up to 3.
func distinct(ring []orb.Point) int {
	first := ring[0]
	for i, second := range ring {
		if second == first {
			continue
		}
		for _, p := range ring[i:] {
			if p != first && p != second {
				return 3
			}
		}
		return 2
	}
	return 1
}

func fewPoints(points, distinct int) string {
	if points == 1 {
		return "has 1 point"
	}
	if points == distinct {
		return fmt.Sprintf("has %d points", points)
	}
	return fmt.Sprintf("has %d points, only %d of them distinct", points, distinct)
}
