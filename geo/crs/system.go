// Package crs knows the coordinate systems that field files come in and brings
// their points to longitude and latitude and back: WGS 84 and NAD 83 with their
// UTM zones, the US State Plane zones of NAD 83, and what else EPSG defines over
// the two by transverse, oblique or plain Mercator, Lambert conformal conic and
// Albers projections.
//
// [Parse] reads the text of a .prj file or a code such as "EPSG:26915" and
// refuses, with a [RefusedError], what it does not know for certain: a system
// that is guessed puts a field hundreds of meters off.
//
// Points are x, y as files have them: easting, northing or longitude, latitude,
// whatever order of axes the system's definition states.
package crs

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/paulmach/orb"
)

// System is a coordinate system: an immutable value, cheap to copy. The zero
// value is WGS 84 longitude and latitude.
type System struct{ d *definition }

// definition is what a System points to; nothing changes it once it is made.
type definition struct {
	name       string
	code       int // EPSG, 0 if not known
	datum      datum
	method     method
	unit       unit
	params     params
	projection projection // nil for longitude and latitude
	notes      []string
}

// WGS84 returns WGS 84 longitude and latitude in degrees.
func WGS84() System { return System{} }

func (s System) def() *definition {
	if s.d == nil {
		d := geographicSystem(wgs84)
		return &d
	}
	return s.d
}

// Name returns EPSG's name of the system, such as "NAD83 / UTM zone 15N", or the
// name in the text it was read from if EPSG has none.
func (s System) Name() string { return s.def().name }

// EPSG returns the system's EPSG code; 0 if it is not known.
func (s System) EPSG() int { return s.def().code }

// LonLat reports whether coordinates are degrees of longitude and latitude.
func (s System) LonLat() bool { return s.def().method == geographic }

// SameAsWGS84 reports whether coordinates are WGS 84 longitude and latitude as
// they stand, or are taken for that: [System.ToLonLat] copies them.
func (s System) SameAsWGS84() bool { return s.LonLat() }

// Notes returns what a reader should know of how the system is taken, such as
// NAD 83 for WGS 84. The slice is the caller's own.
func (s System) Notes() []string { return append([]string(nil), s.def().notes...) }

// MetersPerUnit returns the meters in one unit of projected coordinates; 0 for
// longitude and latitude.
func (s System) MetersPerUnit() float64 {
	if s.LonLat() {
		return 0
	}
	return s.def().unit.meters()
}

// AreaOfUse returns the box in lon/lat that EPSG defines the system for, rounded
// outward to hundredths of a degree. Its west is above its east where it reaches
// across the antimeridian. ok is false for longitude and latitude, and for a
// system that EPSG does not list.
func (s System) AreaOfUse() (box orb.Bound, ok bool) {
	if s.LonLat() {
		return orb.Bound{}, false // without reading the table
	}
	r := rowByCode(s.EPSG())
	if r == nil {
		return orb.Bound{}, false
	}
	box, err := r.box()
	return box, err == nil
}

// geographicSystem defines longitude and latitude on a datum.
func geographicSystem(d datum) definition {
	facts := d.facts()
	return definition{name: facts.name, code: facts.code, datum: d, notes: d.notes()}
}

// projectedSystem defines a system of the table.
func projectedSystem(r *row) definition {
	return definition{
		name: r.name, code: r.code, datum: r.datum, method: r.method, unit: r.unit, params: r.params,
		projection: newProjection(r.method, r.datum.ellipsoid(), r.params),
		notes:      r.datum.notes(),
	}
}

// Local returns the plane of a field: transverse Mercator on WGS 84, in meters from a point
// in lon/lat, with scale 1 on its meridian. Areas are true to 1e-7 within 3 km of that
// meridian, and to 1e-6 within 9 km.
func Local(center orb.Point) System {
	p := params{lat0: center[1], lon0: center[0], k0: 1}
	return System{&definition{
		name: "transverse Mercator about the field", datum: wgs84, method: transverseMercator, unit: meter, params: p,
		projection: newTransverse(wgs84.ellipsoid(), p),
	}}
}

// row is a system of EPSG's, as a line of systems.tsv has it.
type row struct {
	code   int
	datum  datum
	method method
	unit   unit
	name   string // EPSG's
	esri   string // ESRI's, empty if it has none
	params params
	area   string // of use: west, south, east, north in hundredths of a degree
}

//go:embed systems.tsv
var systemsTSV string

// systems are the rows of the table, sorted by code; read only. Reading them takes
// 0.8 ms, once and only for a file that is not in lon/lat.
var systems = sync.OnceValue(func() []row {
	var bases []string // the codes of the datums' lon/lat systems, by datum
	for d := range datumCount {
		bases = append(bases, strconv.Itoa(d.facts().code))
	}
	rows := make([]row, 0, strings.Count(systemsTSV, "\n"))
	for line := range strings.Lines(systemsTSV) {
		if line[0] != '#' {
			rows = append(rows, readRow(strings.TrimSuffix(line, "\n"), bases))
		}
	}
	return rows
})

// What the table calls the methods and the units, in their order here.
var (
	methodNames = []string{geographic: "", transverseMercator: "transverseMercator", lambertConic: "lambertConic",
		albersConic: "albersConic", mercator: "mercator", webMercator: "webMercator",
		obliqueMercatorA: "obliqueMercatorA", obliqueMercatorB: "obliqueMercatorB"}
	unitNames = []string{meter: "meter", foot: "foot", surveyFoot: "surveyFoot"}
)

// readRow reads a line of the table. It panics where the line is not as
// gen/systems.py writes it: the table is a part of the program.
func readRow(line string, bases []string) row {
	rest := line
	next := func() (cell string) {
		cell, rest, _ = strings.Cut(rest, "\t")
		return cell
	}
	number := func() float64 {
		cell := next()
		if len(cell) == 1 { // half of them
			return float64(cell[0] - '0')
		}
		v, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			panic(fmt.Sprintf("table of systems: %v in %q", err, line))
		}
		return v
	}
	oneOf := func(names []string) uint8 {
		i := slices.Index(names, next())
		if i < 0 {
			panic(fmt.Sprintf("table of systems: a base, method or unit is not known in %q", line))
		}
		return uint8(i)
	}
	r := row{code: int(number())}
	r.datum, r.method, r.unit = datum(oneOf(bases)), method(oneOf(methodNames)), unit(oneOf(unitNames))
	r.name, r.esri = next(), next()
	for _, p := range []*float64{&r.params.lat0, &r.params.lon0, &r.params.sp1, &r.params.sp2, &r.params.k0,
		&r.params.azimuth, &r.params.skew, &r.params.fe, &r.params.fn} {
		*p = number()
	}
	r.area = rest
	return r
}

// box reads the area of use.
func (r *row) box() (box orb.Bound, err error) {
	var west, south, east, north float64
	_, err = fmt.Sscan(r.area, &west, &south, &east, &north)
	return orb.Bound{Min: orb.Point{west / 100, south / 100}, Max: orb.Point{east / 100, north / 100}}, err
}

// rowByCode finds a system by its EPSG code; nil if the table lacks it.
func rowByCode(code int) *row {
	all := systems()
	i, found := slices.BinarySearchFunc(all, code, func(r row, code int) int { return r.code - code })
	if !found {
		return nil
	}
	return &all[i]
}

// rowLike finds the system that d defines; nil if the table has none. Of several
// that are the same in all but name, the one that is called like d is taken,
// else the one of the lowest code.
func rowLike(d *definition) *row {
	var found *row
	all := systems()
	for i := range all {
		r := &all[i]
		if !r.like(d) {
			continue
		}
		if fold(r.name) == fold(d.name) || fold(r.esri) == fold(d.name) {
			return r
		}
		if found == nil {
			found = r
		}
	}
	return found
}

// rowNamed finds the system that is called so, by EPSG or ESRI; nil if none is.
func rowNamed(name string) *row {
	folded := fold(name)
	i := slices.IndexFunc(systems(), func(r row) bool { return folded != "" && (fold(r.name) == folded || fold(r.esri) == folded) })
	if i < 0 {
		return nil
	}
	return &systems()[i]
}

// difference says in which figure of the plane d is not r, by more than how coarsely texts
// are rounded: some 100 m on the ground. It is empty where there is none.
func (r *row) difference(d *definition) string {
	if r.method != d.method || r.unit != d.unit {
		return ": another projection or unit"
	}
	const angle, length, scale = 1e-3, 100, 1e-5
	p, q := r.params, d.params
	for _, f := range []struct {
		name           string
		want, got, off float64
	}{
		{"scale factor", p.k0, q.k0, scale}, {"central meridian", p.lon0, q.lon0, angle}, {"latitude of origin", p.lat0, q.lat0, angle},
		{"false easting", p.fe, q.fe, length}, {"false northing", p.fn, q.fn, length}, {"azimuth", p.azimuth, q.azimuth, angle},
		{"first parallel", max(p.sp1, p.sp2), max(q.sp1, q.sp2), angle}, {"second parallel", min(p.sp1, p.sp2), min(q.sp1, q.sp2), angle},
	} {
		if off := math.Abs(f.want - f.got); off > f.off && math.Abs(off-360) > f.off {
			return ": a " + f.name + " of " + plain(f.got) + ", and not " + plain(f.want)
		}
	}
	return ""
}

// plain prints a number without an exponent.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (r *row) like(d *definition) bool {
	return r.datum == d.datum && r.method == d.method && r.unit == d.unit && r.params.like(d.params)
}

// like allows for how texts round: 1e-8° and 1e-3 units are a millimeter or less
// on the ground.
func (p params) like(q params) bool {
	const angle, length, scale = 1e-8, 1e-3, 1e-10
	close := func(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
	turn := func(a, b float64) bool { return math.Abs(math.Remainder(a-b, 360)) <= angle }
	parallels := close(p.sp1, q.sp1, angle) && close(p.sp2, q.sp2, angle) ||
		close(p.sp1, q.sp2, angle) && close(p.sp2, q.sp1, angle)
	return parallels && close(p.lat0, q.lat0, angle) && turn(p.lon0, q.lon0) &&
		close(p.k0, q.k0, scale) && turn(p.azimuth, q.azimuth) && turn(p.skew, q.skew) &&
		close(p.fe, q.fe, length) && close(p.fn, q.fn, length)
}
