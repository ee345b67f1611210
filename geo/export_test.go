package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// What tests tell apart.
var (
	ErrSwath      = errSwath
	ErrManySwaths = errManySwaths
)

// CirclesTried returns how many circles [InscribedCircle] looks at in a polygon.
func CirclesTried(polygon orb.Polygon) int {
	box := bound(polygon[0])
	b := &boundary{plane: plane{box.Min, LonLatScale(box)}}
	b.sides = newSides(orb.MultiPolygon{polygon}, b.plane.meters)
	b.widest(polygon, b.plane.meters(box.Max), 0, math.Inf(1))
	return len(b.corners)
}
