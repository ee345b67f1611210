package invent

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"

	"rxsplit/geo/crs"
	"rxsplit/geo/shapefile"
)

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
