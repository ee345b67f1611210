package crs

import (
	"math"

	"rxsplit/internal/samebits"
)

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
	sin, cos := samebits.Sincos(phi)
	sinChi, cosChi := turn(sin, cos, t.el.toConformal.sum(sin, cos))
	sinLambda, cosLambda := samebits.Sincos(lambda)
	b := float64(cosChi * sinLambda)
	// Behind the horizon of the central meridian's point, or too far from it for
	// the atanh below to be worth taking.
	if cosLambda < 0 || math.Abs(b) > 0.6 {
		return 0, 0, false
	}
	adjacent := cosChi * cosLambda
	r := 1 / math.Sqrt((1-b)*(1+b))
	// The sine and cosine of ξ, and e^η = √((1+b)/(1-b)), come without calls.
	dXi, dEta := t.alpha.sum(sinChi*r, adjacent*r, (1+b)*r)
	xi, eta = samebits.Atan2(sinChi, adjacent)+dXi, samebits.Atanh(b)+dEta
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
	sin, cos := samebits.Sincos(xi)
	exp := samebits.Exp(eta)
	dXi, dEta := t.beta.sum(sin, cos, exp)
	sin, cos = turn(sin, cos, -dXi)
	exp = float64(exp * expSmall(-dEta))
	sinh, cosh := (exp-1/exp)/2, (exp+1/exp)/2
	cos = max(cos, 0) // not a hair beyond the pole by rounding
	adjacent := math.Sqrt(float64(sinh*sinh) + float64(cos*cos))
	phi = samebits.Atan(sin/adjacent) + t.el.toGeodetic.sum(sin/cosh, adjacent/cosh)
	return samebits.Atan2(sinh, cos), phi, true
}

// poleXi is ξ of a pole, with room for rounding.
const poleXi = math.Pi / 2 * (1 + 1e-15)

// turn returns the sine and cosine of an angle, given by its own, plus d, which
// has to be small, as the terms of the series here are: |d| < 0.005, for which
// the powers left out are below the last bit.
func turn(sin, cos, d float64) (s, c float64) {
	d2 := d * d
	sinD := d * (1 - float64(d2/6*(1-d2/20)))
	versD := d2 / 2 * (1 - float64(d2/12*(1-d2/30)))
	return sin + (float64(cos*sinD) - float64(sin*versD)), cos - (float64(sin*sinD) + float64(cos*versD))
}

// expSmall is e^d for |d| < 0.005.
func expSmall(d float64) float64 {
	return 1 + float64(d*(1+float64(d/2*(1+float64(d/3*(1+float64(d/4*(1+float64(d/5*(1+d/6))))))))))
}

// kruger holds one of Krüger's two series between the ellipsoidal and the
// spherical transverse Mercator projection.
type kruger fourier

// sum returns the sums of c[j] sin 2jξ cosh 2jη and c[j] cos 2jξ sinh 2jη: the
// real and imaginary part of a sine series at ξ + iη, by Clenshaw's recurrence
// in complex numbers. exp is e^η.
func (c *kruger) sum(sinXi, cosXi, exp float64) (re, im float64) {
	sin2, cos2 := float64(2*sinXi*cosXi), float64((cosXi-sinXi)*(cosXi+sinXi)) // doubling is adding: not to be fused
	e2 := float64(exp * exp)
	inv := 1 / e2
	cosh2, sinh2 := (e2+inv)/2, (e2-inv)/2
	sr, si := sin2*cosh2, cos2*sinh2
	ur, ui := 2*cos2*cosh2, -2*sin2*sinh2
	// b[j] = u b[j+1] - b[j+2] + c[j]
	ar, ai := c[5], 0.
	br, bi := float64(ur*ar)+c[4], ui*ar
	for j := 3; j >= 0; j-- {
		ar, ai, br, bi = br, bi, float64(ur*br)-float64(ui*bi)-ar+c[j], float64(ur*bi)+float64(ui*br)-ai
	}
	return float64(sr*br) - float64(si*bi), float64(sr*bi) + float64(si*br)
}

// krugerAlpha and krugerBeta are equations (35) and (36) of C. F. F. Karney,
// "Transverse Mercator with an accuracy of a few nanometers", Journal of Geodesy
// 85 (2011), to the sixth order of the third flattening n.
func krugerAlpha(n float64) kruger {
	n2 := n * n
	return kruger{
		n * (1./2 + float64(n*(-2./3+float64(n*(5./16+float64(n*(41./180+float64(n*(-127./288+n*7891./37800))))))))),
		n2 * (13./48 + float64(n*(-3./5+float64(n*(557./1440+float64(n*(281./630-n*1983433./1935360))))))),
		n2 * n * (61./240 + float64(n*(-103./140+float64(n*(15061./26880+n*167603./181440))))),
		n2 * n2 * (49561./161280 + float64(n*(-179./168+n*6601661./7257600))),
		n2 * n2 * n * (34729./80640 - n*3418889./1995840),
		n2 * n2 * n2 * 212378941. / 319334400,
	}
}

func krugerBeta(n float64) kruger {
	n2 := n * n
	return kruger{
		n * (1./2 + float64(n*(-2./3+float64(n*(37./96+float64(n*(-1./360+float64(n*(-81./512+n*96199./604800))))))))),
		n2 * (1./48 + float64(n*(1./15+float64(n*(-437./1440+float64(n*(46./105-n*1118711./3870720))))))),
		n2 * n * (17./480 + float64(n*(-37./840+float64(n*(-209./4480+n*5569./90720))))),
		n2 * n2 * (4397./161280 + float64(n*(-11./504-n*830251./7257600))),
		n2 * n2 * n * (4583./161280 - n*108847./3991680),
		n2 * n2 * n2 * 20648693. / 638668800,
	}
}

// rectifyingRadius is A of the same paper's equation (14).
func rectifyingRadius(a, n float64) float64 {
	n2 := n * n
	return a / (1 + n) * (1 + float64(n2*(1./4+float64(n2*(1./64+float64(n2/256))))))
}

// krugerReach is how far from the central meridian the series are trusted, in
// meters on the rectifying sphere: there the truncated terms pass 5 nm (the same
// paper's section 5).
const krugerReach = 3.9e6
