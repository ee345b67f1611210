package crs

import "math"

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
	phi1, phi2 := p.sp1*degree, p.sp2*degree
	m1, q1 := el.parallelRadius(phi1), el.authalicQ(math.Sin(phi1))
	a := &albers{el: el, n: math.Sin(phi1), pole: el.authalicQ(1)}
	if math.Abs(phi1-phi2) > sameParallel {
		m2, q2 := el.parallelRadius(phi2), el.authalicQ(math.Sin(phi2))
		a.n = (m1 - m2) * (m1 + m2) / (q2 - q1)
	}
	a.c = m1*m1 + a.n*q1
	a.rho0 = a.rho(el.authalicQ(math.Sin(p.lat0 * degree)))
	e2 := el.e2
	a.auth = [3]float64{
		e2 * (1./3 + e2*(31./180+e2*517./5040)),
		e2 * e2 * (23./360 + e2*251./3780),
		e2 * e2 * e2 * 761. / 45360,
	}
	return a
}

// authalicQ is equation 3-12.
func (el *ellipsoid) authalicQ(sin float64) float64 {
	return (1 - el.e2) * (sin/(1-el.e2*sin*sin) + el.eAtanh(sin)/el.e2)
}

func (a *albers) rho(q float64) float64 { return a.el.a / a.n * math.Sqrt(a.c-a.n*q) }

func (a *albers) toPlane(lambda, phi float64) (x, y float64, ok bool) {
	rho := a.rho(a.el.authalicQ(math.Sin(phi)))
	sin, cos := math.Sincos(a.n * lambda)
	return rho * sin, a.rho0 - rho*cos, !math.IsNaN(rho)
}

func (a *albers) toGlobe(x, y float64) (lambda, phi float64, ok bool) {
	sign := math.Copysign(1, a.n)
	lambda = math.Atan2(sign*x, sign*(a.rho0-y)) / a.n
	rho2 := (x*x + (a.rho0-y)*(a.rho0-y)) / (a.el.a * a.el.a)
	q := (a.c - rho2*a.n*a.n) / a.n
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
	b1 := u*a.auth[2] + a.auth[1]
	b0 := u*b1 - a.auth[2] + a.auth[0]
	phi := math.Atan2(sin, cos) + 2*sin*cos*b0
	sin, cos = math.Sincos(phi)
	w := 1 - a.el.e2*sin*sin
	return phi + (q-a.el.authalicQ(sin))*w*w/(2*(1-a.el.e2)*cos)
}
