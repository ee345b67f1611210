// Package data prints results for programs: JSON documents, the table of zones, and KML.
package data

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"slices"
	"strconv"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
	"rxsplit/rx/write"
)

// checkSchema names the form of a check in JSON.
const checkSchema = "rxsplit.check/2"

// unitsJSON names the units of the plain numbers below it.
type unitsJSON struct {
	Area             string `json:"area"`
	DryRate          string `json:"dry_rate"`
	DryMass          string `json:"dry_mass"`
	StabilizerRate   string `json:"stabilizer_rate"`
	StabilizerVolume string `json:"stabilizer_volume"`
	Loading          string `json:"loading"`
	Length           string `json:"length"`
}

// UnitsOf returns the names for a system of units.
func UnitsOf(s unit.System) unitsJSON {
	return unitsJSON{
		Area: unit.Symbol[unit.Area](s), DryRate: unit.Symbol[unit.DryRate](s), DryMass: unit.Symbol[unit.Mass](s),
		StabilizerRate: unit.Symbol[unit.LiquidRate](s), StabilizerVolume: unit.Symbol[unit.Volume](s), Loading: unit.Symbol[unit.Loading](s), Length: unit.Symbol[unit.Length](s),
	}
}

type checkJSON struct {
	Schema     string         `json:"schema"`
	Units      unitsJSON      `json:"units"`
	Source     sourceJSON     `json:"source"`
	Label      labelJSON      `json:"label"`
	Loading    loadingJSON    `json:"loading"`
	Area       areaJSON       `json:"area"`
	Dry        dryJSON        `json:"dry"`
	Stabilizer stabilizerJSON `json:"stabilizer"`
	Window     *windowJSON    `json:"window"`
	RateError  rateErrorJSON  `json:"rate_error"`
	WithRoom   *windowJSON    `json:"window_with_room"` // with the rate error taken off both ends
	Decision   decisionJSON   `json:"decision"`
	Ways       []wayJSON      `json:"ways"`
	Patches    []patchJSON    `json:"patches"`
	Liquids    []liquidJSON   `json:"liquids"`
}

type sourceJSON struct {
	Path       string     `json:"path"`
	SHA256     string     `json:"sha256"`
	Format     string     `json:"format"`
	CRS        string     `json:"crs"`
	Records    int        `json:"records"`
	RateFields []string   `json:"rate_fields"`
	Files      []fileJSON `json:"files"`
}

type fileJSON struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

type labelJSON struct {
	Name string  `json:"name"`
	Min  float64 `json:"min"`
	Max  float64 `json:"max"`
}

type loadingJSON struct {
	Value float64 `json:"value"`
	From  string  `json:"from"`
}

type areaJSON struct {
	Total   float64 `json:"total"`
	Treated float64 `json:"treated"`
	Below   float64 `json:"below"`
	Within  float64 `json:"within"`
	Above   float64 `json:"above"`
	NoDry   float64 `json:"no_dry"`
	NoRate  float64 `json:"no_rate"`
	Season  float64 `json:"over_season"` // of within: above the season maximum with what is applied already
}

type dryJSON struct {
	Min  float64 `json:"min"`
	Max  float64 `json:"max"`
	Mean float64 `json:"mean"`
	Mass float64 `json:"mass"`
}

type stabilizerJSON struct {
	Min    float64 `json:"min"`
	Max    float64 `json:"max"`
	Mean   float64 `json:"mean"`
	Volume float64 `json:"volume"`
}

type rateErrorJSON struct {
	Value   float64 `json:"value"` // a share
	Assumed bool    `json:"assumed"`
}

type windowJSON struct {
	Min float64 `json:"loading_min"`
	Max float64 `json:"loading_max"`
}

// Check prints a checked prescription as one document.
func Check(w io.Writer, r report.Result) error {
	head, err1 := marshal(checkOf(r))
	findings, err2 := Findings(r)
	if err := errors.Join(err1, err2); err != nil {
		return err
	}
	buf := bufio.NewWriterSize(w, 1<<16)
	buf.Write(head[:len(head)-1]) // the closing brace comes last
	buf.WriteString(`,"zones":[`)
	writeZones(buf, r)
	buf.WriteString(`],"findings":`)
	buf.Write(findings)
	buf.WriteString("}\n")
	return buf.Flush()
}

func marshal(v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSpace(buf.Bytes()), err
}

func checkOf(r report.Result) checkJSON {
	p, a, s := r.Prescription, r.Assessment, r.Units
	low, high, _ := p.CarrierRange()
	doc := checkJSON{
		Schema: checkSchema, Units: UnitsOf(s),
		Source:     sourceOf(p.Source),
		Label:      labelJSON{a.Terms.Label.Name, a.Range.Min.In(s), a.Range.Max.In(s)},
		Loading:    loadingOf(r),
		Area:       areaOf(r),
		Dry:        dryJSON{low.In(s), high.In(s), a.Mean.In(s), a.Mass.In(s)},
		Stabilizer: stabilizerJSON{a.Stabilizer.Min.In(s), a.Stabilizer.Max.In(s), a.MeanRate.In(s), a.Volume.In(s)},
		Ways:       []wayJSON{}, Decision: decisionOf(r), Patches: patchesOf(r), Liquids: liquidsOf(r),
	}
	for _, f := range p.Fields {
		doc.Source.RateFields = append(doc.Source.RateFields, f.Name)
	}
	doc.Window = windowOf(a.Window, s)
	doc.RateError = rateErrorJSON{float64(a.Terms.RateError), a.Terms.RateErrorAssumed}
	room, _ := a.Terms.Window(p, a.Terms.RateError)
	doc.WithRoom = windowOf(room, s)
	for _, w := range r.Ways {
		doc.Ways = append(doc.Ways, wayOf(w, s))
	}
	return doc
}

// loadingOf tells what a ton is loaded with, and who says so.
func loadingOf(r report.Result) loadingJSON {
	return loadingJSON{r.Assessment.Loading.In(r.Units), r.Assessment.LoadingFrom}
}

// areaOf tells the ground, and how much of it has each verdict.
func areaOf(r report.Result) areaJSON {
	p, a, s := r.Prescription, r.Assessment, r.Units
	share := func(v rx.Verdict) float64 { return a.Shares[v].Area.In(s) }
	return areaJSON{p.Area().In(s), p.TreatedArea().In(s), share(rx.Below), share(rx.Within), share(rx.Above), share(rx.NoDry), share(rx.NoRate), a.OverSeason.Area.In(s)}
}

// writeZones appends the zones one by one: there may be a million. Their dry rate is that
// of what is impregnated, as in the sums above, so that the loading makes the stabilizer
// rate of it.
func writeZones(w *bufio.Writer, r report.Result) {
	var buf []byte
	for i, z := range r.Prescription.Zones {
		buf = buf[:0]
		if i > 0 {
			buf = append(buf, ',')
		}
		buf = append(buf, "\n{\"zone\":"...)
		buf = strconv.AppendInt(buf, int64(z.Number()), 10)
		buf = append(buf, `,"area":`...)
		buf = appendNumber(buf, z.Area.In(r.Units))
		buf = append(buf, `,"dry_rate":`...)
		buf = appendNumber(buf, z.Carrier.In(r.Units))
		buf = append(buf, `,"stabilizer_rate":`...)
		buf = appendNumber(buf, unit.StabilizerRate(r.Assessment.Loading, z.Carrier).In(r.Units))
		buf = append(buf, `,"verdict":"`...)
		buf = append(buf, r.Assessment.Verdicts[i].String()...)
		buf = append(buf, `","tight":`...)
		buf = strconv.AppendBool(buf, r.Assessment.Tight[i])
		buf = append(buf, `,"over_season":`...)
		buf = strconv.AppendBool(buf, r.Assessment.PassesSeason(i))
		buf = appendLiquids(buf, r, i)
		buf = append(buf, '}')
		w.Write(buf)
	}
}

// appendLiquids appends what a zone gets of the further liquids.
func appendLiquids(buf []byte, r report.Result, i int) []byte {
	buf = append(buf, `,"liquids":[`...)
	for k := range r.Assessment.Further {
		g := &r.Assessment.Further[k]
		if k > 0 {
			buf = append(buf, ',')
		}
		name, _ := marshal(g.Liquid.Name)
		buf = append(append(buf, `{"name":`...), name...)
		buf = appendNumber(append(buf, `,"rate":`...), g.Rate(r.Prescription.Zones[i]).In(r.Units))
		buf = append(append(append(buf, `,"verdict":"`...), g.Verdicts[i].String()...), `"}`...)
	}
	return append(buf, ']')
}

func appendNumber(dst []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(dst, "null"...)
	}
	return strconv.AppendFloat(dst, v, 'f', -1, 64)
}

// Manifest prints a manifest as one document.
func Manifest(w io.Writer, m *write.Manifest) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(m)
}

// Approval prints an approval as one document: what its file holds.
func Approval(w io.Writer, a rx.Approval) error {
	return printed(w)(write.EncodeApproval(a))
}

// printed writes a text that was made.
func printed(w io.Writer) func([]byte, error) error {
	return func(text []byte, err error) error {
		if err != nil {
			return err
		}
		_, err = w.Write(text)
		return err
	}
}

// line prints a document on one line.
func line(doc any) ([]byte, error) {
	text, err := marshal(doc)
	return append(text, '\n'), err
}

type findingJSON struct {
	Rule     string      `json:"rule"`
	Severity rx.Severity `json:"severity"`
	About    rx.About    `json:"about"`
	Zones    []int       `json:"zones"`
	Area     float64     `json:"area"`
	Place    []float64   `json:"place"` // lon, lat
	Field    string      `json:"field"`
	Got      string      `json:"got"`
	Want     string      `json:"want"`
	Text     string      `json:"text"`
	Hint     string      `json:"hint"`
	Doubt    bool        `json:"doubt,omitempty"` // of what the input means: to be answered before anything is written
	Plan     bool        `json:"plan,omitempty"`  // it matters to whoever works from the plan
}

// Findings prints the findings of a result as a list. Of a plan it says of each whether it
// matters to whoever works from that.
func Findings(r report.Result) ([]byte, error) {
	list := findingsOf(r.Findings, r.Units)
	if r.Plan != nil {
		work := rx.Work{Prescription: r.Prescription, Terms: r.Assessment.Terms, Plan: r.Plan}
		for i, f := range r.Findings {
			list[i].Plan = f.Concerns(work) || slices.ContainsFunc(r.Plan.Findings, f.Equal)
		}
	}
	return marshal(list)
}

func findingsOf(findings []rx.Finding, s unit.System) []findingJSON {
	list := make([]findingJSON, len(findings))
	for i, f := range findings {
		said := tell.Finding(f, s)
		list[i] = findingJSON{
			Rule: f.Rule(), Severity: f.Severity, Doubt: f.Doubt(), About: f.About(), Zones: append([]int{}, f.Zones...), Area: f.Area.In(s),
			Field: f.Field, Got: said.Got, Want: said.Want, Text: said.Text, Hint: said.Hint,
		}
		if f.Place != nil {
			list[i].Place = []float64{f.Place[0], f.Place[1]}
		}
	}
	return list
}
