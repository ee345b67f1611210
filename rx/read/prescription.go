package read

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Options say which fields of a file are its dry rates and what they count.
type Options struct {
	RateFields []string // empty: the one field that can be a rate
	RateUnit   string   // "lb/ac", "kg/ha"...; empty: lb/ac, and a note says so
	RateOf     string   // "product" (also if empty) or "N"
	Place      string   // where the field lies, as the job says it
	Analysis   []string // grades such as "46-0-0", in the order of the fields
	Carrier    string   // the field whose product is impregnated, where several are spread side by side
	Overlap    overlapChoice
}

// Prescription reads the dry rates of an opened file and looks at the geometry of
// its zones. Every bad rate is reported in one [*geo.BadFileError].
func Prescription(f *File, opt Options) (*rx.Prescription, error) {
	if len(f.LonLat.PolyEnds) == 0 {
		return nil, f.noPolygon()
	}
	fields, assumed, err := f.chooseFields(opt)
	if err != nil {
		return nil, err
	}
	p := &rx.Prescription{
		Source: f.Source, Drawn: &f.Layer.Shapes, LonLat: f.LonLat,
		Cells: f.Layer.Attributes, Fields: fields,
	}
	p.Findings = append(p.Findings, f.Findings...)
	p.Findings = append(p.Findings, assumed...)
	p.Findings = append(p.Findings, f.overflowed(fields)...)
	meshed := f.beginMesh(p)
	rates, err := f.rates(fields)
	if err != nil {
		return nil, err
	}
	unmeasured := zones(p, rates)
	if err := f.geometry(p, meshed, rates, opt.Overlap); err != nil {
		return nil, err
	}
	if p.LonLat != f.LonLat { // ground changed hands
		unmeasured = zones(p, rates)
	}
	if unmeasured != nil {
		return nil, unmeasured
	}
	if err := carry(p, opt.Carrier); err != nil {
		return nil, err
	}
	p.Findings = append(p.Findings, implausible(&suspect{p, opt, f.System, p.LonLat.Extent()})...)
	return p, nil
}

// rates reads the product rate of every record and field: NaN for a null. Slot
// record*len(fields)+field.
func (f *File) rates(fields []rx.RateField) ([]unit.DryRate, error) {
	n := f.Layer.Shapes.Len()
	out := make([]unit.DryRate, n*len(fields))
	skip := make(map[int]bool, len(f.Layer.Deleted))
	for _, i := range f.Layer.Deleted {
		skip[i] = true
	}
	bad := cores.Collect(n, cores.Block, func(from, to int) (bad []geo.BadRecord) {
		for i := from; i < to; i++ {
			for j, field := range fields {
				cell := f.Layer.Attributes.Cell(i, field.Index)
				rate, why := cellRate(cell, field.Unit)
				out[i*len(fields)+j] = rate
				if why != "" && !skip[i] {
					bad = append(bad, geo.BadRecord{Record: i, Field: field.Name, Value: geo.Shorten(string(cell.Text)), Why: why})
				}
			}
		}
		return bad
	})
	if len(bad) == 0 {
		return out, nil
	}
	listed := min(len(bad), geo.MaxBadRecords)
	return nil, &geo.BadFileError{
		File: f.tableName(), Bad: bad[:listed], More: len(bad) - listed,
		Hint: "correct these values where the prescription was made, and export it again",
	}
}

// cellRate reads one rate; why is empty if it is one, or a null (NaN).
func cellRate(cell geo.Cell, of unit.DryRate) (rate unit.DryRate, why string) {
	if cell.Kind == geo.Null {
		return unit.DryRate(math.NaN()), ""
	}
	v, ok := number(cell.Text)
	switch {
	case !ok && isInfinite(cell.Text):
		return 0, "is no finite number"
	case !ok && strings.Contains(string(cell.Text), ","):
		return 0, "is not a number: write the decimals with a point"
	case !ok || cell.Kind == geo.Bool:
		return 0, "is not a number"
	case v < 0:
		return 0, "is negative"
	case v > MostRate:
		return 0, BeyondRates
	}
	return unit.DryRate(v) * of, ""
}

// MostRate is more than anybody spreads in any unit; sums of such rates over a field are
// still finite. What programs write for no data may lie beyond it, as 3.4e38 does.
const MostRate = 1e9

// BeyondRates is what is told of a number beyond [MostRate].
const BeyondRates = "is more than any rate: it may stand for no data"

// isInfinite reports whether a text is a number beyond all floats, or a word for
// one or for none.
func isInfinite(text []byte) bool {
	v, err := strconv.ParseFloat(string(text), 64)
	return err == nil && v-v != 0 || errors.Is(err, strconv.ErrRange)
}

// zones gives every record that has a polygon its area and its rate.
func zones(p *rx.Prescription, rates []unit.DryRate) error {
	areas, err := p.LonLat.Areas()
	if err != nil {
		return &Error{File: p.Source.Name, What: err.Error(), Hint: "check the coordinate system of the file, or give it with --crs EPSG:n", Err: err}
	}
	fields := len(p.Fields)
	p.Zones = make([]rx.Zone, 0, p.LonLat.Len())
	if fields > 1 {
		p.Rates = make([]unit.DryRate, 0, len(rates))
	}
	for i := range p.LonLat.Len() {
		if p.LonLat.Empty(i) {
			continue
		}
		own := rates[i*fields : (i+1)*fields]
		var dry unit.DryRate
		for _, r := range own {
			dry += r // a null in any field makes the sum NaN
		}
		p.Zones = append(p.Zones, rx.Zone{Record: int32(i), Area: areas[i], Dry: dry, Carrier: dry})
		if fields > 1 {
			p.Rates = append(p.Rates, own...)
		}
	}
	return nil
}

func (f *File) noPolygon() error {
	return &Error{File: f.Source.Name, What: "holds no polygon", Hint: "a prescription needs polygons with rates; look at the file with: rxsplit inspect"}
}
