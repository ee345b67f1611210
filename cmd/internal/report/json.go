package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// CheckSchema names the form of a check in JSON.
const CheckSchema = "rxsplit.check/1"

// Units names the units of the plain numbers below it.
type Units struct {
	Area             string `json:"area"`
	DryRate          string `json:"dry_rate"`
	DryMass          string `json:"dry_mass"`
	StabilizerRate   string `json:"stabilizer_rate"`
	StabilizerVolume string `json:"stabilizer_volume"`
	Loading          string `json:"loading"`
}

// UnitsOf returns the names for a system of units.
func UnitsOf(s unit.System) Units {
	return Units{
		Area: unit.AreaSymbol(s), DryRate: unit.DryRateSymbol(s), DryMass: unit.MassSymbol(s),
		StabilizerRate: unit.LiquidRateSymbol(s), StabilizerVolume: unit.VolumeSymbol(s), Loading: unit.LoadingSymbol(s),
	}
}

type checkJSON struct {
	Schema     string         `json:"schema"`
	Units      Units          `json:"units"`
	Source     sourceJSON     `json:"source"`
	Label      labelJSON      `json:"label"`
	Loading    loadingJSON    `json:"loading"`
	Area       areaJSON       `json:"area"`
	Dry        dryJSON        `json:"dry"`
	Stabilizer stabilizerJSON `json:"stabilizer"`
	Window     *windowJSON    `json:"window"`
	Ways       []wayJSON      `json:"ways"`
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

type windowJSON struct {
	Min float64 `json:"loading_min"`
	Max float64 `json:"loading_max"`
}

type wayJSON struct {
	Way        string    `json:"way"`
	Possible   bool      `json:"possible"`
	Why        string    `json:"why"`
	OffLabel   float64   `json:"off_label_area"`
	LeftOff    float64   `json:"left_off_area"`
	LeftZones  []int     `json:"left_off_zones,omitempty"`
	Loads      int       `json:"loads"`
	Batches    int       `json:"batches,omitempty"`
	Fills      int       `json:"fills,omitempty"`
	Passes     int       `json:"passes"`
	DryAdded   float64   `json:"dry_added"`
	DryRemoved float64   `json:"dry_removed"`
	NAdded     *float64  `json:"n_added,omitempty"`
	NRemoved   *float64  `json:"n_removed,omitempty"`
	Loadings   []float64 `json:"loadings,omitempty"`
	RateMin    float64   `json:"rate_min"`
	RateMax    float64   `json:"rate_max"`
	Volume     float64   `json:"stabilizer_volume"`
	Metered    float64   `json:"stabilizer_metered"`
	Minutes    float64   `json:"minutes,omitempty"`
	Needs      []string  `json:"needs,omitempty"`
	Cost       *costJSON `json:"cost,omitempty"`
}

type costJSON struct {
	Total   float64        `json:"total"`
	PerArea float64        `json:"per_area"`
	Area    float64        `json:"area"` // that per_area goes by: the ground that gets dry
	Items   []costItemJSON `json:"items"`
	Missing []string       `json:"missing,omitempty"`
	Not     []string       `json:"not_counted,omitempty"`
}

type costItemJSON struct {
	What   string  `json:"what"`
	Of     string  `json:"of"`
	Amount float64 `json:"amount"`
}

// JSON prints a checked prescription as one document.
func JSON(w io.Writer, r Result) error {
	head, err := marshal(checkOf(r))
	if err != nil {
		return err
	}
	buf := bufio.NewWriterSize(w, 1<<16)
	buf.Write(head[:len(head)-1]) // the closing brace comes last
	buf.WriteString(`,"zones":[`)
	writeZones(buf, r)
	buf.WriteString(`],"findings":`)
	findings, err := FindingsJSON(r.Findings, r.Units)
	if err != nil {
		return err
	}
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

func checkOf(r Result) checkJSON {
	p, a, s := r.Prescription, r.Assessment, r.Units
	low, high, _ := p.CarrierRange()
	share := func(v rx.Verdict) float64 { return a.Shares[v].Area.In(s) }
	doc := checkJSON{
		Schema: CheckSchema, Units: UnitsOf(s),
		Source:     sourceOf(p.Source),
		Label:      labelJSON{a.Terms.Label.Name, a.Range.Min.In(s), a.Range.Max.In(s)},
		Loading:    loadingJSON{a.Loading.In(s), a.LoadingFrom},
		Area:       areaJSON{p.Area().In(s), p.TreatedArea().In(s), share(rx.Below), share(rx.Within), share(rx.Above), share(rx.NoDry), share(rx.NoRate), a.OverSeason.Area.In(s)},
		Dry:        dryJSON{low.In(s), high.In(s), a.Mean.In(s), a.Mass.In(s)},
		Stabilizer: stabilizerJSON{a.Stabilizer.Min.In(s), a.Stabilizer.Max.In(s), a.MeanRate.In(s), a.Volume.In(s)},
		Ways:       []wayJSON{},
	}
	for _, f := range p.Fields {
		doc.Source.RateFields = append(doc.Source.RateFields, f.Name)
	}
	if a.Window != nil {
		doc.Window = &windowJSON{a.Window.Min.In(s), a.Window.Max.In(s)}
	}
	for _, w := range r.Ways {
		doc.Ways = append(doc.Ways, wayOf(w, s))
	}
	return doc
}

func wayOf(w rx.Way, s unit.System) wayJSON {
	out := wayJSON{
		Way: string(w.Name), Possible: w.Possible, Why: w.Why, OffLabel: w.OffLabel.In(s), LeftOff: w.LeftOff.In(s), LeftZones: w.LeftZones,
		Loads: w.Loads, Batches: w.Batches, Fills: w.Fills, Passes: w.Passes, DryAdded: w.DryAdded.In(s), DryRemoved: w.DryRemoved.In(s),
		RateMin: w.Rate.Min.In(s), RateMax: w.Rate.Max.In(s), Volume: w.Stabilizer.In(s), Metered: w.Metered.In(s), Minutes: float64(w.Minutes), Needs: w.Needs,
	}
	for _, l := range w.Loadings {
		out.Loadings = append(out.Loadings, l.In(s))
	}
	if w.NKnown {
		added, removed := w.NAdded.In(s), w.NRemoved.In(s)
		out.NAdded, out.NRemoved = &added, &removed
	}
	if w.Cost != nil {
		out.Cost = &costJSON{Total: w.Cost.Total, PerArea: w.Cost.PerAcre / float64(unit.Acre.In(s)), Area: w.Cost.Area.In(s), Missing: w.Cost.Missing, Not: w.Cost.NotCounted}
		for _, item := range w.Cost.Items {
			out.Cost.Items = append(out.Cost.Items, costItemJSON{item.What, item.Of, item.Amount})
		}
	}
	return out
}

// WayJSON prints one way as the summary of a plan.
func WayJSON(w rx.Way, s unit.System) ([]byte, error) { return marshal(wayOf(w, s)) }

// writeZones appends the zones one by one: there may be a million. Their dry rate is that
// of what is impregnated, as in the sums above, so that the loading makes the stabilizer
// rate of it.
func writeZones(w *bufio.Writer, r Result) {
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
		buf = append(buf, '}')
		w.Write(buf)
	}
}

func appendNumber(dst []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(dst, "null"...)
	}
	return strconv.AppendFloat(dst, v, 'f', -1, 64)
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
}

// FindingsJSON prints findings as a list.
func FindingsJSON(findings []rx.Finding, s unit.System) ([]byte, error) {
	return marshal(findingsOf(findings, s))
}

func findingsOf(findings []rx.Finding, s unit.System) []findingJSON {
	list := make([]findingJSON, len(findings))
	for i, f := range findings {
		list[i] = findingJSON{
			Rule: f.Rule, Severity: f.Severity, About: f.About, Zones: f.Zones, Area: f.Area.In(s),
			Field: f.Field, Got: f.Got, Want: f.Want, Text: f.Text, Hint: f.Hint,
		}
		if f.Zones == nil {
			list[i].Zones = []int{}
		}
		if f.Place != nil {
			list[i].Place = []float64{f.Place[0], f.Place[1]}
		}
	}
	return list
}
