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
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/shapefile"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
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

// fourHigh is how many degrees of latitude the four zones span: about 400 m, so
// that 40 acres are nearly a square.
const fourHigh = 0.0036

// FourZones makes a field in lon/lat that can be checked in the head: 160 acres in
// four strips side by side, from west to east 40, 60, 45 and 15 acres with 100,
// 180, 250 and 300 lb/ac, 30550 lb of dry in all. The acres are geodesic, within
// 1e-9. At 320 fl oz/ton the strips get 16, 28.8, 40 and 48 fl oz/ac.
func FourZones() *Layer {
	l := &Layer{Name: "four", EPSG: 4326, Rates: []float64{100, 180, 250, 300}}
	corner := openWater()
	for _, acres := range []unit.Area{40, 60, 45, 15} {
		strip := stripOf(acres, corner)
		l.Shapes.Append(orb.MultiPolygon{{strip}})
		corner = strip[1]
	}
	return l
}

// stripOf returns the strip of the given area that lies east of its south-western
// corner. The area of a strip grows all but in proportion with its width, so a
// rule of three settles in two or three steps.
func stripOf(area unit.Area, corner orb.Point) orb.Ring {
	width := fourHigh
	for range 6 {
		width *= float64(area / exactArea(strip(corner, width)))
	}
	return strip(corner, width)
}

func strip(corner orb.Point, width float64) orb.Ring {
	west, south := corner[0], corner[1]
	east, north := west+width, south+fourHigh
	return orb.Ring{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}
}

// exactArea returns the area of a counter-clockwise ring whose edges are geodesics.
// It is not the formula that the program measures fields with: layers made here
// are there to test that.
func exactArea(ring orb.Ring) unit.Area {
	p := geodesic.WGS84.PolygonInit(false)
	for _, q := range ring[:len(ring)-1] {
		p.AddPoint(q[1], q[0])
	}
	var area float64
	p.Compute(false, true, &area, nil)
	return unit.Area(area) * unit.SquareMeter
}

// demoFile is the demo's field, seen from the module's folder.
const demoFile = "cmd/internal/app/demo/field.zip"

// Demo returns the field of the program's demo in a system of coordinates, by its
// EPSG code: 63 zones between the contour lines of a surface on about 228 acres.
// There are zones with holes, zones of several parts, a waterway with rate 0, and
// a grove and a farmstead that belong to no zone. In EPSG:32615 the coordinates
// are those of the file, in centimeters. It needs the project's files, in whichever folder
// of them it runs.
func Demo(epsg int) (*Layer, error) {
	root, err := filepath.Abs(".")
	if err != nil {
		return nil, err
	}
	for above := ""; root != above; root = filepath.Dir(root) {
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			break
		}
		above = root
	}
	file, err := os.Open(filepath.Join(root, filepath.FromSlash(demoFile)))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	parts, err := shapefile.Unzip(file, info.Size(), "", shapefile.DefaultLimits(), nil)
	if err != nil {
		return nil, err
	}
	decoded, err := shapefile.Decode(parts)
	if err != nil {
		return nil, err
	}
	l := &Layer{Name: "demo", EPSG: epsg, Shapes: decoded.Shapes}
	for r := range l.Shapes.RingEnds {
		slices.Reverse(l.Shapes.Ring(r)) // a shapefile's shells run clockwise
	}
	for row := range l.Shapes.Len() {
		rate, err := strconv.ParseFloat(string(decoded.Attributes.Cell(row, 0).Text), 64)
		if err != nil {
			return nil, err
		}
		l.Rates = append(l.Rates, rate)
	}
	return l, l.bringTo(decoded.System)
}

// bringTo converts a layer that is in the system of a text to its own.
func (l *Layer) bringTo(text string) error {
	from, err := crs.Parse(text)
	if err != nil {
		return err
	}
	to, err := crs.Parse(fmt.Sprintf("EPSG:%d", l.EPSG))
	if err != nil || to.EPSG() == from.EPSG() {
		return err
	}
	if err := from.ToLonLat(l.Shapes.Points, l.Shapes.Points); err != nil {
		return err
	}
	return to.FromLonLat(l.Shapes.Points, l.Shapes.Points)
}
