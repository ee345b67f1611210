package read

import (
	"fmt"
	"math"
	"slices"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// areaField compares a column that its name says to be the zones' areas with the
// polygons: a factor tells of a wrong unit of length, areas that are those of
// other polygons tell that the table's rows don't belong to the shapes.
func areaField(s *suspect) (out []rx.Finding) {
	for column, field := range s.Cells.Fields() {
		one, symbol, ok := areaUnit(field.Name)
		if !ok || field.Kind != geo.Number {
			continue
		}
		if f, ok := s.compareAreas(column, one, symbol); ok {
			f.Field = field.Name
			f.Text = fmt.Sprintf("field %s %s", field.Name, f.Text)
			out = append(out, f)
		}
	}
	return out
}

// areaUnit returns the unit that a field of areas is in, if its name is one of
// such a field's and of nothing else.
func areaUnit(name string) (one unit.Area, symbol string, ok bool) {
	for _, word := range words(name) {
		switch word {
		case "ac", "acre", "acres":
			one, symbol = unit.Acre, "ac"
		case "ha", "hectare", "hectares":
			one, symbol = unit.Hectare, "ha"
		case "area", "size", "zone", "polygon", "gis", "calc", "shape":
		default:
			return 0, "", false
		}
	}
	return one, symbol, one != 0
}

// The figures of compareAreas.
const (
	sameArea    = 0.02 // from which on a zone's area is another
	sameTotal   = 0.2  // likewise of all zones, and from which on it is none of these polygons
	fewestAreas = 5    // zones that tell of an order
)

// compareAreas returns a finding if a column is not the areas of the zones; its
// text goes on from the field's name.
func (s *suspect) compareAreas(column int, one unit.Area, symbol string) (f rx.Finding, ok bool) {
	var stated, measured []float64
	for z, zone := range s.Zones {
		if v, ok := s.number(z, column); ok && v > 0 && zone.Area > 0 {
			stated, measured = append(stated, v), append(measured, float64(zone.Area/one))
		}
	}
	if len(stated) < 2 || slices.Min(stated) == slices.Max(stated) && len(stated) > 1 && !alike(stated, measured, sameArea) {
		return f, false // one for the whole field
	}
	total, ground := sum(stated), sum(measured)
	if ratio := ground / total; ratio > 1+sameTotal || ratio < 1-sameTotal {
		return warning("area-differs", fmt.Sprintf("%.4g %s", ground, symbol), fmt.Sprintf("%.4g %s", total, symbol),
			fmt.Sprintf("adds up to %.4g %s, the polygons measure %.4g %s%s", total, symbol, ground, symbol, asFactor(ratio)),
			"check the coordinate system of the file (--crs), and whether the .dbf belongs to the .shp"), true
	}
	if len(stated) < fewestAreas || matches(stated, measured, sameArea) >= len(stated)/2 {
		return f, false
	}
	if alike(slices.Sorted(slices.Values(stated)), slices.Sorted(slices.Values(measured)), sameArea) {
		f = warning("row-order", "areas of other polygons", "each zone's own area",
			"holds the areas of these polygons, but of others than it stands beside: the rows of the table are in another order than the shapes, so that zones get the rates of others",
			"ask for the file again, with all its parts exported together")
		f.Severity = rx.Error
		return f, true
	}
	if matches(stated, measured, sameTotal) < len(stated)/2 {
		return warning("area-differs", "areas of other polygons", "each zone's own area",
			"does not hold the areas of these polygons: the table may belong to another file",
			"compare with the file that it was exported with"), true
	}
	return f, false
}

// asFactor names a factor that a wrong unit makes.
func asFactor(ratio float64) string {
	const feet = 10.7639104 // square feet in a square meter
	for _, c := range []struct {
		ratio float64
		text  string
	}{
		{feet, ": 10.76 times as much, as if feet were taken for meters"},
		{1 / feet, ": 10.76 times less, as if meters were taken for feet"},
		{2.471054, ": 2.471 times as much, as if hectares were called acres"},
		{1 / 2.471054, ": 2.471 times less, as if acres were called hectares"},
	} {
		if math.Abs(ratio/c.ratio-1) < 0.01 {
			return c.text
		}
	}
	return ""
}

func sum(list []float64) (total float64) {
	for _, v := range list {
		total += v
	}
	return total
}

// matches counts the places where two lists agree, within a share.
func matches(a, b []float64, within float64) (n int) {
	for i := range a {
		if math.Abs(a[i]/b[i]-1) < within {
			n++
		}
	}
	return n
}

func alike(a, b []float64, within float64) bool {
	return float64(matches(a, b, within)) >= nearlyAll*float64(len(a))
}
