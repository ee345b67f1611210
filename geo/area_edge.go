package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// The area formula: map the ellipsoid onto the plane by Lambert's cylindrical
// equal-area projection, where a polygon of straight edges has a plain area, and
// add to each edge the sliver between the straight line and the geodesic.
//
// The ordinate of the projection, in units of the squared semi-minor axis b², is
//
//	Y(s) = s·(1 + x·(2/3 + x·(3/5 + x·(4/7 + x·(5/9 + x·6/11))))),  x = e²s²
//
// with s the sine of the latitude: the series of ∫ cosφ·M·N/b² dφ, M and N the
// radii of curvature (J. P. Snyder, Map Projections: A Working Manual, USGS
// Professional Paper 1395, 1987, eq. 3-12, gives its closed form). The first term
// left out is below 1e-15 at 70°.
//
// The bulge is the second-order term of the geodesic in that plane: with m the
// mean s of the edge and u = (1−m²)/((1−e²m²)(1−e²)),
//
//	m/12 · Δλ · (3·ΔY²/u + u·Δλ²)
//
// Its error is 3e-10 of the area with edges of 400 m and 2e-11 with 5 km, where
// rounding is the smaller part.

// ordinate is a vertex on the map: the sine of its latitude and Y of that.
type ordinate struct{ s, y float64 }

func project(p orb.Point) ordinate {
	s := math.Sin(p[1] * radian)
	return ordinate{s, equalAreaY(s)}
}

func equalAreaY(s float64) float64 {
	x := eccentricity * s * s
	return s * (1 + x*(2.0/3+x*(3.0/5+x*(4.0/7+x*(5.0/9+x*(6.0/11))))))
}

// under returns the area between an edge and the line Y = 0, and the square of
// the edge's length, about, on a unit sphere. lon is the edge's extent in
// longitude in radians. The edge walked backwards has the same with the opposite
// sign, to the last bit: shared edges cancel.
func under(p, q ordinate, lon float64) (area, length2 float64) {
	m := (p.s + q.s) / 2
	up := q.y - p.y
	m2 := m * m
	u := (1 - m2) / ((1 - eccentricity*m2) * (1 - eccentricity))
	rise, run := up*up/u, u*lon*lon
	return lon*((p.y+q.y)/2) + m/12*lon*(3*rise+run), rise + run
}
