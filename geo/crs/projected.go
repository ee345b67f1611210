package crs

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"rxsplit/internal/samebits"
)

// readProjected reads PROJCS.
func readProjected(n *node) (*definition, *RefusedError) {
	if err := n.onlyParts(1, "GEOGCS", "PROJECTION", "PARAMETER", "UNIT", "AXIS", "EXTENSION"); err != nil {
		return nil, err
	}
	name, err := n.name()
	if err != nil {
		return nil, err
	}
	base, err := n.one("GEOGCS")
	if err != nil {
		return nil, err
	}
	geographic, err := readGeographic(base)
	if err != nil {
		return nil, err
	}
	d := &definition{name: printable(name), datum: geographic.datum, notes: geographic.notes}
	for _, step := range []func(*node, *definition) *RefusedError{readLinearUnit, readProjection, readExtension} {
		if err := step(n, d); err != nil {
			return nil, err
		}
	}
	if err := checkAxes(n); err != nil {
		return nil, err
	}
	if err := identify(n, d); err != nil {
		return nil, err
	}
	d.projection = newProjection(d.method, d.datum.ellipsoid(), d.params)
	return d, nil
}

// printable makes a name of a text fit to be shown: it may hold anything.
func printable(name string) string {
	name = strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) && r != utf8.RuneError {
			return r
		}
		return -1
	}, name)
	if len(name) > 80 {
		name = strings.ToValidUTF8(name[:80], "") + "..."
	}
	return name
}

func readLinearUnit(n *node, d *definition) *RefusedError {
	part, err := n.one("UNIT")
	if err != nil {
		return err
	}
	name, err := part.name()
	if err != nil {
		return err
	}
	factor, err := part.number(1)
	if err != nil {
		return err
	}
	known, ok := unitByFactor(factor)
	if !ok {
		return refuse(unknownUnit, part.label(), "coordinates have to be in meters, feet or US survey feet")
	}
	if named, ok := unitByName(name); ok && named != known {
		return refuse(contradiction, part.label(), "its factor is that of another unit")
	}
	d.unit = known
	return nil
}

func readProjection(n *node, d *definition) *RefusedError {
	part, err := n.one("PROJECTION")
	if err != nil {
		return err
	}
	name, err := part.name()
	if err != nil {
		return err
	}
	if err := part.onlyParts(1); err != nil {
		return err
	}
	s, ok := spellingOf(name)
	if !ok {
		return refuse(unknownProjection, part.label(), "a projection that is not known")
	}
	given, err := readParameters(n)
	if err != nil {
		return err
	}
	d.method = s.method
	d.params, err = s.params(given)
	return err
}

// readExtension takes the one extension in use that is needed: GDAL writes web
// Mercator as Mercator_1SP and corrects that in PROJ's terms.
func readExtension(n *node, d *definition) *RefusedError {
	web := d.method == mercator && d.datum == wgs84 && (n.authority() == webMercatorCode || strings.Contains(fold(d.name), "pseudomercator"))
	for _, extension := range n.all("EXTENSION") {
		terms := extension.values[len(extension.values)-1].text
		sphere := strings.Contains(terms, "+proj=merc") && strings.Contains(terms, "+a=6378137 ") && strings.Contains(terms, "+b=6378137 ")
		if d.method != mercator || d.datum != wgs84 || !sphere {
			return refuse(unknownPart, extension.label(), "an extension that is not known could change what the text means")
		}
		web = true
	}
	if !web {
		return nil
	}
	if !d.params.like(params{k0: 1}) || d.unit != meter {
		return refuse(contradiction, n.label(), "web Mercator has no parameters of its own, and meters")
	}
	d.method = webMercator
	return nil
}

// identify finds EPSG's code and name, and refuses a text whose code, or else whose name,
// belongs to another definition than its parameters. Under a known name on another datum
// the rest has to be that of the name.
func identify(n *node, d *definition) *RefusedError {
	if claimed := rowByCode(n.authority()); claimed != nil {
		if !claimed.like(d) {
			return claimed.contradicts(n, d, "code")
		}
		d.code, d.name = claimed.code, claimed.name
		return nil
	}
	if named := rowNamed(d.name); named != nil && !named.like(d) && named.difference(d) != "" {
		return named.contradicts(n, d, "name")
	}
	if found := rowLike(d); found != nil {
		d.code, d.name = found.code, found.name
	}
	return nil
}

func (r *row) contradicts(n *node, d *definition, what string) *RefusedError {
	return refuse(contradiction, n.label(), fmt.Sprintf("its parameters are not those of its %s, EPSG:%d %s%s", what, r.code, r.name, r.difference(d)))
}

// check refuses parameters out of the projection's range.
func (s *spelling) check(p params) *RefusedError {
	within := func(x, limit float64) bool { return math.Abs(x) <= limit }
	ok := within(p.lat0, 90) && within(p.lon0, 360) && within(p.sp1, 89.9) && within(p.sp2, 89.9) &&
		p.k0 >= 0.1 && p.k0 <= 10 && within(p.azimuth, 360) && within(p.skew, 360) &&
		within(p.fe, 1e9) && within(p.fn, 1e9)
	switch s.method {
	case lambertConic, albersConic: // a cone that opens neither way is a cylinder
		ok = ok && math.Abs(p.sp1+p.sp2) > 0.01
	case mercator:
		ok = ok && p.lat0 == 0
	case webMercator:
		ok = ok && p.like(params{k0: 1}) && p.azimuth == 0
	case obliqueMercatorA, obliqueMercatorB:
		ok = ok && within(p.lat0, 89.9) && math.Abs(p.lat0) > 0.01 && samebits.Cos(p.azimuth*degree) > 0.01
	}
	if !ok {
		return refuse(badParameter, "PROJECTION "+quote(s.name), "a parameter is out of range")
	}
	return nil
}

// projection maps the ellipsoid to a plane, without false origin. Longitudes are
// from the central meridian, in [-π, π]; latitudes in [-π/2, π/2]; angles are in
// radians, plane coordinates in meters. ok is false for a point that is out of
// the projection's range.
type projection interface {
	toPlane(lambda, phi float64) (x, y float64, ok bool)
	toGlobe(x, y float64) (lambda, phi float64, ok bool)
}

// method names a projection as the table of systems does.
type method uint8

const (
	geographic method = iota // none: longitude and latitude
	transverseMercator
	lambertConic // with one standard parallel or two
	albersConic
	mercator
	webMercator
	obliqueMercatorA // false origin where the line meets the equator's aposphere
	obliqueMercatorB // false origin at the center of the projection
)

// params are a projection's parameters: degrees, and the system's unit for the
// false origin. What a method doesn't use is 0, a scale 1.
type params struct {
	lat0, lon0 float64 // origin; of oblique Mercator the center
	sp1, sp2   float64 // standard parallels
	k0         float64 // scale on the central line
	azimuth    float64 // of the central line at the center, clockwise from north
	skew       float64 // angle from rectified to skew grid
	fe, fn     float64 // false easting and northing
}

// newProjection sets up a projection; nil for geographic.
func newProjection(m method, el ellipsoid, p params) projection {
	switch m {
	case transverseMercator:
		return newTransverse(el, p)
	case lambertConic:
		return newLambert(el, p)
	case albersConic:
		return newAlbers(el, p)
	case mercator:
		return newMercator(el, p)
	case webMercator:
		return sphericalMercator{el.a}
	case obliqueMercatorA, obliqueMercatorB:
		return newOblique(el, p, m == obliqueMercatorB)
	}
	return nil
}

const degree = math.Pi / 180

// wrap returns an angle in [-π, π] for one in [-3π, 3π].
func wrap(a float64) float64 {
	if a > math.Pi {
		return a - 2*math.Pi
	}
	if a < -math.Pi {
		return a + 2*math.Pi
	}
	return a
}
