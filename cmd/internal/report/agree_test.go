package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/write"
)

const agreeJob = `blender: {batch: 3 ton}
spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, bins: 2}
boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["04", "05", "06"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}
prices: {stabilizer: 40 $/gal, drying-agent: 0.60 $/lb, blending: 12 $/ton, dry-spreading: 7.50 $/ac, wet-boom: 4 $/ac, extra-pass: 7.50 $/ac, nitrogen: 0.60 $/lb}
blend: [{name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}]
`

// told is a way in the document for programs.
type told struct {
	State      string    `json:"state"`
	Room       float64   `json:"room"`
	Passes     int       `json:"passes"`
	Volume     float64   `json:"stabilizer_volume"`
	Metered    float64   `json:"stabilizer_metered"`
	RateMin    float64   `json:"rate_min"`
	RateMax    float64   `json:"rate_max"`
	Added      float64   `json:"dry_added"`
	Removed    float64   `json:"dry_removed"`
	Loadings   []float64 `json:"loadings"`
	LeftOff    float64   `json:"left_off_area"`
	Conditions []struct{ Text string }
	Cost       struct{ Low, High float64 }
}

// drawnResult draws a field, terms and a way that can be taken.
func drawnResult(t *testing.T, r *rapid.T) report.Result {
	var grounds []rxtest.Ground
	for range rapid.IntRange(1, 8).Draw(r, "zones") {
		grounds = append(grounds, rxtest.Ground{Acres: unit.Area(rapid.IntRange(5, 60).Draw(r, "acres")), Rate: unit.DryRate(rapid.IntRange(60, 400).Draw(r, "rate"))})
	}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	job, err := equip.ParseJob("job.yaml", []byte(agreeJob))
	if err != nil {
		r.Fatal(err)
	}
	terms.Job = job
	terms.RateError = unit.Ratio(rapid.SampledFrom([]float64{0, 5}).Draw(r, "rate error")) * unit.Percent
	terms.LeaveOff = rapid.Bool().Draw(r, "leave off")
	if rapid.Bool().Draw(r, "metric") {
		terms.Units = unit.Metric
	}
	p := rxtest.Read(t, rxtest.Strip(grounds...))
	checked := reporttest.PlanFor(t, p, terms, "")
	var possible []rx.WayName
	for _, w := range checked.Ways {
		if w.Possible() {
			possible = append(possible, w.Name)
		}
	}
	return reporttest.PlanFor(t, p, terms, rapid.SampledFrom(possible).Draw(r, "way"))
}

// printed returns what print prints, on one line.
func printed(r *testing.T, print func(io.Writer) error) string {
	var buf bytes.Buffer
	if err := print(&buf); err != nil {
		r.Fatal(err)
	}
	return strings.Join(strings.Fields(html.UnescapeString(tags.ReplaceAllString(buf.String(), " "))), " ")
}

var tags = regexp.MustCompile(`<[^>]*>`)

// rounded prints a number with so many decimals, both ways where it lies between two.
func rounded(v float64, decimals int, symbol string) []string {
	return []string{grouped(v*(1-1e-9), decimals) + symbol, grouped(v*(1+1e-9), decimals) + symbol}
}

// grouped prints a number with so many decimals and a comma between thousands.
func grouped(v float64, decimals int) string {
	return unit.Thousands(strconv.FormatFloat(v, 'f', decimals, 64))
}

// A way's figures are the same wherever they are shown: those of the document for programs
// are held against the terminal, the page's decision, the sheets and the table of zones.
func TestFiguresAgree(t *testing.T) {
	cases := 24
	if testing.Short() {
		cases = 6
	}
	field := rapid.Custom(func(r *rapid.T) report.Result { return drawnResult(t, r) })
	for seed := range cases {
		res, r := field.Example(seed), t
		p, s := res.Prescription, res.Units
		text1, err := data.Way(res.Plan.Way, s)
		if err != nil {
			r.Fatal(err)
		}
		var w told
		if err := json.Unmarshal(text1, &w); err != nil {
			r.Fatal(err)
		}
		terminal := printed(r, func(out io.Writer) error { return text.Plan(out, res, "plan", &write.Manifest{}) })
		release := printed(r, func(out io.Writer) error {
			return text.Sheets(out, []rx.Sheet{sheet.Release(p, res.Assessment, res.Plan, res.Ways, &rx.Approval{By: "A"})})
		})
		sheets := printed(r, func(out io.Writer) error { return text.Sheets(out, res.Sheets) })
		page := printed(r, func(out io.Writer) error { return page.Write(out, res) })
		holds := func(where, all string, any ...string) {
			if !slices.ContainsFunc(any, func(what string) bool { return strings.Contains(all, what) }) {
				r.Fatalf("case %d, %s: %q is not in %s", seed, where, any, all[:min(len(all), 3000)])
			}
		}

		decision := report.WayText(res)
		cost := "$" + grouped(w.Cost.High, 2)
		for where, all := range map[string]string{"terminal": terminal, "page": page} {
			holds(where, all, decision)
		}
		uncosted := regexp.MustCompile(`, \$[\d,.]+\d( to \$[\d,.]+\d)?( without what is not priced)?`)
		holds("sheets", sheets, uncosted.ReplaceAllString(decision, "")) // who works by it doesn't decide by what it costs
		holds("decision", decision, w.State)
		holds("decision", decision, cost)
		holds("decision", decision, "$"+grouped(w.Cost.Low, 2))
		highest := w.RateMax
		if highest-w.RateMin < 0.05 {
			highest = w.RateMin // no difference that the decision would show
		}
		decimals := 1
		if s == unit.Metric {
			decimals = 0
		}
		ends := rounded(highest, decimals, "")
		for i := range ends {
			ends[i] = strings.TrimSuffix(ends[i], ".0") + " " + unit.Symbol[unit.LiquidRate](s)
		}
		holds("decision", decision, ends...)
		for where, all := range map[string]string{"terminal": terminal, "release card": release} {
			holds(where, all, cost)
			for _, l := range w.Loadings {
				as := strings.TrimSuffix(grouped(l, map[unit.System]int{unit.US: 1, unit.Metric: 0}[s]), ".0")
				holds(where, all, as, "(exactly "+unit.Thousands(strconv.FormatFloat(l, 'g', 10, 64))+")") // a card rounds as a meter does
			}
			for _, c := range w.Conditions {
				holds(where, all, c.Text)
			}
		}
		holds("release card", release, "rates off by "+strconv.FormatFloat(math.Floor(w.Room*1000+1e-6)/10, 'f', -1, 64)+" %")
		holds("terminal", terminal, fmt.Sprintf("%d pass", w.Passes))
		holds("release card", release, fmt.Sprintf("Passes %d", w.Passes))
		if s == unit.US {
			holds("terminal", terminal, rounded(w.Metered, 0, " fl oz")...)
			holds("release card", release, rounded(w.Metered/128, 2, " gal")...)
		} else {
			holds("terminal", terminal, rounded(w.Metered/1000, 1, " L")...)
			holds("release card", release, rounded(w.Metered/1000, 2, " L")...)
		}
		if w.LeftOff > 0 {
			holds("terminal", terminal, grouped(w.LeftOff, 2))
			holds("release card", release, grouped(w.LeftOff, 2))
		}

		var table bytes.Buffer
		if err := data.ZonesCSV(&table, res); err != nil {
			r.Fatal(err)
		}
		rows, err := csv.NewReader(&table).ReadAll()
		if err != nil {
			r.Fatal(err)
		}
		cell := func(row []string, head string) float64 {
			for i, h := range rows[0] {
				if strings.HasPrefix(h, head+" ") {
					v, _ := strconv.ParseFloat(row[i], 64)
					return v
				}
			}
			r.Fatalf("no column %s", head)
			return 0
		}
		var sum, most, added, removed float64
		for _, row := range rows[1:] {
			rate := cell(row, "stabilizer by plan")
			sum += rate * cell(row, "area with stabilizer")
			most = math.Max(most, rate)
			change := (cell(row, "dry rate by plan") - cell(row, "dry rate")) * cell(row, "area")
			added, removed = added+math.Max(change, 0), removed+math.Max(-change, 0)
		}
		for _, c := range []struct {
			what      string
			got, want float64
		}{{"stabilizer", sum, w.Volume}, {"highest rate", most, w.RateMax}, {"dry added", added, w.Added}, {"dry removed", removed, w.Removed}} {
			if math.Abs(c.got-c.want) > 1e-4*math.Max(c.want, 1)+0.02 {
				r.Fatalf("zones.csv: %s %v, want %v", c.what, c.got, c.want)
			}
		}
	}
}
