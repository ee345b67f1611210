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
