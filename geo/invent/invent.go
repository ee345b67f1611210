// Package invent makes layers of fields that don't exist: for the demo, for tests
// and for benchmarks.
//
//	grid, err := invent.Grid(invent.GridOptions{Seed: 1, EPSG: 4326, Cells: 1_000_000})
//	four := invent.FourZones()
//	demo, err := invent.Demo(4326)
//
// [Demo] reads a file; the others make the same layer of the same options. Zones that meet share their vertices to
// the last bit, and no vertex lies within a neighbor's edge, unless
// [GridOptions.Shift] or [GridOptions.Noise] ask for it: so every edge inside a
// field is used exactly twice, once each way.
//
// All layers lie, unless a center is given, on the open water of Lake Superior
// (openWater): nobody's farm is meant.
package invent

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/internal/cores"
)

// openWater returns longitude and latitude of the place of all layers that name
// no other: open water, far from any shore.
func openWater() orb.Point { return orb.Point{-90.4, 47.35} }

// newRand returns a generator whose sequence depends on the seed and on what it
// is used for, so that one more draw for one use changes nothing elsewhere.
func newRand(seed uint64, use string) *rand.Rand {
	h := uint64(14695981039346656037) // FNV-1a of the use
	for _, c := range []byte(use) {
		h = (h ^ uint64(c)) * 1099511628211
	}
	return rand.New(rand.NewPCG(seed, h))
}

// between returns a number from lo to hi, hi excluded.
func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// Names of the columns of a layer.
const (
	RateField     = "DRY_LBAC" // dry product in lb/ac
	nitrogenField = "N_LBAC"   // N in it, in lb/ac
)

// Layer is an invented prescription. Shells run counter-clockwise, holes
// clockwise, whatever the format that it is written in asks for.
type Layer struct {
	Name   string
	EPSG   int
	Shapes geo.Shapes
	Rates  []float64 // dry product in lb/ac, one a record; NaN is a null
}

// nitrogen is the share of N in the invented product, that of urea.
const nitrogen = 0.46

// Columns returns the numbers to write beside the shapes: the dry rate
// ([RateField]) and the nitrogen it brings ([nitrogenField]).
func (l *Layer) Columns() []geo.Column {
	return []geo.Column{
		numberColumn(RateField, 6, 0, func(row int) float64 { return l.Rates[row] }),
		numberColumn(nitrogenField, 8, 1, func(row int) float64 { return l.Rates[row] * nitrogen }),
	}
}

func numberColumn(name string, width, decimals int, value func(row int) float64) geo.Column {
	text := func(dst []byte, row int) []byte {
		v := value(row)
		if math.IsNaN(v) {
			return dst
		}
		return strconv.AppendFloat(dst, v, 'f', decimals, 64)
	}
	json := func(dst []byte, row int) []byte {
		if math.IsNaN(value(row)) {
			return append(dst, "null"...)
		}
		return text(dst, row)
	}
	return geo.Column{Name: name, Width: width, Decimals: decimals, Text: text, JSON: json}
}

// site is where an invented field lies, and in which coordinates. Fields are
// drawn in meters around 0, 0 and put on the plane of the UTM zone there.
type site struct {
	epsg   int // of the layer
	target crs.System
	plane  crs.System // the UTM zone in which the field is drawn
	drawn  bool       // the layer is in the plane's coordinates
	origin orb.Point  // of the field's meters, on the plane
}

func newSite(epsg int, center orb.Point) (*site, error) {
	if epsg == 0 {
		epsg = 4326
	}
	if center == (orb.Point{}) {
		center = openWater()
	}
	s := &site{epsg: epsg, drawn: isUTM(epsg)}
	plane := epsg
	if !s.drawn {
		plane = zoneOf(center)
	}
	var err error
	if s.target, err = parse(epsg); err != nil {
		return nil, err
	}
	if s.plane, err = parse(plane); err != nil {
		return nil, err
	}
	origin := []orb.Point{center}
	if err := s.plane.FromLonLat(origin, origin); err != nil {
		return nil, fmt.Errorf("EPSG:%d: %w", plane, err)
	}
	s.origin = orb.Point{math.Round(origin[0][0]), math.Round(origin[0][1])}
	return s, nil
}

func parse(epsg int) (crs.System, error) { return crs.Parse(fmt.Sprintf("EPSG:%d", epsg)) }

// isUTM reports whether an EPSG code is a zone of UTM on WGS 84 or NAD 83.
func isUTM(epsg int) bool {
	zone := epsg % 100
	switch epsg / 100 {
	case 326, 327:
		return zone >= 1 && zone <= 60
	case 269:
		return zone >= 1 && zone <= 23
	}
	return false
}

// zoneOf returns the EPSG code of the UTM zone on WGS 84 around a place, the
// exceptions near Norway left aside.
func zoneOf(lonLat orb.Point) int {
	zone := min(int(math.Floor((lonLat[0]+180)/6))+1, 60)
	if lonLat[1] < 0 {
		return 32700 + zone
	}
	return 32600 + zone
}

// place turns the meters of a field into the coordinates of its layer, in place.
func (s *site) place(points []orb.Point) error {
	return cores.Try(len(points), cores.Block, func(from, to int) error {
		part := points[from:to]
		for i, p := range part {
			part[i] = orb.Point{p[0] + s.origin[0], p[1] + s.origin[1]}
		}
		if s.drawn {
			return nil
		}
		if err := s.plane.ToLonLat(part, part); err != nil {
			return err
		}
		return s.target.FromLonLat(part, part)
	})
}
