package page

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// The figures of the page against what zones.csv, the JSON document, the sheets' text and the
// layers say, without the package's own help: the page is read as text, and each table, bar,
// chart and legend has what it must agree with. TestAgreementSees changes a page in hundreds
// of places and expects each change to be found.

// agreement is what a page must agree with.
type agreement struct {
	r      report.Result
	doc    map[string]any
	zones  []map[string]string // rows of zones.csv, by head
	sheets string
	wrong  []string
}

func agreementOf(t *testing.T, r report.Result) *agreement {
	t.Helper()
	var doc, zones, sheets bytes.Buffer
	if err := data.Check(&doc, r); err != nil {
		t.Fatal(err)
	}
	a := &agreement{r: r}
	plain := regexp.MustCompile(`--[a-z]+(-[a-z]+)*`).ReplaceAllFunc(doc.Bytes(), func(f []byte) []byte { return bytes.ReplaceAll(f[2:], []byte("-"), []byte(" ")) }) // options are named otherwise
	if err := json.Unmarshal(plain, &a.doc); err != nil {
		t.Fatal(err)
	}
	if err := data.ZonesCSV(&zones, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&zones).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		one := map[string]string{}
		for k, head := range rows[0] {
			name, _, _ := strings.Cut(head, " "+unitOf(head))
			one[name] = row[k]
		}
		a.zones = append(a.zones, one)
	}
	if err := text.Sheets(&sheets, r.Sheets); err != nil {
		t.Fatal(err)
	}
	a.sheets = strings.Join(strings.Fields(sheets.String()), " ")
	return a
}

// unitOf is the unit that a head ends in.
func unitOf(head string) string {
	for _, u := range []string{"fl oz/ac", "mL/ha", "lb/ac", "kg/ha", "ac", "ha"} {
		if strings.HasSuffix(head, " "+u) {
			return u
		}
	}
	return "\x00"
}

func (a *agreement) say(format string, args ...any) {
	a.wrong = append(a.wrong, fmt.Sprintf(format, args...))
}

// tabled is a table of a page as it is read: its name, and its cells' texts.
type tabled struct {
	name string
	rows [][]string
}

var (
	tableOf   = regexp.MustCompile(`(?s)<table[^>]*>(.*?)</table>`)
	captionOf = regexp.MustCompile(`(?s)<caption[^>]*>(.*?)</caption>`)
	cellAt    = regexp.MustCompile(`<t[hd]\b`)
	tag       = regexp.MustCompile(`<[^>]*>`)
	shownAs   = regexp.MustCompile(`^[+−-]?\$?([\d,]+)(\.\d+)?`)
)

func plainText(s string) string {
	return strings.Join(strings.Fields(html.UnescapeString(tag.ReplaceAllString(s, " "))), " ")
}

// readTables keeps tables by their source: of a page that was changed in one place all but
// one are the same.
var readTables = map[string]tabled{}

// tablesIn reads the tables of a page.
func tablesIn(page string) (list []tabled) {
	for _, m := range tableOf.FindAllStringSubmatch(page, -1) {
		t, known := readTables[m[1]]
		if known {
			list = append(list, t)
			continue
		}
		if c := captionOf.FindStringSubmatch(m[1]); c != nil {
			t.name = plainText(c[1])
		}
		for _, row := range strings.Split(m[1], "<tr")[1:] {
			var cells []string
			for _, cell := range cellAt.Split(row, -1)[1:] {
				_, inner, _ := strings.Cut(cell, ">")
				cells = append(cells, plainText(inner))
			}
			t.rows = append(t.rows, cells)
		}
		readTables[m[1]] = t
		list = append(list, t)
	}
	return list
}

// shows reports whether a text is a number rounded to the digits that it shows.
func shows(text string, value float64) bool {
	m := shownAs.FindStringSubmatch(text)
	if m == nil {
		return false
	}
	shown, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "")+m[2], 64)
	half := 0.5000001 * math.Pow(10, -math.Max(float64(len(m[2])-1), 0))
	return err == nil && math.Abs(shown-math.Abs(value)) <= half
}

// spans reports whether a text shows a range of numbers, or one.
func spans(text string, low, high float64) bool {
	a, b, both := strings.Cut(text, " to ")
	if !both {
		b = a
	}
	return shows(a, low) && shows(b, high)
}

func (a *agreement) number(path ...string) float64 {
	var v any = a.doc
	for _, name := range path {
		v = v.(map[string]any)[name]
	}
	f, _ := v.(float64)
	return f
}

// check reads a page and lists what does not agree.
func (a *agreement) check(page string) []string {
	a.wrong = nil
	tables := map[string][]tabled{}
	for _, t := range tablesIn(page) {
		tables[t.name] = append(tables[t.name], t)
	}
	one := func(name string, of func(rows [][]string)) {
		if len(tables[name]) != 1 || len(tables[name][0].rows) < 2 {
			a.say("%d tables %q", len(tables[name]), name)
			return
		}
		of(tables[name][0].rows)
	}
	one("What each verdict amounts to", a.verdicts)
	one("Every zone", a.everyZone)
	one("Ground off label, the largest patch first", a.patches)
	one("Ways to release the prescription, the best first", a.ways)
	one("Findings, the worst first", a.findings)
	a.legends(tables)
	a.bars(page)
	a.charts(page)
	a.explorer(page)
	if a.r.Plan != nil {
		one("Layers of the plan", a.layers)
		a.paper(page)
	}
	return a.wrong
}

func (a *agreement) verdicts(rows [][]string) {
	names := map[string]string{"below the label": "below", "within the label": "within", "above the label": "above", "no dry (rate 0)": "no-dry", "no rate given": "no-rate"}
	seen := 0
	for _, row := range rows[1 : len(rows)-1] {
		verdict, zones, area := names[row[0]], 0, 0.0
		low, high, least, most := math.Inf(1), 0.0, math.Inf(1), 0.0
		for _, z := range a.zones {
			if z["verdict if impregnated"] != verdict {
				continue
			}
			v, _ := strconv.ParseFloat(z["area"], 64)
			dry, _ := strconv.ParseFloat(z["dry rate"], 64)
			rate, _ := strconv.ParseFloat(z["stabilizer if impregnated"], 64)
			zones, area = zones+1, area+v
			low, high, least, most = min(low, dry), max(high, dry), min(least, rate), max(most, rate)
		}
		seen += zones
		total := a.number("area", "total")
		if verdict == "" || row[1] != fmt.Sprint(zones) || !shows(row[2], area) || !shows(row[3], 100*area/total) || !strings.HasPrefix(verdict, "no-") && (!spans(row[4], low, high) || !spans(row[5], least, most)) {
			a.say("verdicts: %q is not %d zones, %g, %g to %g, %g to %g", row, zones, area, low, high, least, most)
		}
	}
	last := rows[len(rows)-1]
	if seen != len(a.zones) || last[1] != fmt.Sprint(len(a.zones)) || !shows(last[2], a.number("area", "total")) {
		a.say("verdicts: %q of %d zones", last, seen)
	}
}

// everyZone holds the rows against zones.csv.
func (a *agreement) everyZone(rows [][]string) {
	columns := []string{"zone", "area", "dry rate", "stabilizer if impregnated", "verdict if impregnated"}
	if a.r.Plan != nil {
		columns = append(columns, "stabilizer by plan", "dry rate by plan")
	}
	if len(rows)-1 != len(a.zones) {
		a.say("every zone: %d rows for %d zones", len(rows)-1, len(a.zones))
		return
	}
	for i, row := range rows[1:] {
		for k, name := range columns {
			want := a.zones[i][name]
			v, err := strconv.ParseFloat(want, 64)
			if k >= len(row) || err != nil && row[k] != want && want != "" || err == nil && !shows(row[k], v) {
				a.say("every zone: row %d, %s: %q, want %s", i+1, name, row, want)
			}
		}
	}
}

func (a *agreement) patches(rows [][]string) {
	list, _ := a.doc["patches"].([]any)
	if len(rows)-1 != min(len(list), mostPatches) {
		a.say("patches: %d rows for %d patches", len(rows)-1, len(list))
		return
	}
	per := a.number("loading", "value") / dryOfATon(a.r.Units)
	for i, row := range rows[1:] {
		p := list[i].(map[string]any)
		at, zones, where := len(row)-1, p["zones"].([]any), p["place"].([]any)
		var names []string
		for _, z := range zones[:min(len(zones), mostNamed)] {
			names = append(names, fmt.Sprint(z))
		}
		low, high := p["dry_min"].(float64), p["dry_max"].(float64)
		place := fmt.Sprintf("%.5f, %.5f", where[1], where[0])
		if row[0] != fmt.Sprint(i+1) || row[1] != p["verdict"] || !shows(row[2], p["area"].(float64)) || !spans(row[3], low, high) ||
			!spans(row[4], low*per, high*per) || row[at-1] != place || !strings.HasPrefix(row[at], strings.Join(names, ", ")) {
			a.say("patches: row %q, want %v", row, p)
		}
	}
}

// dryOfATon is what a loading is counted by.
func dryOfATon(s unit.System) float64 {
	if s == unit.Metric {
		return 1000
	}
	return 2000
}

func (a *agreement) ways(rows [][]string) {
	list := a.doc["ways"].([]any)
	if len(rows)-1 != 2*len(list) {
		a.say("ways: %d rows for %d ways", len(rows)-1, len(list))
		return
	}
	for i, v := range list {
		w, row, under := v.(map[string]any), rows[1+2*i], rows[2+2*i]
		number := func(name string) float64 { f, _ := w[name].(float64); return f }
		if strings.TrimSuffix(row[0], " (chosen)") != dashless(w["way"]) || row[1] != w["state"] || !shows(row[2], number("off_label_area")) {
			a.say("ways: row %q, want %v", row, w["way"])
		}
		if len(under) != 1 || !strings.Contains(strings.ToLower(under[0]), strings.ToLower(w["why"].(string))) {
			a.say("ways: %v is told as %q", w["way"], under)
		}
		if w["possible"] != true {
			continue
		}
		a.wayText(w, strings.Join(under, " "))
		large := map[string]float64{" gal": 128, " L": 1000}
		per := 1.0
		for name, p := range large {
			if strings.HasSuffix(row[5], name) {
				per = p
			}
		}
		cost, _ := w["cost"].(map[string]any)
		if row[3] != fmt.Sprint(number("loads")) || row[4] != fmt.Sprint(number("passes")) || !shows(row[5], number("stabilizer_metered")/per) ||
			!spans(row[6], number("rate_min"), number("rate_max")) || cost != nil && !shows(row[9], cost["high"].(float64)) {
			a.say("ways: figures %q of %v", row, w["way"])
		}
		if added, removed := number("dry_added"), number("dry_removed"); added+removed == 0 {
			if row[7] != "as prescribed" {
				a.say("ways: %q changes nothing", row)
			}
		} else if plus, minus, _ := strings.Cut(row[7], ", "); !shows(plus, added) || !shows(minus, removed) {
			a.say("ways: change of dry %q, want %g, %g", row[7], added, removed)
		}
	}
}

// dashless is the name of a way as people say it.
func dashless(name any) string { return strings.ReplaceAll(name.(string), "-", " ") }

// wayText holds what is told of a way against its conditions and its driving.
func (a *agreement) wayText(w map[string]any, under string) {
	for _, c := range w["conditions"].([]any) {
		if text := c.(map[string]any)["text"].(string); !strings.Contains(strings.ToLower(under), strings.ToLower(text)) {
			a.say("ways: %v does not tell %q", w["way"], text)
		}
	}
	if d, ok := w["driving"].(map[string]any); ok {
		m := regexp.MustCompile(`([\d.,]+) (?:mi|km) and ([\d,]+) turns? to drive, ([\d.]+) h`).FindStringSubmatch(under)
		if m == nil || !shows(m[1], d["length"].(float64)/lengthOf(a.r.Units)) || !shows(m[2], d["turns"].(float64)) || !shows(m[3], d["hours"].(float64)) {
			a.say("ways: driving of %v: %q, want %v", w["way"], under, d)
		}
	}
}

func (a *agreement) layers(rows [][]string) {
	at := 1
	for _, l := range a.r.Plan.Layers {
		if at >= len(rows) {
			a.say("layers: no row of %s", l.Name)
			return
		}
		row := rows[at]
		at++
		s := a.r.Units
		zones, _, _ := strings.Cut(row[3], " ")
		if row[0] != l.Name || zones != fmt.Sprint(l.Zones) || !shows(row[4], l.Area.In(s)) || !strings.Contains(row[8], l.Name+".shp") {
			a.say("layers: row %q of %s", row, l.Name)
		}
		if l.Product == rx.Dry && (!spans(strings.TrimSuffix(row[5], " "+unit.Symbol[unit.DryRate](s)), l.Dry.Min.In(s), l.Dry.Max.In(s)) || !shows(row[6], massShown(row[6], l.Mass.In(s)))) {
			a.say("layers: rates or mass %q of %s", row, l.Name)
		}
		if l.Treated != (row[2] != "none") || l.Volume > 0 && !volumeShown(row[7], l.Volume.In(s)) {
			a.say("layers: loading or stabilizer %q of %s", row, l.Name)
		}
	}
	if at != len(rows) {
		a.say("layers: %d rows for %d layers", len(rows)-1, at-1)
	}
}

// massShown brings a mass to the unit that a text shows.
func massShown(text string, v float64) float64 {
	if strings.HasSuffix(text, " t") {
		return v / 1000
	}
	return v
}

func volumeShown(text string, v float64) bool {
	switch {
	case strings.HasSuffix(text, " gal"):
		v /= 128
	case strings.HasSuffix(text, " L"):
		v /= 1000
	}
	return shows(text, v)
}

func (a *agreement) findings(rows [][]string) {
	list := a.doc["findings"].([]any)
	if len(rows)-1 != len(list) {
		a.say("findings: %d rows for %d findings", len(rows)-1, len(list))
		return
	}
	left := map[string]int{}
	for _, v := range list {
		f := v.(map[string]any)
		left[strings.ToLower(strings.Join(strings.Fields(f["text"].(string)), " "))]++
	}
	order := map[string]int{"in doubt": 0, "accepted": 0, "error": 1, "warning": 2, "note": 3}
	for i, row := range rows[1:] {
		found := false
		for text, n := range left {
			if n > 0 && strings.HasPrefix(strings.ToLower(row[1]), strings.TrimSuffix(text, ".")) {
				left[text]--
				found = true
				break
			}
		}
		if _, known := order[row[0]]; !found || !known || i > 0 && order[row[0]] < order[rows[i][0]] {
			a.say("findings: row %q", row)
		}
		for _, v := range list {
			f := v.(map[string]any)
			zones := f["zones"].([]any)
			if strings.HasPrefix(strings.ToLower(row[1]), strings.TrimSuffix(strings.ToLower(strings.Join(strings.Fields(f["text"].(string)), " ")), ".")) && len(zones) > 0 {
				var names []string
				for _, z := range zones[:min(len(zones), mostZoneNumbers)] {
					names = append(names, fmt.Sprint(z))
				}
				if !strings.HasPrefix(row[2], strings.Join(names, ", ")) {
					a.say("findings: zones %q, want %v", row[2], names)
				}
			}
			if strings.HasPrefix(strings.ToLower(row[1]), strings.TrimSuffix(strings.ToLower(strings.Join(strings.Fields(f["text"].(string)), " ")), ".")) {
				if hint, _ := f["hint"].(string); hint != "" && !strings.EqualFold(row[3], strings.Join(strings.Fields(hint), " ")) {
					a.say("findings: what to do: %q, want %q", row[3], hint)
				}
				if place, ok := f["place"].([]any); ok && !strings.Contains(row[1], fmt.Sprintf("At %.5f, %.5f.", place[1], place[0])) {
					a.say("findings: the place of %q, want %v", row[1], place)
				}
			}
		}
	}
}

// legends holds the acres of each map against the field's, and those of the verdicts against
// JSON. Each stands twice: beside the map and at its figure.
func (a *agreement) legends(tables map[string][]tabled) {
	list := themes(a.r, figures.In(a.r.Units))
	for _, theme := range list {
		got := tables["Legend: "+theme.Title]
		if len(got) != 2 {
			a.say("legends: %d of %s", len(got), theme.Title)
			continue
		}
		for _, t := range got {
			sum, zones := 0.0, 0
			for _, row := range t.rows[1:] {
				if len(row) < 3 || strings.HasSuffix(row[0], "(part of the above)") {
					continue
				}
				v, _ := strconv.ParseFloat(strings.ReplaceAll(strings.Fields(row[1])[0], ",", ""), 64)
				if strings.HasPrefix(row[0], "keep-out") || strings.HasPrefix(row[0], "untreated strip") {
					sum += v // in places, not zones
					continue
				}
				n, _ := strconv.Atoi(strings.ReplaceAll(strings.Fields(row[2])[0], ",", ""))
				sum, zones = sum+v, zones+n
				if !a.legendRow(theme.ID, row, v, n) {
					a.say("legends: %s has %q", theme.Title, row)
				}
			}
			if zones != len(a.zones) || math.Abs(sum-a.number("area", "total")) > 0.0051*float64(len(t.rows)) {
				a.say("legends: %s adds up to %g of %d zones", theme.Title, sum, zones)
			}
		}
	}
}

// legendRow holds a class of rates against the zones whose rates are in it, as zones.csv has
// them.
func (a *agreement) legendRow(id string, row []string, area float64, zones int) bool {
	column := map[string]string{"map-dry": "dry rate", "map-ground": "stabilizer by plan", "map-verdict": "verdict if impregnated"}[id]
	if column == "" {
		return true
	}
	low, high, ranged := strings.Cut(strings.ReplaceAll(row[0], ",", ""), " to under ")
	from, err1 := strconv.ParseFloat(low, 64)
	to, err2 := strconv.ParseFloat(high, 64)
	words := map[string]string{"below the label": "below", "within the label": "within", "above the label": "above", "no dry (rate 0)": "no-dry", "no rate given": "no-rate"}
	sum, n := 0.0, 0
	for _, z := range a.zones {
		v, err := strconv.ParseFloat(z[column], 64)
		in := false
		switch {
		case column == "verdict if impregnated":
			in = z[column] == words[row[0]]
		case ranged && err1 == nil && err2 == nil:
			v, _ := strconv.ParseFloat(fmt.Sprintf("%.1f", v), 64) // as it is printed
			in = err == nil && v >= from-1e-4 && v < to-1e-4
		case err1 == nil:
			in = err == nil && math.Abs(v-from) < 0.06
		case row[0] == "no rate given":
			in = err != nil
		default:
			in = err == nil && v == 0
		}
		if in {
			acres, _ := strconv.ParseFloat(z["area"], 64)
			if id == "map-ground" && row[0] != "no stabilizer" {
				acres, _ = strconv.ParseFloat(z["area with stabilizer"], 64)
			}
			sum, n = sum+acres, n+1
		}
	}
	return n == zones && math.Abs(sum-area) <= 0.0051
}

var shareOf = regexp.MustCompile(`(?s)<div><dt>.*?</svg> ([^<]*)</dt><dd><b[^>]*>([\d.,]+) [^<]*</b> <span>([\d.]+) %</span>`)

// bars holds both bars against the field's acres.
func (a *agreement) bars(page string) {
	bars := strings.Split(page, `<h2 class="bar-title">`)[1:]
	want := 1
	if a.r.Plan != nil {
		want = 2
	}
	if len(bars) != want {
		a.say("bars: %d, want %d", len(bars), want)
		return
	}
	for k, bar := range bars {
		bar, _, _ = strings.Cut(bar, "</dl>")
		sum := 0.0
		for _, m := range shareOf.FindAllStringSubmatch(bar, -1) {
			v, _ := strconv.ParseFloat(strings.ReplaceAll(m[2], ",", ""), 64)
			sum += v
			name := map[string]string{"below the label": "below", "within the label": "within", "above the label": "above", "no dry (rate 0)": "no_dry", "no rate given": "no_rate"}[m[1]]
			if k == 0 && !shows(m[2], a.number("area", name)) || !shows(m[3], 100*v/a.number("area", "total")) && math.Abs(v/a.number("area", "total")*100-atof(m[3])) > 0.06 {
				a.say("bars: %q", m[1:])
			}
		}
		if math.Abs(sum-a.number("area", "total")) > 0.03 {
			a.say("bars: bar %d adds up to %g", k+1, sum)
		}
	}
}

func atof(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }

// charts wants each chart, and of the bars over rates the acres by verdict.
func (a *agreement) charts(page string) {
	for _, id := range []string{"chart-stabilizer", "chart-dry", "chart-ways"} {
		_, chart, ok := strings.Cut(page, `<figure class="chart" id="`+id+`">`)
		if chart, _, _ = strings.Cut(chart, "</figure>"); !ok || !strings.Contains(chart, "<rect") {
			a.say("charts: no %s", id)
			continue
		}
		if id == "chart-ways" {
			for _, v := range a.doc["ways"].([]any) {
				if name := v.(map[string]any)["way"].(string); strings.Count(chart, `">`+dashless(name)+"</text>") < 1 {
					a.say("charts: %s stands not once among the ways", name)
				}
			}
			continue
		}
		sums, bars := map[string]float64{}, 0
		for _, m := range regexp.MustCompile(`<title>[^<]*: ([\d.]+) (?:ac|ha) (below|within|above) the label</title>`).FindAllStringSubmatch(chart, -1) {
			sums[m[2]] += atof(m[1])
			bars++
		}
		for _, name := range []string{"below", "within", "above"} {
			if math.Abs(sums[name]-a.number("area", name)) > 0.0051*float64(bars) {
				a.say("charts: %s holds %g %s, want %g", id, sums[name], name, a.number("area", name))
			}
		}
	}
}

// explorer holds the script's numbers against zones.csv.
func (a *agreement) explorer(page string) {
	_, text, _ := strings.Cut(page, `<script type="application/json" id="data">`)
	text, _, _ = strings.Cut(text, "</script>")
	var got struct {
		Per     float64
		Zones   any
		Rate    []float64
		Area    []float64
		Liquids []struct{ Min, Max, Loading float64 }
	}
	err := json.Unmarshal([]byte(text), &got)
	listed, some := got.Zones.([]any)
	if count, ok := got.Zones.(float64); ok {
		for i := range int(count) {
			listed = append(listed, float64(i+1))
		}
	} else if !some {
		err = fmt.Errorf("zones are %v", got.Zones)
	}
	if err != nil || len(got.Rate) != len(a.zones) || len(got.Area) != len(a.zones) || len(listed) != len(a.zones) || len(got.Liquids) == 0 {
		a.say("explorer: %v, %d rates, %d areas", err, len(got.Rate), len(got.Area))
		return
	}
	if got.Per != dryOfATon(a.r.Units) || got.Liquids[0].Min != a.number("label", "min") || got.Liquids[0].Max != a.number("label", "max") || got.Liquids[0].Loading != a.number("loading", "value") {
		a.say("explorer: %+v", got.Liquids)
	}
	for i, z := range a.zones {
		if rate := z["dry rate"]; z["zone"] != fmt.Sprint(listed[i]) || rate != "" && math.Abs(atof(rate)-got.Rate[i]) > 1e-4 || math.Abs(atof(z["area"])-got.Area[i]) > 1e-6 {
			a.say("explorer: zone %s has %g, %g", z["zone"], got.Rate[i], got.Area[i])
		}
	}
}

// paper holds cards and sheets against the sheets' data and their text.
func (a *agreement) paper(page string) {
	parts := regexp.MustCompile(`<section class="sheet(?: card)?(?: release)?" id="`).Split(page, -1)[1:]
	if len(parts) != len(a.r.Sheets) {
		a.say("paper: %d of %d sheets", len(parts), len(a.r.Sheets))
		return
	}
	for i, s := range a.r.Sheets {
		part, _, _ := strings.Cut(parts[i], "</section>")
		all := plainText(part)
		want := func(what, value string) {
			if value = strings.Join(strings.Fields(strings.ReplaceAll(value, signed, "")), " "); value != "" && !strings.Contains(all, value) && !strings.Contains(all, strings.TrimRight(value, "_; ")) {
				a.say("paper: %s: %s is not %q", s.Title, what, value)
			}
			if value = strings.Join(strings.Fields(value), " "); !strings.Contains(a.sheets, value) && !strings.Contains(strings.ToLower(a.sheets), strings.ToLower(value)) && len(value) < 20 {
				a.say("sheets.txt: %s: no %q", s.Title, value)
			}
		}
		tables := s.Sections
		var rows [][]string
		if s.Card != nil {
			want(s.Card.Dose.What, s.Card.Dose.What+" "+s.Card.Dose.Value)
			rows = append(rows, s.Card.Log.Rows...)
		}
		for _, section := range tables {
			for _, f := range section.Facts {
				want(f.What, f.What+" "+f.Value)
			}
			for _, list := range [][]string{section.Cautions, section.Steps, section.Notes} {
				for _, line := range list {
					want("a line", line)
				}
			}
			for _, t := range section.Tables {
				rows = append(rows, t.Rows...)
				if t.Total != nil {
					rows = append(rows, t.Total)
				}
			}
		}
		a.paperRows(s.Title, part, rows)
	}
}

// paperRows wants the rows of a sheet's tables in their order.
func (a *agreement) paperRows(title, part string, rows [][]string) {
	var got []string
	for _, t := range tablesIn(part) {
		for _, row := range t.rows[1:] {
			got = append(got, strings.Join(row, "|"))
		}
	}
	var want []string
	for _, row := range rows {
		cells := make([]string, len(row))
		for k, cell := range row {
			cells[k] = strings.Join(strings.Fields(strings.Replace(cell, "[ ]", "\u2610", 1)), " ")
			if cell != "" && strings.Trim(cell, "_") == "" && cells[0] == "\u2610" {
				cells[k] = ""
			}
		}
		want = append(want, strings.Join(cells, "|"))
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		a.say("paper: the tables of %s:\n%s\nwant\n%s", title, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// agreed are results of every kind.
func agreed(t *testing.T) map[string]report.Result {
	metric := rxtest.Terms(rxtest.Label(t, ""))
	metric.Units = unit.Metric
	strips := rxtest.Terms(rxtest.Label(t, ""))
	strips.Strips = rx.StripsAsked{Count: 4, Seed: 1}
	var err error
	if strips.Job, err = equip.ParseJob("job", []byte(`boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["05"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}`)); err != nil {
		t.Fatal(err)
	}
	return map[string]report.Result{
		"check": reporttest.Plan(t, reporttest.Contours(t), ""), "wet-boom": reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom), "loads": reporttest.Plan(t, reporttest.Contours(t), rx.Loads),
		"base": reporttest.Plan(t, reporttest.Contours(t), rx.Base), "refit": reporttest.Plan(t, reporttest.Contours(t), rx.Refit),
		"strips": reporttest.PlanFor(t, rxtest.Read(t, reporttest.Contours(t)), strips, rx.WetBoom),
		"metric": reporttest.PlanFor(t, rxtest.Read(t, reporttest.Contours(t)), metric, rx.Loads),
	}
}

// TestPageAgrees: every figure of the page that has a counterpart is that one.
func TestPageAgrees(t *testing.T) {
	for name, r := range agreed(t) {
		if wrong := agreementOf(t, r).check(string(pageOf(t, r))); len(wrong) > 0 {
			t.Errorf("%s: %d places\n%s", name, len(wrong), strings.Join(wrong[:min(len(wrong), 8)], "\n"))
		}
	}
}

// lengthOf is how many of what JSON counts driving by are in what people count it by.
func lengthOf(s unit.System) float64 {
	if s == unit.Metric {
		return 1000
	}
	return 5280
}

// TestPageNamesNoOption: who reads the page types nothing.
func TestPageNamesNoOption(t *testing.T) {
	for name, r := range agreed(t) {
		page := string(pageOf(t, r))
		body, _, _ := strings.Cut(page[strings.Index(page, "<body"):], `<script type="application/json"`)
		if m := regexp.MustCompile(`[^<>]{0,40}[ (]--[a-z][^<>]{0,30}`).FindString(body); m != "" {
			t.Errorf("%s: the page says %q", name, m)
		}
		if strings.Contains(body, "<dt>Zip</dt>") {
			t.Errorf("%s: the page tells of limits of archives", name)
		}
	}
}
