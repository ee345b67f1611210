package crs

import "math"

// transverse is the transverse Mercator projection by Krüger's series in the
// third flattening, as Karney's paper (see krugerAlpha) extends them.
type transverse struct {
	el          ellipsoid
	radius      float64 // rectifying radius times the scale on the central meridian
	reach       float64 // largest η, see krugerReach
	xi0         float64 // ξ of the origin's latitude
	alpha, beta kruger
}

func newTransverse(el ellipsoid, p params) *transverse {
	t := &transverse{el: el, alpha: krugerAlpha(el.n), beta: krugerBeta(el.n)}
	radius := rectifyingRadius(el.a, el.n)
	t.radius = radius * p.k0
	t.reach = krugerReach / radius
	t.xi0, _, _ = t.series(0, p.lat0*degree)
	return t
}

// series returns ξ and η, the plane's coordinates in units of the radius.
func (t *transverse) series(lambda, phi float64) (xi, eta float64, ok bool) {
	sin, cos := math.Sincos(phi)
	sinChi, cosChi := turn(sin, cos, t.el.toConformal.sum(sin, cos))
	sinLambda, cosLambda := math.Sincos(lambda)
	b := cosChi * sinLambda
	// Behind the horizon of the central meridian's point, or too far from it for
	// the atanh below to be worth taking.
	if cosLambda < 0 || math.Abs(b) > 0.6 {
		return 0, 0, false
	}
	adjacent := cosChi * cosLambda
	r := 1 / math.Sqrt((1-b)*(1+b))
	// The sine and cosine of ξ, and e^η = √((1+b)/(1-b)), come without calls.
	dXi, dEta := t.alpha.sum(sinChi*r, adjacent*r, (1+b)*r)
	xi, eta = math.Atan2(sinChi, adjacent)+dXi, math.Atanh(b)+dEta
	return xi, eta, math.Abs(eta) <= t.reach
}

func (t *transverse) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	xi, eta, ok := t.series(lambda, phi)
	return t.radius * eta, t.radius * (xi - t.xi0), ok
}

func (t *transverse) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	xi, eta := y/t.radius+t.xi0, x/t.radius
	if !(math.Abs(eta) <= t.reach && math.Abs(xi) <= poleXi) {
		return 0, 0, false
	}
	sin, cos := math.Sincos(xi)
	exp := math.Exp(eta)
	dXi, dEta := t.beta.sum(sin, cos, exp)
	sin, cos = turn(sin, cos, -dXi)
	exp *= expSmall(-dEta)
	sinh, cosh := (exp-1/exp)/2, (exp+1/exp)/2
	cos = max(cos, 0) // not a hair beyond the pole by rounding
	adjacent := math.Sqrt(sinh*sinh + cos*cos)
	phi = math.Atan(sin/adjacent) + t.el.toGeodetic.sum(sin/cosh, adjacent/cosh)
	return math.Atan2(sinh, cos), phi, true
}

// poleXi is ξ of a pole, with room for rounding.
const poleXi = math.Pi / 2 * (1 + 1e-15)

// turn returns the sine and cosine of an angle, given by its own, plus d, which
// has to be small, as the terms of the series here are: |d| < 0.005, for which
// the powers left out are below the last bit.
func turn(sin, cos, d float64) (s, c float64) {
	d2 := d * d
	sinD := d * (1 - d2/6*(1-d2/20))
	versD := d2 / 2 * (1 - d2/12*(1-d2/30))
	return sin + (cos*sinD - sin*versD), cos - (sin*sinD + cos*versD)
}

// expSmall is e^d for |d| < 0.005.
func expSmall(d float64) float64 {
	return 1 + d*(1+d/2*(1+d/3*(1+d/4*(1+d/5*(1+d/6)))))
}
