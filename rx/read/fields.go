package read

import (
	"fmt"
	"math"
	"runtime"
	"strconv"
	"sync"

	"rxsplit/geo"
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

// FieldRanges looks through all fields of the file.
func (f *File) FieldRanges() []FieldRange {
	fields := f.Layer.Attributes.Fields()
	ranges := make([]FieldRange, len(fields))
	areas, err := f.LonLat.Areas()
	if err != nil {
		areas = nil // whoever wants acres hears of it
	}
	var wg sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, field := range fields {
		wg.Add(1)
		slots <- struct{}{}
		go func() {
			defer wg.Done()
			ranges[i] = f.fieldRange(i, field, areas)
			<-slots
		}()
	}
	wg.Wait()
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

// Mean returns the plain mean of the field's numbers.
func (r FieldRange) Mean() float64 { return r.Sum / float64(max(r.Numbers, 1)) }

// canBeRate reports whether the field's numbers may be a dry rate, in any unit:
// numbers from 0 to 20 000 and some of them above 1, not a row number and not the
// polygons' area.
func (r FieldRange) canBeRate() bool {
	return r.Kind == geo.Number && r.Numbers > 0 && !r.Negative && !r.RowID && r.Area == "" &&
		r.Max > 1 && r.Max <= 20000
}

// String prints the field's name, kind and range.
func (r FieldRange) String() string {
	switch {
	case r.Numbers == 0:
		return fmt.Sprintf("%s (%s)", r.Name, r.Kind)
	case r.RowID:
		return fmt.Sprintf("%s (%s to %s, a row number)", r.Name, short(r.Min), short(r.Max))
	case r.Area != "":
		return fmt.Sprintf("%s (%s to %s, the areas in %s)", r.Name, short(r.Min), short(r.Max), r.Area)
	}
	return fmt.Sprintf("%s (%s to %s)", r.Name, short(r.Min), short(r.Max))
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
