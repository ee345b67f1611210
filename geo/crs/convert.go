package crs

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/recent"
	"rxsplit/internal/cores"
)

// pointFault says why a point can't be converted.
type pointFault uint8

// The faults of a point.
const (
	notFinite  pointFault = iota + 1 // a coordinate is infinite or not a number
	outOfRange                       // the system has no such place
)

// String returns the fault in words.
func (f pointFault) String() string {
	return [...]string{"no fault", "not a finite number", "out of the range"}[f]
}

// pointError is the first point of a slice that can't be converted.
type pointError struct {
	Index  int // from 0
	Point  orb.Point
	Fault  pointFault
	System string // the name of the system
}

func (e *pointError) Error() string {
	return fmt.Sprintf("point %d: %v %v: %v of %s", e.Index, e.Point[0], e.Point[1], e.Fault, e.System)
}

// ToLonLat converts src from the system to WGS 84 longitude and latitude in
// degrees, longitudes from -180 to 180. dst must be as long as src and may be
// src. Coordinates that are lon/lat already are copied as they stand, if
// longitudes are within 360° and latitudes within 90°. A point that can't be
// converted is an error that names it, and what dst holds is then unspecified.
func (s System) ToLonLat(dst, src []orb.Point) error {
	d := s.def()
	if d.projection == nil {
		return d.run(dst, src, copyLonLat)
	}
	return d.run(dst, src, d.lonLat)
}

// FromLonLat converts src from WGS 84 longitude and latitude in degrees to the
// system. dst must be as long as src and may be src. Errors are as those of
// [System.ToLonLat].
func (s System) FromLonLat(dst, src []orb.Point) error {
	d := s.def()
	if d.projection == nil {
		return d.run(dst, src, copyLonLat)
	}
	return d.run(dst, src, d.plane)
}

// converter converts points up to the first that it can't, and returns its
// index, or -1.
type converter func(dst, src []orb.Point) int

func copyLonLat(dst, src []orb.Point) int {
	for i, p := range src {
		if !onGlobe(p) {
			return i
		}
	}
	copy(dst, src)
	return -1
}

// onGlobe is false for NaN, too.
func onGlobe(p orb.Point) bool { return math.Abs(p[0]) <= 360 && math.Abs(p[1]) <= 90 }

func (d *definition) lonLat(dst, src []orb.Point) int {
	scale, fe, fn, lon0 := d.unit.meters(), d.params.fe, d.params.fn, d.params.lon0
	var before recent.Points
	kept := len(src) > 0 && &dst[0] != &src[0]
	for i, p := range src {
		if kept {
			if k, ok := before.Before(src, i); ok {
				dst[i] = dst[k]
				continue
			}
		}
		lambda, phi, ok := d.projection.toGlobe((p[0]-fe)*scale, (p[1]-fn)*scale)
		lon, lat := lambda/degree+lon0, phi/degree
		if !ok || !finite(orb.Point{lon, lat}) {
			return i
		}
		if lon > 180 {
			lon -= 360
		} else if lon < -180 {
			lon += 360
		}
		dst[i] = orb.Point{lon, lat}
	}
	return -1
}

func (d *definition) plane(dst, src []orb.Point) int {
	perMeter, fe, fn, lon0 := 1/d.unit.meters(), d.params.fe, d.params.fn, d.params.lon0
	for i, p := range src {
		if !onGlobe(p) {
			return i
		}
		lambda := math.Remainder(p[0]-lon0, 360) * degree
		x, y, ok := d.projection.toPlane(lambda, p[1]*degree)
		if !ok || !finite(orb.Point{x, y}) {
			return i
		}
		dst[i] = orb.Point{float64(x*perMeter) + fe, float64(y*perMeter) + fn}
	}
	return -1
}

// finite relies on ∞ - ∞ being NaN.
func finite(p orb.Point) bool { return p[0]-p[0] == 0 && p[1]-p[1] == 0 }

// blockPoints is how many points one goroutine converts at a time; parallelPoints
// is from how many on it is worth more than one. A point's result does not depend
// on either.
const (
	blockPoints    = 1 << 15
	parallelPoints = 1 << 16
)

func (d *definition) run(dst, src []orb.Point, convert converter) error {
	if len(dst) != len(src) {
		return fmt.Errorf("%s: room for %d points, not for %d", d.name, len(dst), len(src))
	}
	bad := firstBad(dst, src, convert)
	if bad < 0 {
		return nil
	}
	// A converter leaves the point that it stops at alone: src[bad] is as given,
	// even where dst is src.
	e := &pointError{Index: bad, Point: src[bad], Fault: outOfRange, System: d.name}
	if !finite(src[bad]) {
		e.Fault = notFinite
	}
	return e
}

// firstBad converts src block by block and returns the lowest index that can't
// be converted; -1 if there is none.
func firstBad(dst, src []orb.Point, convert converter) int {
	if len(src) <= parallelPoints {
		return convert(dst, src)
	}
	for block, bad := range cores.Map(len(src), blockPoints, func(from, to int) int {
		return convert(dst[from:to], src[from:to])
	}) {
		if bad >= 0 {
			return block*blockPoints + bad
		}
	}
	return -1
}
