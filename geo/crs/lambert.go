package crs

import "math"

// lambert is the Lambert conformal conic projection, Snyder, "Map Projections -
// A Working Manual", USGS Professional Paper 1395 (1987), equations 15-1 to
// 15-11. The form with one standard parallel is the one with two equal ones and
// a scale.
type lambert struct {
	el   ellipsoid
	n    float64 // cone constant
	af   float64 // a F k0
	rho0 float64 // radius of the origin's parallel
}

func newLambert(el ellipsoid, p params) *lambert {
	phi1, phi2 := p.sp1*degree, p.sp2*degree
	l := &lambert{el: el, n: el.conformalCone(phi1, phi2)}
	l.af = el.a * p.k0 * el.parallelRadius(phi1) / l.n * math.Exp(l.n*el.isometric(phi1))
	l.rho0 = l.rho(p.lat0 * degree)
	return l
}

// sameParallel is the difference, in radians, below which two standard parallels
// count as one.
const sameParallel = 1e-9

// conformalCone is the cone constant n, equation 15-8. Its numerator and its
// denominator are small differences; taken in closed form they keep all digits.
// The equation as it stands loses two with State Plane's parallels: 2e-8 m a
// thousand kilometers from the meridian.
func (el *ellipsoid) conformalCone(phi1, phi2 float64) float64 {
	s1, s2 := math.Sin(phi1), math.Sin(phi2)
	if math.Abs(phi1-phi2) < sameParallel {
		return s1
	}
	diff := 2 * math.Cos((phi1+phi2)/2) * math.Sin((phi1-phi2)/2) // s1 - s2
	// ln m2 - ln m1, by m² = (1 - s²) / (1 - e² s²)
	grow := diff * (s1 + s2) * (1 - el.e2) / ((1 - s1) * (1 + s1) * (1 - el.e2*s2*s2))
	logs := math.Log1p(grow) / 2
	psis := math.Atanh(diff/(1-s1*s2)) - el.e*math.Atanh(el.e*diff/(1-el.e2*s1*s2))
	return logs / psis
}

// rho is the radius of a parallel, with the sign of n; infinite at the far pole.
func (l *lambert) rho(phi float64) float64 {
	return l.af * math.Exp(-l.n*l.el.isometric(phi))
}

func (l *lambert) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	rho := l.rho(phi)
	sin, cos := math.Sincos(l.n * lambda)
	return rho * sin, l.rho0 - rho*cos, !math.IsInf(rho, 0)
}

func (l *lambert) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	sign := math.Copysign(1, l.n)
	theta := math.Atan2(sign*x, sign*(l.rho0-y))
	lambda = theta / l.n
	psi := -math.Log((x*x+(l.rho0-y)*(l.rho0-y))/(l.af*l.af)) / (2 * l.n)
	return lambda, l.el.latitude(psi), math.Abs(lambda) <= maxLambda
}

// maxLambda is a half turn with room for rounding: beyond it a cone has no map.
const maxLambda = math.Pi * (1 + 1e-12)
