package geo

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// Scale says how many meters one unit of a coordinate is, in x and in y. It is
// for distances of millimeters up to a field's width, not for acres.
type Scale struct{ X, Y float64 }

// LonLatScale returns the scale of lon/lat in degrees at the middle of a box: the
// lengths of a degree of the WGS 84 ellipsoid's meridian and parallel.
func LonLatScale(b orb.Bound) Scale {
	sin, cos := math.Sincos((b.Min[1] + b.Max[1]) / 2 * radian)
	w2 := 1 - eccentricity*sin*sin
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

func distance2(a, b orb.Point) float64 {
	dx, dy := a[0]-b[0], a[1]-b[1]
	return dx*dx + dy*dy
}

// meters2 turns square meters into an area.
func meters2(m float64) unit.Area { return unit.Area(m) * unit.SquareMeter }
