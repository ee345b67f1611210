package crs

import "math"

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
