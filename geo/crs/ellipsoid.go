package crs

import (
	"math"

	"rxsplit/internal/samebits"
)

// ellipsoid is a figure of the Earth with what the projections need of it.
type ellipsoid struct {
	a  float64 // equatorial radius, m
	e2 float64 // first eccentricity squared
	e  float64
	n  float64 // third flattening

	toConformal fourier // geodetic latitude -> conformal latitude
	toGeodetic  fourier // and back
}

// equatorialRadius is that of WGS 84 and of GRS 80, in meters.
const equatorialRadius = 6378137

// Inverse flattenings: WGS 84 as NIMA TR8350.2 defines it, GRS 80 as EPSG's
// ellipsoid 7019. The two ellipsoids differ by 0.1 mm at the poles.
const (
	inverseFlatteningWGS84 = 298.257223563
	inverseFlatteningGRS80 = 298.257222101
)

func newEllipsoid(a, inverseFlattening float64) ellipsoid {
	f := 1 / inverseFlattening
	n := f / (2 - f)
	e2 := f * (2 - f)
	return ellipsoid{
		a: a, e2: e2, e: math.Sqrt(e2), n: n,
		toConformal: conformalFromGeodetic(n),
		toGeodetic:  geodeticFromConformal(n),
	}
}

// parallelRadius is m of Snyder's equation 14-15: the radius of the parallel at
// the latitude phi in units of a.
func (el *ellipsoid) parallelRadius(phi float64) float64 {
	s, c := samebits.Sincos(phi)
	return c / math.Sqrt(1-float64(el.e2*s*s))
}

// isometric returns the isometric latitude of phi, ln of Snyder's 1/t
// (equation 15-9): infinite at the poles.
func (el *ellipsoid) isometric(phi float64) float64 {
	if math.Abs(phi) >= math.Pi/2 {
		return math.Copysign(math.Inf(1), phi)
	}
	sin, cos := samebits.Sincos(phi)
	return isometricSphere(sin, cos) - el.eAtanh(sin)
}

// isometricSphere is the isometric latitude on a sphere, from the latitude's sine
// and cosine.
func isometricSphere(sin, cos float64) float64 {
	return math.Copysign(samebits.Log((1+math.Abs(sin))/cos), sin)
}

// eAtanh returns e atanh(e sin): a series, as e sin is below 0.083 on any
// ellipsoid of the Earth; the term left out is below 1e-17.
func (el *ellipsoid) eAtanh(sin float64) float64 {
	z := el.e2 * sin * sin
	return float64(el.e2 * sin * (1 + float64(z*(1./3+float64(z*(1./5+float64(z*(1./7+float64(z*(1./9+float64(z*(1./11+z/13))))))))))))
}

// latitude undoes isometric.
func (el *ellipsoid) latitude(psi float64) float64 {
	tanChi, secChi := hyperbolic(psi)
	if math.IsInf(secChi, 0) {
		return math.Copysign(math.Pi/2, psi)
	}
	return samebits.Atan(tanChi) + el.toGeodetic.sum(tanChi/secChi, 1/secChi)
}

// hyperbolic returns sinh x and cosh x from one e^x. The sine is good to the last
// bit of 1, not of itself, which is enough for a coordinate.
func hyperbolic(x float64) (sinh, cosh float64) {
	exp := samebits.Exp(x)
	inv := 1 / exp
	return (exp - inv) / 2, (exp + inv) / 2
}

// fourier holds the coefficients of sin 2x, sin 4x ... sin 12x.
type fourier [6]float64

// sum returns the series at the angle with this sine and cosine, by Clenshaw's
// recurrence.
func (c *fourier) sum(sin, cos float64) float64 {
	u := 2 * (cos - sin) * (cos + sin) // 2 cos 2x
	b5 := float64(u*c[5]) + c[4]
	b4 := float64(u*b5) - c[5] + c[3]
	b3 := float64(u*b4) - b5 + c[2]
	b2 := float64(u*b3) - b4 + c[1]
	b1 := float64(u*b2) - b3 + c[0]
	return 2 * sin * cos * b1
}

// conformalFromGeodetic is the series of (conformal - geodetic) latitude in the
// geodetic latitude, to the sixth order of the third flattening n; its error on
// the Earth is below the last bit. The coefficients are tabulated as matrix
// C(χφ) in C. F. F. Karney, "On auxiliary latitudes", Survey Review 56 (2024).
func conformalFromGeodetic(n float64) fourier {
	n2 := n * n
	return fourier{
		n * (-2 + float64(n*(2./3+float64(n*(4./3+float64(n*(-82./45+float64(n*(32./45+n*4642./4725))))))))),
		n2 * (5./3 + float64(n*(-16./15+float64(n*(-13./9+float64(n*(904./315-n*1522./945))))))),
		n2 * n * (-26./15 + float64(n*(34./21+float64(n*(8./5-n*12686./2835))))),
		n2 * n2 * (1237./630 + float64(n*(-12./5-n*24832./14175))),
		n2 * n2 * n * (-734./315 + n*109598./31185),
		n2 * n2 * n2 * 444337. / 155925,
	}
}

// geodeticFromConformal is the series the other way, matrix C(φχ) of the same
// paper.
func geodeticFromConformal(n float64) fourier {
	n2 := n * n
	return fourier{
		n * (2 + float64(n*(-2./3+float64(n*(-2+float64(n*(116./45+float64(n*(26./45-n*2854./675))))))))),
		n2 * (7./3 + float64(n*(-8./5+float64(n*(-227./45+float64(n*(2704./315+n*2323./945))))))),
		n2 * n * (56./15 + float64(n*(-136./35+float64(n*(-1262./105+n*73814./2835))))),
		n2 * n2 * (4279./630 + float64(n*(-332./35-n*399572./14175))),
		n2 * n2 * n * (4174./315 - n*144838./6237),
		n2 * n2 * n2 * 601676. / 22275,
	}
}
