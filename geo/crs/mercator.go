package crs

import "math"

// mercatorEllipsoid is the Mercator projection, Snyder, USGS Professional Paper
// 1395 (1987), equations 7-6 to 7-9, with a scale on the equator (one standard
// parallel) or true at two parallels.
type mercatorEllipsoid struct {
	el ellipsoid
	r  float64 // radius of the map's equator
}

func newMercator(el ellipsoid, p params) *mercatorEllipsoid {
	return &mercatorEllipsoid{el: el, r: el.a * p.k0 * el.parallelRadius(p.sp1*degree)}
}

func (m *mercatorEllipsoid) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	return m.r * lambda, m.r * m.el.isometric(phi), math.Abs(phi) < math.Pi/2
}

func (m *mercatorEllipsoid) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	lambda = x / m.r
	phi = m.el.latitude(y / m.r)
	return lambda, phi, math.Abs(lambda) <= maxLambda && math.Abs(phi) < math.Pi/2
}

// sphericalMercator takes geodetic latitudes for those of a sphere of the radius
// a, as web maps do: EPSG method 1024, IOGP Guidance Note 7-2.
type sphericalMercator struct{ a float64 }

func (m sphericalMercator) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	sin, cos := math.Sincos(phi)
	return m.a * lambda, m.a * isometricSphere(sin, cos), math.Abs(phi) < math.Pi/2
}

func (m sphericalMercator) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	lambda = x / m.a
	tan, _ := hyperbolic(y / m.a)
	phi = math.Atan(tan)
	return lambda, phi, math.Abs(lambda) <= maxLambda && math.Abs(phi) < math.Pi/2
}
