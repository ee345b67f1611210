package read

import (
	"math"
	"slices"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What a column of areas tells of the polygons it stands beside.
var (
	areaDiffers   = rx.NewRule[twoTotals]("area-differs", rx.AboutFile, rx.EveryPlan).InDoubt()
	areasOfOthers = rx.NewRule[rx.Nothing]("area-differs/of others", rx.AboutFile, rx.EveryPlan).InDoubt()
	rowsReordered = rx.NewRule[rx.Nothing]("row-order", rx.AboutFile, rx.EveryPlan).InDoubt()
)

// twoTotals are the areas of all zones together, by a column and as measured, and the factor
// between them if a wrong unit makes it.
type twoTotals struct {
	Stated, Measured                      unit.Area
	AsFeet, AsMeters, AsHectares, AsAcres bool
}

// findOddAreas compares a column that its name says to be the zones' areas with the
// polygons: a factor tells of a wrong unit of length, areas that are those of
// other polygons tell that the table's rows don't belong to the shapes.
func findOddAreas(s *suspect) (out []rx.Finding) {
	for column, field := range s.Cells.Fields() {
		one, ok := areaUnit(field.Name)
		if !ok || field.Kind != geo.Number {
			continue
		}
		if f, ok := s.compareAreas(column, one); ok {
			out = append(out, ofField(field.Name, f))
		}
	}
	return out
}

// areaUnit returns the unit that a field of areas is in, if its name is one of
// such a field's and of nothing else.
func areaUnit(name string) (one unit.Area, ok bool) {
	for _, word := range nameWords(name) {
		switch word {
		case "ac", "acre", "acres":
			one = unit.Acre
		case "ha", "hectare", "hectares":
			one = unit.Hectare
		case "area", "size", "zone", "polygon", "gis", "calc", "shape":
		default:
			return 0, false
		}
	}
	return one, one != 0
}

// The figures of compareAreas.
const (
	sameArea    = 0.02 // from which on a zone's area is another
	sameTotal   = 0.2  // likewise of all zones, and from which on it is none of these polygons
	fewestAreas = 5    // zones that tell of an order
)

// compareAreas returns a finding if a column is not the areas of the zones.
func (s *suspect) compareAreas(column int, one unit.Area) (f rx.Finding, ok bool) {
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
		return areaDiffers.Find(rx.Warning, totalsApart(unit.Area(total)*one, unit.Area(ground)*one)), true
	}
	if len(stated) < fewestAreas || matches(stated, measured, sameArea) >= len(stated)/2 {
		return f, false
	}
	if alike(slices.Sorted(slices.Values(stated)), slices.Sorted(slices.Values(measured)), sameArea) {
		return rowsReordered.Find(rx.Error, rx.Nothing{}), true
	}
	if matches(stated, measured, sameTotal) < len(stated)/2 {
		return areasOfOthers.Find(rx.Warning, rx.Nothing{}), true
	}
	return f, false
}

// totalsApart looks for the factor that a wrong unit makes.
func totalsApart(stated, measured unit.Area) twoTotals {
	const feet = 10.7639104 // square feet in a square meter
	by := func(factor float64) bool { return math.Abs(float64(measured/stated)/factor-1) < 0.01 }
	return twoTotals{stated, measured, by(feet), by(1 / feet), by(2.471054), by(1 / 2.471054)}
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
