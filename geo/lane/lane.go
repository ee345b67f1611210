// Package lane lays a field out in lanes, as a machine drives it, and finds places in them for
// strips that are to be held against the lanes on both their sides.
//
// All is in meters of one plane.
package lane

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// Lanes are passes of one width, side by side from one edge of the ground to the other, in a
// frame whose passes run along its second axis.
type Lanes struct {
	Along orb.Point // unit vector
	Width float64
	Left  float64 // of the first
	Count int
}

// Over lays lanes over the points of some ground. They run at an azimuth, in degrees clockwise
// from north; the first begins outside the ground's edge by an offset.
func Over(points []orb.Point, azimuth, width, offset float64) Lanes {
	sin, cos := samebits.Sincos(azimuth * math.Pi / 180)
	l := Lanes{Along: orb.Point{sin, cos}, Width: width}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		x := l.Turn(p)[0]
		low, high = min(low, x), max(high, x)
	}
	l.Left = low - offset
	l.Count = max(0, int(math.Ceil((high-l.Left)/width-1e-6)))
	return l
}

// Turn brings a place into the frame: across to the right, and ahead.
func (l Lanes) Turn(p orb.Point) orb.Point {
	return orb.Point{float64(p[0]*l.Along[1]) - float64(p[1]*l.Along[0]), float64(p[0]*l.Along[0]) + float64(p[1]*l.Along[1])}
}

// Back undoes [Lanes.Turn].
func (l Lanes) Back(q orb.Point) orb.Point {
	return orb.Point{float64(q[0]*l.Along[1]) + float64(q[1]*l.Along[0]), float64(q[1]*l.Along[1]) - float64(q[0]*l.Along[0])}
}

// Box returns the ground between two sides and two ends of the frame, counter-clockwise.
func (l Lanes) Box(left, right, from, to float64) orb.Polygon {
	return orb.Polygon{{
		l.Back(orb.Point{left, from}), l.Back(orb.Point{right, from}), l.Back(orb.Point{right, to}),
		l.Back(orb.Point{left, to}), l.Back(orb.Point{left, from}),
	}}
}

// Side returns the left side of a lane.
func (l Lanes) Side(lane int) float64 { return l.Left + float64(float64(lane)*l.Width) }
