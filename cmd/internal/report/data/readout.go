package data

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/readout"
	"rxsplit/rx/write"
)

// readoutSchema names the form of what strips say.
const readoutSchema = "rxsplit.readout/1"

type readoutJSON struct {
	Schema  string        `json:"schema"`
	Version string        `json:"version"`
	Inputs  []write.Input `json:"inputs"`

	Parameters map[string][]string `json:"parameters"`
	*ReadingJSON
	Others []ReadingJSON   `json:"others"`
	Fields []ReadingJSON   `json:"fields,omitempty"`
	Pooled *pooledJSON     `json:"pooled,omitempty"`
	Files  []write.FileSum `json:"files"`
	Self   string          `json:"self"`
}

// ReadingJSON is what strips say of one thing.
type ReadingJSON struct {
	What       string          `json:"what"`
	Name       string          `json:"name,omitempty"` // of a field among several
	Unit       string          `json:"unit"`
	Replicates []replicateJSON `json:"replicates"`
	estimateJSON
	LeaveOneOut []float64         `json:"leave_one_out"`
	All         *allPointsJSON    `json:"all_points"`
	Cleaning    *cleaningJSON     `json:"cleaning"`
	Profit      *profitJSON       `json:"profit"`
	Ratio       *estimateRatio    `json:"ratio,omitempty"` // of stalks, whose differences are of logarithms
	Classes     []stalkSampleJSON `json:"samples,omitempty"`
	Remarks     []string          `json:"remarks"`
}

// replicateJSON is one replicate.
type replicateJSON struct {
	Rep        int     `json:"rep"`
	Untreated  float64 `json:"untreated"`
	A          float64 `json:"treated_a"`
	B          float64 `json:"treated_b"`
	Difference float64 `json:"difference"`
	Points     [3]int  `json:"points"` // untreated, treated_a, treated_b
}

type estimateJSON struct {
	Mean     float64   `json:"mean"`
	SD       float64   `json:"sd"`
	SE       float64   `json:"se"`
	Level    float64   `json:"level"`
	Interval []float64 `json:"interval"` // null where there is none
	P        *float64  `json:"p"`
	Verdict  string    `json:"verdict"`
}

type allPointsJSON struct {
	Replicates []replicateJSON `json:"replicates"`
	estimateJSON
}

type cleaningJSON struct {
	Points     int     `json:"points"`
	Kept       int     `json:"kept"`
	Median     float64 `json:"median"`
	NoValue    int     `json:"no_value"`
	Low        int     `json:"low"`
	High       int     `json:"high"`
	NoDistance int     `json:"no_distance"`
	PartHeader int     `json:"part_header"`
}

// profitJSON is what treating earned.
type profitJSON struct {
	Unit      string    `json:"unit"`
	Price     float64   `json:"price"`
	Cost      float64   `json:"cost"`
	Mean      float64   `json:"mean"`
	Interval  []float64 `json:"interval"`
	BreakEven float64   `json:"break_even"`
	PPays     *float64  `json:"p_pays"` // 1 less the one-sided p
	Verdict   string    `json:"verdict"`
}

type estimateRatio struct {
	Mean     float64   `json:"mean"`
	Interval []float64 `json:"interval"`
}

type stalkSampleJSON struct {
	Rep     int     `json:"rep"`
	Treated bool    `json:"treated"`
	PPM     float64 `json:"ppm"`
	Class   string  `json:"class"`
	Below   bool    `json:"below_detection"`
}

type pooledJSON struct {
	Fields    int       `json:"fields"`
	Mean      float64   `json:"mean"`
	SE        float64   `json:"se"`
	Interval  []float64 `json:"interval"`
	Tau2      float64   `json:"tau2"`
	Level     float64   `json:"level"`
	BreakEven *float64  `json:"break_even"`
	PPays     *float64  `json:"p_pays"`
	Verdict   string    `json:"verdict"`
}

// ReadoutFile is what is read of a file that tells what strips say.
type ReadoutFile struct {
	readoutJSON
	Text []byte
}

// ParseReadout reads such a file.
func ParseReadout(text []byte) (*ReadoutFile, error) {
	f := &ReadoutFile{Text: text}
	if err := json.Unmarshal(text, &f.readoutJSON); err != nil || f.Schema != readoutSchema {
		return nil, errors.New("does not hold what strips say")
	}
	return f, nil
}

// Readings are the replicates of the yield.
func (f *ReadoutFile) Readings() []readout.Reading {
	list := make([]readout.Reading, len(f.Replicates))
	for i, r := range f.Replicates {
		list[i] = readout.Reading{
			Rep: r.Rep, Untreated: readout.Mean{Value: r.Untreated, Points: r.Points[0]}, Difference: r.Difference,
			Treated: [2]readout.Mean{{Value: r.A, Points: r.Points[1]}, {Value: r.B, Points: r.Points[2]}},
		}
	}
	return list
}

// Readout prints what strips say as one document.
func Readout(w io.Writer, r report.Readout) error {
	return printed(w)(ReadoutManifest(r, nil, ""))
}

// ReadoutManifest prints the same with the files that lie beside it, and its own digest.
func ReadoutManifest(r report.Readout, files []write.FileSum, self string) ([]byte, error) {
	doc := readoutJSON{
		Schema: readoutSchema, Version: r.Version, Inputs: r.Inputs, Parameters: r.Parameters, Others: []ReadingJSON{}, Files: files, Self: self,
	}
	if files == nil {
		doc.Files = []write.FileSum{}
	}
	for i, one := range r.Results {
		reading := readingOf(r, one)
		if i == 0 {
			doc.ReadingJSON = &reading
			continue
		}
		doc.Others = append(doc.Others, reading)
	}
	if p := r.Pooled; p != nil {
		for _, f := range r.Fields {
			doc.Fields = append(doc.Fields, ReadingJSON{
				What: readout.Yield, Name: f.Name, Unit: r.Unit, Replicates: replicatesOf(f.Readings), estimateJSON: estimateOf(f.Estimate),
				LeaveOneOut: endsOf(new(f.Estimate.LeaveOneOut())), Remarks: []string{},
			})
		}
		doc.Pooled = &pooledJSON{Fields: p.Fields, Mean: steady(p.Mean), SE: steady(p.SE), Interval: endsOf(p.Interval), Tau2: steady(p.Tau2), Level: p.Level, BreakEven: r.BreakEven, Verdict: p.Verdict(0).String()}
		if r.BreakEven != nil {
			doc.Pooled.PPays = known(p.Chance(*r.BreakEven))
		}
	}
	return line(doc)
}

func readingOf(r report.Readout, one readout.Result) ReadingJSON {
	doc := ReadingJSON{
		What: one.What, Unit: r.UnitOf(one.What), Replicates: replicatesOf(one.Readings), estimateJSON: estimateOf(one.Estimate),
		LeaveOneOut: endsOf(new(one.Estimate.LeaveOneOut())), Remarks: append([]string{}, report.ReadoutRemarks(r, one)...),
	}
	if one.All != nil {
		doc.All = &allPointsJSON{replicatesOf(one.AllPoint), estimateOf(*one.All)}
	}
	if c := one.Cleaned; c != nil {
		doc.Cleaning = &cleaningJSON{c.All, len(c.Points), c.Median, c.NoValue, c.Low, c.High, c.NoDistance, c.PartHeader}
	}
	if p := one.Profit; p != nil {
		doc.Profit = &profitJSON{r.Money.Per, r.Money.Price, r.Money.Cost, steady(p.Mean), endsOf(p.Interval), p.BreakEven, known(p.Chance), p.Verdict.String()}
	}
	if one.What != readout.Stalk {
		return doc
	}
	doc.Ratio = &estimateRatio{Mean: steady(readout.Ratio(one.Estimate.Mean))}
	if in := one.Estimate.Interval; in != nil {
		doc.Ratio.Interval = []float64{steady(readout.Ratio(in.Low)), steady(readout.Ratio(in.High))}
	}
	for _, s := range one.Samples {
		doc.Classes = append(doc.Classes, stalkSampleJSON{s.Rep, s.Treated, s.PPM, r.Limits.Class(s.PPM), s.Below})
	}
	return doc
}

func replicatesOf(readings []readout.Reading) []replicateJSON {
	list := make([]replicateJSON, len(readings))
	for i, d := range readings {
		list[i] = replicateJSON{d.Rep, d.Untreated.Value, d.Treated[0].Value, d.Treated[1].Value, d.Difference, [3]int{d.Untreated.Points, d.Treated[0].Points, d.Treated[1].Points}}
	}
	return list
}

func estimateOf(e readout.Estimate) estimateJSON {
	return estimateJSON{steady(e.Mean), steady(e.SD), steady(e.SE), e.Level, endsOf(e.Interval), known(e.P), e.Verdict(0).String()}
}

func endsOf(r *readout.Range) []float64 {
	if r == nil {
		return nil
	}
	return []float64{steady(r.Low), steady(r.High)}
}

// known is a number, or null where there is none.
func known(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	return new(steady(v))
}

// steady leaves ten digits of what a library of statistics worked out: its last bits differ
// between processors, and the file is to be the same on all of them.
func steady(v float64) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64) // it reads what it printed
	return v
}

// StripsName is the file of a plan that holds its strips as a read-out takes them.
const StripsName = "strips.geojson"

// stripsJSON are the untreated strips of a plan.
type stripsJSON struct {
	Seed       uint64      `json:"seed"`
	Azimuth    float64     `json:"azimuth"`
	Offset     float64     `json:"offset"`
	Width      float64     `json:"width"`
	ReadLength float64     `json:"read_length"`
	End        float64     `json:"end"` // at each end, untreated and not read
	Headland   float64     `json:"headland"`
	Header     float64     `json:"header,omitempty"`
	Places     int         `json:"places"`
	Most       int         `json:"most"`
	Area       float64     `json:"area"`
	ReadArea   float64     `json:"read_area"`
	Strips     []stripJSON `json:"strips"`
}

type stripJSON struct {
	Rep     int     `json:"rep"`
	Pass    int     `json:"pass"`
	Area    float64 `json:"area"`
	Dry     float64 `json:"dry_rate"`
	DrySide float64 `json:"dry_rate_beside"`
}

// Strips prints where strips were left untreated, and how they were drawn.
func Strips(s *rx.Strips, u unit.System) ([]byte, error) {
	out := stripsJSON{
		Seed: s.Seed, Azimuth: s.Azimuth, Offset: s.Offset.In(u), Width: s.Width.In(u), ReadLength: s.Length.In(u), End: s.Ends.In(u),
		Headland: s.Headland.In(u), Header: s.Header.In(u), Places: s.Places, Most: s.Most, Area: s.Area.In(u), ReadArea: s.Read.In(u),
	}
	for _, one := range s.List {
		out.Strips = append(out.Strips, stripJSON{one.Rep, one.Pass, one.Area.In(u), one.Dry.In(u), one.DrySide.In(u)})
	}
	return marshal(out)
}

// StripsGeoJSON writes what is read of the strips and of the treated ground beside them, as
// RFC 7946 asks for: three polygons a replicate.
func StripsGeoJSON(w io.Writer, s *rx.Strips) error {
	var b bytes.Buffer
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	add := func(rep, treated int, ground orb.Polygon) {
		if b.Bytes()[b.Len()-1] == '}' {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "\n"+`{"type":"Feature","properties":{"rep":%d,"treated":%d},"geometry":{"type":"Polygon","coordinates":[[`, rep, treated)
		for i, p := range ground[0] {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString("[" + strconv.FormatFloat(p[0], 'f', -1, 64) + "," + strconv.FormatFloat(p[1], 'f', -1, 64) + "]")
		}
		b.WriteString("]]}}")
	}
	for _, one := range s.List {
		add(one.Rep, 0, one.Read)
		add(one.Rep, 1, one.Beside[0])
		add(one.Rep, 1, one.Beside[1])
	}
	b.WriteString("\n]}\n")
	_, err := w.Write(b.Bytes())
	return err
}
