package read

import (
	"fmt"
	"math"
	"strconv"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
)

// FieldRange is what the cells of one field hold.
type FieldRange struct {
	geo.Field
	Min, Max float64 // over its numbers; 0 if it has none
	Sum      float64
	Numbers  int // cells that are finite numbers
	Nulls    int
	Negative bool   // some number is below 0
	RowID    bool   // whole numbers that grow by one from record to record
	Area     string // "ac", "ha" or "m²", if the numbers are the polygons' areas in it
}

// fieldRanges looks through all fields of the file.
func (f *File) fieldRanges() []FieldRange {
	fields := f.Layer.Attributes.Fields()
	ranges := make([]FieldRange, len(fields))
	areas, err := f.LonLat.Areas()
	if err != nil {
		areas = nil // whoever wants acres hears of it
	}
	cores.Each(len(fields), func(i int) { ranges[i] = f.fieldRange(i, fields[i], areas) })
	return ranges
}

func (f *File) fieldRange(index int, field geo.Field, areas []unit.Area) FieldRange {
	r := FieldRange{Field: field, RowID: true}
	same := newAreaMatch(areas)
	previous := math.NaN()
	for i := range f.Layer.Shapes.Len() {
		cell := f.Layer.Attributes.Cell(i, index)
		if cell.Kind == geo.Null {
			r.Nulls++
			continue
		}
		v, ok := number(cell.Text)
		if !ok || cell.Kind == geo.Bool {
			r.RowID = false
			continue
		}
		if r.Numbers == 0 {
			r.Min, r.Max = v, v
		}
		r.Numbers++
		r.Min, r.Max, r.Sum = min(r.Min, v), max(r.Max, v), r.Sum+v
		r.Negative = r.Negative || v < 0
		r.RowID = r.RowID && v == math.Trunc(v) && (math.IsNaN(previous) || v == previous+1)
		previous = v
		same.add(i, v)
	}
	r.RowID = r.RowID && r.Numbers > 2
	r.Area = same.unit(r.Numbers)
	return r
}

// Mean returns the plain mean of the field's numbers; an end of their range where their sum is
// beyond all floats.
func (r FieldRange) Mean() float64 {
	if math.IsInf(r.Sum, 0) {
		return max(r.Min, min(r.Max, r.Sum))
	}
	return r.Sum / float64(max(r.Numbers, 1))
}

// The numbers that a dry rate may have in any unit, if nobody names its field.
const (
	mostAsRate  = 20000
	aboveAsRate = 1 // some of them
)

// canBeRate reports whether the field's numbers may be a dry rate, in any unit:
// numbers from 0 to 20 000 and some of them above 1, not a row number and not the
// polygons' area.
func (r FieldRange) canBeRate() bool { return r.whyNoRate() == "" }

// canBeNamed reports whether the field may be the dry rate if the user names it.
func (r FieldRange) canBeNamed() bool {
	return r.Numbers > 0 && (r.Unit == "" || r.whyNoRate() == "") && r.Kind != geo.Date && r.Kind != geo.Other && !r.Negative && !r.RowID && r.Area == ""
}

// whyNoRate says why the field is not taken for a dry rate unasked; empty if it may be.
func (r FieldRange) whyNoRate() string {
	switch {
	case r.Numbers == 0:
		return r.Kind.String()
	case r.Unit != "":
		if _, err := unit.ParseDryRateUnit(r.Unit); err != nil {
			return "in " + r.Unit
		}
		return ""
	case r.RowID:
		return "a row number"
	case r.Area != "":
		return "the areas in " + r.Area
	case r.Kind == geo.Text:
		return "as text"
	case r.Kind != geo.Number:
		return r.Kind.String()
	case r.Negative:
		return "below 0"
	case r.Max > mostAsRate:
		return fmt.Sprintf("above %d", mostAsRate)
	case r.Max <= aboveAsRate:
		return fmt.Sprintf("none above %d", aboveAsRate)
	}
	return otherThing(r.Name)
}

// String prints the field's name, its range, and what speaks against its being a dry
// rate.
func (r FieldRange) String() string {
	why := r.whyNoRate()
	if r.Numbers == 0 {
		return fmt.Sprintf("%s (%s)", r.Name, why)
	}
	text := fmt.Sprintf("%s (%s to %s", r.Name, short(r.Min), short(r.Max))
	if why != "" {
		text += ", " + why
	}
	return text + ")"
}

// RateFields lists the fields that can be the dry rate, and reports whether one of them
// has to be named: where there is no other, and nothing speaks against it, it needs not.
func RateFields(fields []FieldRange) (names []string, toName bool) {
	var sure []string
	for _, f := range fields {
		if f.canBeRate() {
			sure = append(sure, f.Name)
		}
		if f.canBeNamed() {
			names = append(names, f.Name)
		}
	}
	if len(sure) > 0 {
		names = sure
	}
	return names, len(sure) != 1
}

func short(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// areaMatch tells whether a field repeats the polygons' areas, within 2 %, in
// one of the usual units.
type areaMatch struct {
	areas []unit.Area
	hits  [len(areaUnits)]int
	tries int
}

var areaUnits = [...]struct {
	name string
	of   unit.Area
}{{"ac", unit.Acre}, {"ha", unit.Hectare}, {"m²", unit.SquareMeter}, {"ft²", unit.SquareFoot}}

func newAreaMatch(areas []unit.Area) *areaMatch { return &areaMatch{areas: areas} }

func (m *areaMatch) add(record int, v float64) {
	if record >= len(m.areas) || m.areas[record] == 0 {
		return
	}
	m.tries++
	for i, u := range areaUnits {
		if math.Abs(v*float64(u.of)/float64(m.areas[record])-1) < 0.02 {
			m.hits[i]++
		}
	}
}

func (m *areaMatch) unit(numbers int) string {
	for i, u := range areaUnits {
		if m.tries > 2 && numbers > 2 && m.hits[i]*100 >= m.tries*95 {
			return u.name
		}
	}
	return ""
}

// number reads a finite decimal number, with a point and nothing around it.
func number(text []byte) (float64, bool) {
	for _, c := range text {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(text), 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// Numbers returns the numbers of a field, by its index, a record each; NaN where a cell
// holds none.
func (f *File) Numbers(index int) []float64 {
	list := make([]float64, f.Layer.Shapes.Len())
	for i := range list {
		cell := f.Layer.Attributes.Cell(i, index)
		v, ok := number(cell.Text)
		if !ok || cell.Kind == geo.Null || cell.Kind == geo.Bool {
			v = math.NaN()
		}
		list[i] = v
	}
	return list
}
