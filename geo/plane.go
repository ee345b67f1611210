package geo

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// Scale says how many meters one unit of a coordinate is, in x and in y. It is
// for distances of millimeters up to a field's width, not for acres.
type Scale struct{ X, Y float64 }

// LonLatScale returns the scale of lon/lat in degrees at the middle of a box: the
// lengths of a degree of the WGS 84 ellipsoid's meridian and parallel.
func LonLatScale(b orb.Bound) Scale {
	sin, cos := samebits.Sincos((b.Min[1] + b.Max[1]) / 2 * radian)
	w2 := 1 - float64(eccentricity*sin*sin)
	prime := semiMajor / math.Sqrt(w2)
	return Scale{
		X: prime * cos * radian,
		Y: prime * (1 - eccentricity) / w2 * radian,
	}
}

// plane brings coordinates to meters from an origin, nearly: what a tolerance is
// measured in.
type plane struct {
	origin orb.Point
	scale  Scale
}

func (p plane) meters(q orb.Point) orb.Point {
	return orb.Point{(q[0] - p.origin[0]) * p.scale.X, (q[1] - p.origin[1]) * p.scale.Y}
}

// degrees undoes meters.
func (p plane) degrees(q orb.Point) orb.Point {
	return orb.Point{q[0]/p.scale.X + p.origin[0], q[1]/p.scale.Y + p.origin[1]}
}

// TwiceArea returns twice the area of a closed ring in its plane, above 0 where it goes
// counter-clockwise.
func TwiceArea(ring orb.Ring) (sum float64) {
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		sum += float64((a[0]-ring[0][0])*(b[1]-ring[0][1])) - float64((b[0]-ring[0][0])*(a[1]-ring[0][1]))
	}
	return sum
}

func distance2(a, b orb.Point) float64 {
	dx, dy := a[0]-b[0], a[1]-b[1]
	return float64(dx*dx) + float64(dy*dy)
}

// meters2 turns square meters into an area.
func meters2(m float64) unit.Area { return unit.Area(unit.Area(m) * unit.SquareMeter) }

// orient returns 1 if c lies to the left of the line from a to b, -1 if to the
// right, 0 if on it: exact for any finite coordinates. Where rounding could change
// the answer it computes again in numbers that don't round. The error bound is
// that of J. R. Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast
// Robust Geometric Predicates, 1997, for ORIENT2D.
func orient(a, b, c orb.Point) int {
	left := float64((a[0] - c[0]) * (b[1] - c[1]))
	right := float64((a[1] - c[1]) * (b[0] - c[0]))
	det := left - right
	bound := 3.3306690738754716e-16 * (math.Abs(left) + math.Abs(right))
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	if a == c || b == c || a == b || onAxis(a, b, c, 0) || onAxis(a, b, c, 1) {
		return 0
	}
	return exactOrient(a, b, c)
}

// onAxis reports whether three points share a coordinate, as the edges of grids do.
func onAxis(a, b, c orb.Point, axis int) bool { return a[axis] == b[axis] && b[axis] == c[axis] }

func exactOrient(a, b, c orb.Point) int {
	left := new(big.Rat).Mul(exactLess(a[0], c[0]), exactLess(b[1], c[1]))
	right := new(big.Rat).Mul(exactLess(a[1], c[1]), exactLess(b[0], c[0]))
	return left.Cmp(right)
}

func exactLess(a, b float64) *big.Rat {
	return new(big.Rat).Sub(new(big.Rat).SetFloat64(a), new(big.Rat).SetFloat64(b))
}

// meeting says how two segments lie to each other.
type meeting uint8

const (
	apart   meeting = iota
	touch           // share one point, which ends one of them or both
	cross           // share one point inside both
	overlay         // share more than a point of one line
)

// meetSegments tells how the segments ab and cd meet. It is exact.
func meetSegments(a, b, c, d orb.Point) meeting {
	if !boxtree.Meet(boxtree.Segment(a, b), boxtree.Segment(c, d)) {
		return apart
	}
	c1, d1 := orient(a, b, c), orient(a, b, d)
	if c1 != 0 && c1 == d1 {
		return apart
	}
	a1, b1 := orient(c, d, a), orient(c, d, b)
	if a1 != 0 && a1 == b1 {
		return apart
	}
	if c1 == 0 && d1 == 0 {
		return meetCollinear(a, b, c, d)
	}
	if c1 == 0 || d1 == 0 || a1 == 0 || b1 == 0 {
		return touch
	}
	return cross
}

// meetCollinear is for segments on one line whose boxes meet.
func meetCollinear(a, b, c, d orb.Point) meeting {
	axis := 0
	if math.Abs(b[1]-a[1]) > math.Abs(b[0]-a[0]) {
		axis = 1
	}
	from := max(min(a[axis], b[axis]), min(c[axis], d[axis]))
	to := min(max(a[axis], b[axis]), max(c[axis], d[axis]))
	switch {
	case from > to:
		return apart
	case from == to:
		return touch
	}
	return overlay
}

// crossing returns where two segments that cross meet, nearly.
func crossing(a, b, c, d orb.Point) orb.Point {
	dx, dy := b[0]-a[0], b[1]-a[1]
	ex, ey := d[0]-c[0], d[1]-c[1]
	det := float64(dx*ey) - float64(dy*ex)
	if det == 0 {
		return c
	}
	t := (float64((c[0]-a[0])*ey) - float64((c[1]-a[1])*ex)) / det
	t = min(max(t, 0), 1)
	return orb.Point{a[0] + float64(t*dx), a[1] + float64(t*dy)}
}
