package crs

import "math"

// projection maps the ellipsoid to a plane, without false origin. Longitudes are
// from the central meridian, in [-π, π]; latitudes in [-π/2, π/2]; angles are in
// radians, plane coordinates in meters. ok is false for a point that is out of
// the projection's range.
type projection interface {
	toPlane(lambda, phi float64) (x, y float64, ok bool)
	toGlobe(x, y float64) (lambda, phi float64, ok bool)
}

// method names a projection as the table of systems does.
type method uint8

const (
	geographic method = iota // none: longitude and latitude
	transverseMercator
	lambertConic // with one standard parallel or two
	albersConic
	mercator
	webMercator
	obliqueMercatorA // false origin where the line meets the equator's aposphere
	obliqueMercatorB // false origin at the center of the projection
)

// params are a projection's parameters: degrees, and the system's unit for the
// false origin. What a method doesn't use is 0, a scale 1.
type params struct {
	lat0, lon0 float64 // origin; of oblique Mercator the center
	sp1, sp2   float64 // standard parallels
	k0         float64 // scale on the central line
	azimuth    float64 // of the central line at the center, clockwise from north
	skew       float64 // angle from rectified to skew grid
	fe, fn     float64 // false easting and northing
}

// newProjection sets up a projection; nil for geographic.
func newProjection(m method, el ellipsoid, p params) projection {
	switch m {
	case transverseMercator:
		return newTransverse(el, p)
	case lambertConic:
		return newLambert(el, p)
	case albersConic:
		return newAlbers(el, p)
	case mercator:
		return newMercator(el, p)
	case webMercator:
		return sphericalMercator{el.a}
	case obliqueMercatorA, obliqueMercatorB:
		return newOblique(el, p, m == obliqueMercatorB)
	}
	return nil
}

const degree = math.Pi / 180

// wrap returns an angle in [-π, π] for one in [-3π, 3π].
func wrap(a float64) float64 {
	if a > math.Pi {
		return a - 2*math.Pi
	}
	if a < -math.Pi {
		return a + 2*math.Pi
	}
	return a
}
