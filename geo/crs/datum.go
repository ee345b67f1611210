package crs

import (
	"math"

	"rxsplit/internal/samebits"
)

// datum names what coordinates refer to: WGS 84, or a realization of NAD 83.
type datum uint8

const (
	wgs84 datum = iota
	nad83
	nad83HARN
	nad83CSRS
	nad83NSRS2007
	nad83NSRS2011
	nad83CORS96
	datumCount
)

// datumFacts are a datum's names and its EPSG code as a lon/lat system.
type datumFacts struct {
	code        int
	name        string // EPSG's, of the lon/lat system
	system      string // ESRI's
	datum       string // ESRI's
	alsoCalled  []string
	versionsToo string // names that begin so are realizations of the same datum
}

func (d datum) facts() datumFacts {
	switch d {
	case nad83:
		return datumFacts{4269, "NAD83", "GCS_North_American_1983", "D_North_American_1983",
			[]string{"North American Datum 1983", "NAD83", "NAD 1983"}, ""}
	case nad83HARN:
		return datumFacts{4152, "NAD83(HARN)", "GCS_North_American_1983_HARN", "D_North_American_1983_HARN",
			[]string{"NAD83 High Accuracy Reference Network", "NAD83 High Accuracy Regional Network", "NAD83 HARN"}, ""}
	case nad83CSRS:
		return datumFacts{4617, "NAD83(CSRS)", "GCS_North_American_1983_CSRS", "D_North_American_1983_CSRS",
			[]string{"NAD83 Canadian Spatial Reference System", "NAD83 CSRS"}, "North American Datum of 1983 (CSRS) version"}
	case nad83NSRS2007:
		return datumFacts{4759, "NAD83(NSRS2007)", "GCS_NAD_1983_NSRS2007", "D_NAD_1983_NSRS2007",
			[]string{"NAD83 National Spatial Reference System 2007", "NAD83 NSRS2007"}, ""}
	case nad83NSRS2011:
		return datumFacts{6318, "NAD83(2011)", "GCS_NAD_1983_2011", "D_NAD_1983_2011",
			[]string{"NAD83 National Spatial Reference System 2011", "NAD83 2011"}, ""}
	case nad83CORS96:
		return datumFacts{6783, "NAD83(CORS96)", "GCS_NAD_1983_CORS96", "D_NAD_1983_CORS96",
			[]string{"NAD83 Continuously Operating Reference Station 1996", "NAD83 CORS96"}, ""}
	}
	return datumFacts{4326, "WGS 84", "GCS_WGS_1984", "D_WGS_1984",
		[]string{"World Geodetic System 1984", "World Geodetic System 1984 ensemble", "WGS84"}, "World Geodetic System 1984 (G"}
}

// datumByName finds a datum by its name in either spelling.
func datumByName(name string) (datum, bool) {
	folded := fold(name)
	for d := range datumCount {
		facts := d.facts()
		if folded == fold(facts.datum) || folded == fold(facts.datum[len("D_"):]) {
			return d, true
		}
		for _, other := range facts.alsoCalled {
			if folded == fold(other) {
				return d, true
			}
		}
		if version := fold(facts.versionsToo); version != "" && len(folded) > len(version) && folded[:len(version)] == version {
			return d, true
		}
	}
	return 0, false
}

// datumByCode finds a datum by the EPSG code of its lon/lat system.
func datumByCode(code int) (datum, bool) {
	for d := range datumCount {
		if d.facts().code == code {
			return d, true
		}
	}
	return 0, false
}

func (d datum) inverseFlattening() float64 {
	if d == wgs84 {
		return inverseFlatteningWGS84
	}
	return inverseFlatteningGRS80
}

func (d datum) ellipsoid() ellipsoid { return newEllipsoid(equatorialRadius, d.inverseFlattening()) }

// hasEllipsoid reports whether a spheroid in a text is the datum's. Both of the
// two ellipsoids pass for either datum, as some writers mix them up: the datum's
// own is used, and no point moves by more than 0.1 mm.
func (d datum) hasEllipsoid(a, inverseFlattening float64) bool {
	return math.Abs(a-equatorialRadius) < 1e-4 && math.Abs(inverseFlattening-d.inverseFlattening()) < 2e-6
}

// notes says how the datum is taken. The two meters are those between the frame
// of NAD 83 and that of WGS 84 (ITRF) over North America: R. A. Snay and T.
// Soler, "Modern Terrestrial Reference Systems", Professional Surveyor, 2000.
func (d datum) notes() []string {
	if d == wgs84 {
		return nil
	}
	return []string{d.facts().name + " is taken as WGS 84: in North America the two differ by 1 to 2 m"}
}

// unit is a unit of projected coordinates.
type unit uint8

const (
	meter unit = iota
	foot
	surveyFoot
	unitCount
)

// meters is exact by definition: the international foot, and the US survey foot
// of 1200/3937 m, NIST Special Publication 811, appendix B.
func (u unit) meters() float64 {
	return [...]float64{1, 0.3048, 1200. / 3937}[u]
}

// esriName is the unit's name in a .prj file.
func (u unit) esriName() string { return [...]string{"Meter", "Foot", "Foot_US"}[u] }

// unitByFactor finds a unit by the meters that a text gives it. The tolerance
// takes in a factor cut to 7 digits and is a twentieth of the difference between
// the two feet.
func unitByFactor(factor float64) (unit, bool) {
	for u := range unitCount {
		if math.Abs(factor/u.meters()-1) < 1e-7 {
			return u, true
		}
	}
	return 0, false
}

// unitByName finds the unit that a name stands for, if it stands for one.
func unitByName(name string) (unit, bool) {
	switch fold(name) {
	case "m", "meter", "metre", "meters", "metres":
		return meter, true
	case "ft", "foot", "feet", "footintl", "footinternational", "internationalfoot", "internationalfeet":
		return foot, true
	case "ftus", "footus", "feetus", "ussurveyfoot", "ussurveyfeet", "surveyfoot", "foots", "ussft":
		return surveyFoot, true
	}
	return 0, false
}

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
