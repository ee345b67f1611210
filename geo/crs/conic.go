package crs

import (
	"math"

	"rxsplit/internal/samebits"
)

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
	phi1, phi2 := float64(p.sp1*degree), float64(p.sp2*degree)
	l := &lambert{el: el, n: el.conformalCone(phi1, phi2)}
	l.af = el.a * p.k0 * el.parallelRadius(phi1) / l.n * samebits.Exp(l.n*el.isometric(phi1))
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
	s1, s2 := samebits.Sin(phi1), samebits.Sin(phi2)
	if math.Abs(phi1-phi2) < sameParallel {
		return s1
	}
	diff := 2 * samebits.Cos((phi1+phi2)/2) * samebits.Sin((phi1-phi2)/2) // s1 - s2
	// ln m2 - ln m1, by m² = (1 - s²) / (1 - e² s²)
	grow := diff * (s1 + s2) * (1 - el.e2) / ((1 - s1) * (1 + s1) * (1 - float64(el.e2*s2*s2)))
	logs := samebits.Log1p(grow) / 2
	psis := samebits.Atanh(diff/(1-float64(s1*s2))) - float64(el.e*samebits.Atanh(el.e*diff/(1-float64(el.e2*s1*s2))))
	return logs / psis
}

// rho is the radius of a parallel, with the sign of n; infinite at the far pole.
func (l *lambert) rho(phi float64) float64 {
	return l.af * samebits.Exp(-l.n*l.el.isometric(phi))
}

func (l *lambert) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	rho := l.rho(phi)
	sin, cos := samebits.Sincos(l.n * lambda)
	return rho * sin, l.rho0 - float64(rho*cos), !math.IsInf(rho, 0)
}

func (l *lambert) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	sign := math.Copysign(1, l.n)
	theta := samebits.Atan2(sign*x, sign*(l.rho0-y))
	lambda = theta / l.n
	psi := -samebits.Log((float64(x*x)+float64((l.rho0-y)*(l.rho0-y)))/(l.af*l.af)) / (2 * l.n)
	return lambda, l.el.latitude(psi), math.Abs(lambda) <= maxLambda
}

// maxLambda is a half turn with room for rounding: beyond it a cone has no map.
const maxLambda = math.Pi * (1 + 1e-12)

// albers is the Albers equal-area conic projection, Snyder, USGS Professional
// Paper 1395 (1987), equations 14-1 to 14-15.
type albers struct {
	el   ellipsoid
	n, c float64
	rho0 float64
	pole float64    // q of the pole, equation 3-12 at 90°
	auth [3]float64 // the series 3-18, in sin 2β, sin 4β, sin 6β
}

func newAlbers(el ellipsoid, p params) *albers {
	phi1, phi2 := float64(p.sp1*degree), float64(p.sp2*degree)
	m1, q1 := el.parallelRadius(phi1), el.authalicQ(samebits.Sin(phi1))
	a := &albers{el: el, n: samebits.Sin(phi1), pole: el.authalicQ(1)}
	if math.Abs(phi1-phi2) > sameParallel {
		m2, q2 := el.parallelRadius(phi2), el.authalicQ(samebits.Sin(phi2))
		a.n = (m1 - m2) * (m1 + m2) / (q2 - q1)
	}
	a.c = float64(m1*m1) + float64(a.n*q1)
	a.rho0 = a.rho(el.authalicQ(samebits.Sin(p.lat0 * degree)))
	e2 := el.e2
	a.auth = [3]float64{
		e2 * (1./3 + float64(e2*(31./180+e2*517./5040))),
		e2 * e2 * (23./360 + e2*251./3780),
		e2 * e2 * e2 * 761. / 45360,
	}
	return a
}

// authalicQ is equation 3-12.
func (el *ellipsoid) authalicQ(sin float64) float64 {
	return float64((1 - el.e2) * (sin/(1-float64(el.e2*sin*sin)) + el.eAtanh(sin)/el.e2))
}

func (a *albers) rho(q float64) float64 { return a.el.a / a.n * math.Sqrt(a.c-float64(a.n*q)) }

func (a *albers) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	rho := a.rho(a.el.authalicQ(samebits.Sin(phi)))
	sin, cos := samebits.Sincos(a.n * lambda)
	return rho * sin, a.rho0 - float64(rho*cos), !math.IsNaN(rho)
}

func (a *albers) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	sign := math.Copysign(1, a.n)
	lambda = samebits.Atan2(sign*x, sign*(a.rho0-y)) / a.n
	rho2 := (float64(x*x) + float64((a.rho0-y)*(a.rho0-y))) / (a.el.a * a.el.a)
	q := (a.c - float64(rho2*a.n*a.n)) / a.n
	if math.Abs(q) > a.pole*(1+1e-15) || math.Abs(lambda) > maxLambda {
		return 0, 0, false
	}
	return lambda, a.latitude(q), true
}

// latitude undoes authalicQ: the series 3-18, which is good to 1e-9, then one
// step of Newton's method (3-16), which squares that.
func (a *albers) latitude(q float64) float64 {
	sin := q / a.pole
	square := (1 - sin) * (1 + sin)
	if square < 1e-12 { // Newton's slope is 0 at the pole
		return math.Copysign(math.Pi/2, q)
	}
	cos := math.Sqrt(square)
	u := 2 * (cos - sin) * (cos + sin)
	b1 := float64(u*a.auth[2]) + a.auth[1]
	b0 := float64(u*b1) - a.auth[2] + a.auth[0]
	phi := samebits.Atan2(sin, cos) + float64(2*sin*cos*b0)
	sin, cos = samebits.Sincos(phi)
	w := 1 - float64(a.el.e2*sin*sin)
	return phi + (q-a.el.authalicQ(sin))*w*w/(2*(1-a.el.e2)*cos)
}
