package crs

import "math"

// ellipsoid is a figure of the Earth with what the projections need of it.
type ellipsoid struct {
	a  float64 // equatorial radius, m
	f  float64 // flattening
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
		a: a, f: f, e2: e2, e: math.Sqrt(e2), n: n,
		toConformal: conformalFromGeodetic(n),
		toGeodetic:  geodeticFromConformal(n),
	}
}

// parallelRadius is m of Snyder's equation 14-15: the radius of the parallel at
// the latitude phi in units of a.
func (el *ellipsoid) parallelRadius(phi float64) float64 {
	s, c := math.Sincos(phi)
	return c / math.Sqrt(1-el.e2*s*s)
}

// isometric returns the isometric latitude of phi, ln of Snyder's 1/t
// (equation 15-9): infinite at the poles.
func (el *ellipsoid) isometric(phi float64) float64 {
	if math.Abs(phi) >= math.Pi/2 {
		return math.Copysign(math.Inf(1), phi)
	}
	sin, cos := math.Sincos(phi)
	return isometricSphere(sin, cos) - el.eAtanh(sin)
}

// isometricSphere is the isometric latitude on a sphere, from the latitude's sine
// and cosine.
func isometricSphere(sin, cos float64) float64 {
	return math.Copysign(math.Log((1+math.Abs(sin))/cos), sin)
}

// eAtanh returns e atanh(e sin): a series, as e sin is below 0.083 on any
// ellipsoid of the Earth; the term left out is below 1e-17.
func (el *ellipsoid) eAtanh(sin float64) float64 {
	z := el.e2 * sin * sin
	return el.e2 * sin * (1 + z*(1./3+z*(1./5+z*(1./7+z*(1./9+z*(1./11+z/13))))))
}

// latitude undoes isometric.
func (el *ellipsoid) latitude(psi float64) float64 {
	tanChi, secChi := hyperbolic(psi)
	if math.IsInf(secChi, 0) {
		return math.Copysign(math.Pi/2, psi)
	}
	return math.Atan(tanChi) + el.toGeodetic.sum(tanChi/secChi, 1/secChi)
}

// hyperbolic returns sinh x and cosh x from one e^x. The sine is good to the last
// bit of 1, not of itself, which is enough for a coordinate.
func hyperbolic(x float64) (sinh, cosh float64) {
	exp := math.Exp(x)
	inv := 1 / exp
	return (exp - inv) / 2, (exp + inv) / 2
}
