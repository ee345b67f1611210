package crs

import (
	"math"

	"rxsplit/internal/samebits"
)

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
	sin, cos := samebits.Sincos(phi)
	return m.a * lambda, m.a * isometricSphere(sin, cos), math.Abs(phi) < math.Pi/2
}

func (m sphericalMercator) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	lambda = x / m.a
	tan, _ := hyperbolic(y / m.a)
	phi = samebits.Atan(tan)
	return lambda, phi, math.Abs(lambda) <= maxLambda && math.Abs(phi) < math.Pi/2
}

// oblique is Hotine's oblique Mercator projection given by a center and an
// azimuth: Snyder, USGS Professional Paper 1395 (1987), pages 70 to 75,
// alternate B, with the rectification of EPSG methods 9812 (variant A) and 9815
// (variant B).
type oblique struct {
	el           ellipsoid
	b            float64
	r            float64 // A / B
	h            float64 // ln H
	sin0, cos0   float64 // of γ0, the line's azimuth at the aposphere's equator
	sinC, cosC   float64 // of the angle from rectified to skew grid
	lambda0      float64 // of the line's crossing of that equator, from the center
	uc           float64 // u of the center, 0 in variant A
	reach, along float64 // largest |v| and |u|, in units of r
}

func newOblique(el ellipsoid, p params, atCenter bool) *oblique {
	sinP, cosP := samebits.Sincos(p.lat0 * degree)
	sinA, cosA := samebits.Sincos(p.azimuth * degree)
	w := math.Sqrt(1 - float64(el.e2*sinP*sinP))
	o := &oblique{el: el, along: math.Pi}
	o.b = math.Sqrt(1 + el.e2*cosP*cosP*cosP*cosP/(1-el.e2))
	o.r = el.a * p.k0 * math.Sqrt(1-el.e2) / (w * w)
	d := max(1, o.b*math.Sqrt(1-el.e2)/(cosP*w))
	root := math.Sqrt((d - 1) * (d + 1))
	f := d + math.Copysign(root, sinP)
	o.h = samebits.Log(f) - float64(o.b*el.isometric(p.lat0*degree))
	gamma0 := samebits.Asin(sinA / d)
	o.sin0, o.cos0 = samebits.Sincos(gamma0)
	o.sinC, o.cosC = samebits.Sincos(p.skew * degree)
	o.lambda0 = -samebits.Asin(max(-1, min(1, (f-1/f)/2*samebits.Tan(gamma0)))) / o.b
	if atCenter {
		o.uc = o.r * math.Copysign(samebits.Atan2(root, cosA), sinP)
	}
	o.reach = krugerReach / el.a
	return o
}

func (o *oblique) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	psi := o.el.isometric(phi)
	if math.IsInf(psi, 0) {
		return 0, 0, false
	}
	// Q = H / t^B, and t = e^-ψ.
	s, t := hyperbolic(o.h + float64(o.b*psi))
	sinL, cosL := samebits.Sincos(o.b * wrap(lambda-o.lambda0))
	u := (float64(s*o.sin0) - float64(sinL*o.cos0)) / t
	v := -samebits.Atanh(u)
	along := samebits.Atan2(float64(s*o.cos0)+float64(sinL*o.sin0), cosL)
	if !(math.Abs(v) <= o.reach) {
		return 0, 0, false
	}
	along, v = float64(o.r*along)-o.uc, o.r*v
	return float64(v*o.cosC) + float64(along*o.sinC), float64(along*o.cosC) - float64(v*o.sinC), true
}

func (o *oblique) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	v := (float64(x*o.cosC) - float64(y*o.sinC)) / o.r
	u := (float64(y*o.cosC) + float64(x*o.sinC) + o.uc) / o.r
	if math.Abs(v) > o.reach || math.Abs(u) > o.along {
		return 0, 0, false
	}
	s, t := hyperbolic(-v)
	sinU, cosU := samebits.Sincos(u)
	q := samebits.Atanh((float64(sinU*o.cos0) + float64(s*o.sin0)) / t)
	phi = o.el.latitude((q - o.h) / o.b)
	lambda = o.lambda0 - samebits.Atan2(float64(s*o.cos0)-float64(sinU*o.sin0), cosU)/o.b
	return wrap(lambda), phi, math.Abs(phi) < math.Pi/2
}
