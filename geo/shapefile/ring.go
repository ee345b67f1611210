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
		if why := noPlace(ring); why != "" {
			return points, 0, closed, why
		}
	}
	if n := distinct(ring); n < 3 {
		return points, 0, closed, fewPoints(len(part)/16, n)
	}
	return points, winding, closed, ""
}

// windingOf returns 1 for a counter-clockwise closed ring, -1 for a clockwise one,
// 0 for one without area. Turning the ring turns the sign, whatever the rounding.
// If finite is false some coordinate is not finite or absurdly large.
func windingOf(ring []orb.Point) (winding int, finite bool) {
	area, size := doubleArea(ring)
	if math.IsNaN(size) || math.IsInf(size, 0) {
		return 0, false
	}
	if rounding := float64(len(ring)+8) * 0x1p-52 * size; math.Abs(area) <= rounding {
		area = evenDoubleArea(ring)
	}
	switch {
	case area > 0:
		winding = 1
	case area < 0:
		winding = -1
	}
	return winding, true
}

// doubleArea is twice the signed area by the shoelace formula, taken from the
// first point to keep digits, and the sum of the sizes of its terms. A coordinate
// that is not finite makes the size not finite, as each stands in some product.
func doubleArea(ring []orb.Point) (sum, size float64) {
	x0, y0 := ring[0][0], ring[0][1]
	var px, py float64
	for _, p := range ring[1:] {
		x, y := p[0]-x0, p[1]-y0
		a, b := float64(px*y), float64(x*py)
		sum += a - b
		size += math.Abs(a) + math.Abs(b)
		px, py = x, y
	}
	return sum, size
}

// evenDoubleArea is four times the signed area, summed up in both directions, so
// that turning a ring changes the sign and not one digit.
func evenDoubleArea(ring []orb.Point) (sum float64) {
	forward, _ := doubleArea(ring)
	x0, y0 := ring[0][0], ring[0][1]
	var px, py, backward float64
	for i := len(ring) - 2; i >= 0; i-- {
		x, y := ring[i][0]-x0, ring[i][1]-y0
		backward += float64(px*y) - float64(x*py)
		px, py = x, y
	}
	return forward - backward
}

// noPlace reports a coordinate that is not finite, or so large that areas
// overflow: no system of coordinates comes near.
func noPlace(ring []orb.Point) (why string) {
	const absurd = 1e150
	for i, p := range ring {
		for axis, v := range p {
			if !(math.Abs(v) <= absurd) {
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
