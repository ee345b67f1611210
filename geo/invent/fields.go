package invent

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"

	"rxsplit/geo/crs"
	"rxsplit/geo/shapefile"
	"rxsplit/label/unit"
)

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

// demoFile is the demo's field, seen from this folder.
const demoFile = "../../cmd/internal/app/demo/field.zip"

// Demo returns the field of the program's demo in a system of coordinates, by its
// EPSG code: 63 zones between the contour lines of a surface on about 228 acres.
// There are zones with holes, zones of several parts, a waterway with rate 0, and
// a grove and a farmstead that belong to no zone. In EPSG:32615 the coordinates
// are those of the file, in centimeters.
func Demo(epsg int) (*Layer, error) {
	_, here, _, _ := runtime.Caller(0)
	file, err := os.Open(filepath.Join(filepath.Dir(here), demoFile))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	parts, err := shapefile.Unzip(file, info.Size(), "", shapefile.DefaultLimits())
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
