package serve

import (
	"context"
	"errors"
	"html"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
	"rxsplit/rx/write"
)

// odd is a request, as keptRequests are written, and what has to come back.
type odd struct {
	request string
	status  int
	says    string
}

// answers wants what comes back of each request.
func (v *visitor) answers(list ...odd) {
	v.t.Helper()
	for _, c := range list {
		status, _, body := v.asks(c.request)
		if status != c.status || !strings.Contains(html.UnescapeString(body), c.says) {
			v.t.Errorf("%s: status %d, want %d, and %q: %s", c.request, status, c.status, c.says, strings.Join(strings.Fields(between(body, "<main", "</main>")), " "))
		}
	}
}

// Where the rate that is named is a column of text, it is shown as such; of a file that can't be
// read nothing is shown, and no step leads to what isn't there.
func TestFileThatIsWrong(t *testing.T) {
	const words = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"RATE":"high","NO":7},"geometry":{"type":"Polygon","coordinates":[[[-93,41.5],[-92.99,41.5],[-92.99,41.51],[-93,41.51],[-93,41.5]]]}}]}`
	v := visit(t, map[string]string{"words.geojson": words, "cut.geojson": words[:40]})
	page := v.get("field?file=words.geojson&rate-field=RATE")
	wants(t, page, "<b>RATE</b>, text</label>", "<b>NO</b>, 7 to 7</label>")
	if n := strings.Count(page, `class="ends"`); n != 1 {
		t.Errorf("the ends of %d columns are told, want those of the one with numbers", n)
	}
	page = v.get("field?file=cut.geojson")
	for _, not := range []string{`id="holds"`, `href="#holds"`, `href="#rate"`} {
		if strings.Contains(page, not) {
			t.Errorf("the page of a file that can't be read has %s", not)
		}
	}
}

// Where no column can be the rate, the page says so and what to do, and asks for no choice.
func TestNoColumnCanBeTheRate(t *testing.T) {
	const words = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"RATE":"high","NOTE":"low"},"geometry":{"type":"Polygon","coordinates":[[[-93,41.5],[-92.99,41.5],[-92.99,41.51],[-93,41.51],[-93,41.5]]]}}]}`
	v := visit(t, map[string]string{"words.geojson": words})
	page := v.get("field?file=words.geojson")
	wants(t, page, "No column can be the dry rate", "None of them can be.", "Save the rate as numbers")
	for _, not := range []string{"Choose it.", "Take this as the rate", `name="rate-field"`} {
		if strings.Contains(page, not) {
			t.Errorf("the page says %q", not)
		}
	}
}

// A layer's figures have the digits of its plan's units.
func TestLayerInItsUnits(t *testing.T) {
	liquid := write.LayerTotals{Product: string(rx.Liquid), RateMin: 2192.4, RateMax: 2192.4, Area: 1090.254}
	dry := write.LayerTotals{RateMin: 106.54, RateMax: 330, Area: 9.5}
	for _, c := range []struct {
		totals        write.LayerTotals
		units         map[string]string
		rates, ground string
	}{
		{liquid, map[string]string{"area": "ha", "stabilizer_rate": "mL/ha"}, "2,192 mL/ha", "1,090.25 ha"},
		{liquid, map[string]string{"area": "ac", "stabilizer_rate": "fl oz/ac"}, "2192.4 fl oz/ac", "1,090.25 ac"},
		{dry, map[string]string{"area": "ha", "dry_rate": "kg/ha"}, "106.5 to 330 kg/ha", "9.50 ha"},
		{dry, map[string]string{"area": "ac", "dry_rate": "lb/ac"}, "106.5 to 330 lb/ac", "9.50 ac"},
	} {
		if got := layerOf(c.totals, c.units); got.Rates != c.rates || got.Ground != c.ground {
			t.Errorf("%v: %q on %q, want %q on %q", c.units, got.Rates, got.Ground, c.rates, c.ground)
		}
	}
}

// What is asked for and is not there, or is no longer what it was, is told wherever it is met, and
// nothing of it is shown or sent.
func TestWhatIsNotAsItWas(t *testing.T) {
	v := visit(t, map[string]string{"odd/plan.json": "{}", "not.yaml": "- a\n- b\n"})
	v.atEachStep(func(_ context.Context, step app.Step) {
		if stages[step.Stage] == "" {
			t.Errorf("no page says what the stage %q is", step.Stage)
		}
	})
	v.answers(
		odd{"?label=../label.yaml", 400, "is no name of something in this folder"},
		odd{"field?file=gone.zip", 400, "gone.zip: is not in the folder"},
		odd{"POST label?file=gone.yaml&was=x", 422, "gone.yaml: is not in the folder"},
		odd{"", 200, "not.yaml: neither a label profile nor a job file that can be read"},
		odd{"", 200, "plan.json: "},
		odd{"plan?dir=odd", 200, "plan.json"},
		odd{"show/odd/zones.csv", 404, "plan.json"},
		odd{"zip?dir=odd", 404, "plan.json"},
		odd{"POST verify?dir=odd", 409, "plan.json"},
		odd{"POST approve?dir=odd&by=x", 409, "plan.json"},
		odd{"POST verify?dir=none", 409, "none: is not in the folder"},
		odd{"POST approve?dir=none&by=x", 409, "none: is not in the folder"},
	)
	v.post("demo", url.Values{})
	v.post("split", url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "way": {"wet-boom"}, "out": {"one"}})
	v.answers(
		odd{"field?file=field.zip&job=not.yaml", 400, "not.yaml"},
		odd{"FILL approve plan?dir=one by=A. Nobody (invented)", 200, "Approved by A. Nobody (invented)"},
	)
	change := func(name, from, to string) {
		text, err := os.ReadFile(name)
		changed := strings.Replace(string(text), from, to, 1)
		if err != nil || changed == string(text) {
			t.Fatalf("%s can't be changed: %v", name, err)
		}
		os.WriteFile(name, []byte(changed), 0o666)
	}
	change("one/approval.json", "A. Nobody", "B. Nobody")
	change("one/zones.csv", "1", "2")
	v.answers(
		odd{"plan?dir=one", 200, "approval.json"},
		odd{"POST verify?dir=one", 200, "zones.csv: was changed since it was written"},
		odd{"show/one/zones.csv", 200, ""}, // as it is: a proof says what is wrong with it
	)
	if page := v.get("plan?dir=one"); strings.Contains(page, "Approved by") {
		t.Error("an approval that was changed counts")
	}
	os.Remove("one/zones.csv")
	v.answers(
		odd{"show/one/zones.csv", 404, "zones.csv: is not in the folder"},
		odd{"zip?dir=one", 404, "zones.csv: is not in the folder"},
	)
	os.Rename("field.zip", "other.zip")
	v.answers(
		odd{"POST verify?dir=one", 409, "its prescription field.zip does not lie in this folder"},
		odd{"POST approve?dir=one&by=x", 409, "copy it to where it was when the plan was written: field.zip"},
	)
}

// A file that does not come whole, and a folder that takes none, leave nothing behind and say so; two
// prescriptions at once lead to the folder.
func TestWhatCantBeCopied(t *testing.T) {
	v := visit(t, nil)
	if r := v.dropped("a.geojson", "b.geojson"); r.Request.URL.Path != v.server.prefix {
		t.Errorf("two prescriptions lead to %s", r.Request.URL)
	}
	for err, says := range map[error]string{&http.MaxBytesError{}: "more than can be copied at once", errors.New("torn"): "it was not copied, and nothing of it was kept: torn"} {
		got := v.server.folder.add("c.geojson", io.MultiReader(strings.NewReader("half"), iotest.ErrReader(err)))
		if got == nil || !strings.Contains(got.Error(), says) {
			t.Errorf("%v: %v", err, got)
		}
	}
	if left, _ := filepath.Glob("*c.geojson*"); len(left) > 0 {
		t.Errorf("%v is left", left)
	}
	wd, _ := os.Getwd()
	os.RemoveAll(wd)
	for _, request := range []string{"POST demo", "FILL label label file=own.yaml&name=x&rate.min=3&rate.min unit=fl oz/ac&rate.max=3&rate.max unit=fl oz/ac"} {
		if status, _, body := v.asks(request); status < 400 || !strings.Contains(body, "it was not copied") {
			t.Errorf("%s: status %d: %s", request, status, between(body, "<main", "</main>"))
		}
	}
	v.server.folder.root.Close()
	v.answers(odd{"", 500, "the folder can't be read"}, odd{"field?file=a.geojson", 500, "the folder can't be read"})
	if !v.server.folder.has("none") {
		t.Error("in a folder that can't be read a name is free")
	}
}

// One job that names no label is joined by the one label of the folder.
func TestTheOnlyLabelJoinsTheOnlyJob(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns, "label.yaml": ownLabel, "job.yaml": "rate-field: [N_RATE]\nrate-unit: lb/ac\n"})
	page := v.get("field?file=two.geojson")
	chosen(t, page, "job.yaml", true)
	chosen(t, page, "label.yaml", true)
	wants(t, page, "As one impregnated blend")
}

// Of a folder with more than is looked through, that is said.
func TestLargeFolder(t *testing.T) {
	v := visit(t, nil)
	for i := range mostEntries {
		os.Link(ClaimName, filepath.Join(".", "x"+strings.Repeat("0", i%50)+string(rune('A'+i/50))))
	}
	const cut = "The folder holds more files than are looked through."
	if page := v.get(""); strings.Contains(page, cut) {
		t.Error("as many as are looked through are too many")
	}
	os.WriteFile("one.txt", nil, 0o666)
	wants(t, v.get(""), cut)
}

// Zones that are drawn as one tell their number, their ground and their verdict.
func TestManyZonesInOneTip(t *testing.T) {
	const acre = unit.Acre
	r := report.Result{Units: unit.US, Prescription: &rx.Prescription{Zones: []rx.Zone{{Area: 1 * acre}, {Area: 2 * acre}, {Area: 4 * acre}}},
		Assessment: &rx.Assessment{Graded: rx.Graded{Verdicts: []rx.Verdict{rx.Within, rx.Above, rx.Above}}}}
	if got, want := zonesText(r, figures.In(unit.US), []int{1, 2}, "with the rate 300"), "2 zones with the rate 300: 6.00 ac, "+report.VerdictText(rx.Above); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A column of tons below 1 has as many colors as one of pounds: 0.2 to 0.8 t/ha are 250 to 1000 of its highest, in steps of 200.
func TestMapOfSmallNumbers(t *testing.T) {
	shapes := &geo.Shapes{}
	for i := range 5 {
		shapes.Append(orb.MultiPolygon{orb.Bound{Min: orb.Point{-90 + float64(i)*0.001, 47}, Max: orb.Point{-89.999 + float64(i)*0.001, 47.001}}.ToPolygon()})
	}
	ground := svg.Ground{Shapes: shapes, Zones: 5, Record: func(zone int) int { return zone }}
	for _, c := range []struct {
		low, high float64
		values    []float64
		colors    int
		says      string
	}{
		{0.2, 0.8, []float64{0.2, 0.35, 0.5, 0.7, 0.8}, 5, "Map of T, north up, from 0.2 (light) to 0.8 (dark)."},
		{200, 800, []float64{200, 350, 500, 700, 800}, 5, "from 200 (light) to 800 (dark)."},
		{0, 800, []float64{0, 200, 800, 800, 0}, 3, ""}, {-5, 800, []float64{-5, 400, 800, 390, 0}, 3, ""},
		{0, 0, []float64{0, 0, 0, 0, 0}, 1, ""},
	} {
		d := numbersMap(ground, c.values, read.FieldRange{Field: geo.Field{Name: "T"}, Min: c.low, Max: c.high})
		if got := strings.Count(string(d.Body), "<path "); got != c.colors || !strings.Contains(d.Desc, c.says) {
			t.Errorf("%v: %d colors, %s", c.values, got, d.Desc)
		}
	}
	ground.Zones = mostDrawn + 1
	if numbersMap(ground, nil, read.FieldRange{}) != nil {
		t.Error("a map of too many records is drawn")
	}
}

// What several columns say of their unit counts where they agree; that they count N, where all do.
func TestWhatColumnsSay(t *testing.T) {
	kg, n, lb, other := column{Chosen: true, Unit: "kg/ha"}, column{Chosen: true, Unit: "kg/ha", OfN: true}, column{Chosen: true, Unit: "lb/ac", OfN: true}, column{Unit: "lb/ac"}
	for _, c := range []struct {
		columns []column
		unit    string
		ofN     bool
	}{
		{nil, "", false}, {[]column{other}, "", false}, {[]column{other, n}, "kg/ha", true}, {[]column{n, kg}, "kg/ha", false},
		{[]column{kg, n}, "kg/ha", false}, {[]column{n, lb}, "", true}, {[]column{lb, n, n}, "", true},
	} {
		if unit, ofN := statedOf(c.columns); unit != c.unit || ofN != c.ofN {
			t.Errorf("%v say %q, of N %t", c.columns, unit, ofN)
		}
	}
}

// The page of a plan tells what matters to whoever works from it, once each, and of a doubt
// with what it was answered: no mere notes, nothing that the plan mends.
func TestPlanTellsWhatWasFound(t *testing.T) {
	m := &write.Manifest{
		Findings: []byte(`[
			{"rule": "window", "severity": "warning", "text": "narrow", "hint": "mind it", "plan": true},
			{"rule": "window", "severity": "warning", "text": "narrow", "hint": "mind it", "plan": true},
			{"rule": "width", "severity": "note", "text": "merely a note", "plan": true},
			{"rule": "low", "severity": "problem", "text": "mended by the plan"},
			{"rule": "rate-unit", "severity": "warning", "text": "another unit", "doubt": true, "plan": true},
			{"rule": "rate-tenfold", "severity": "warning", "text": "ten times", "doubt": true, "plan": true},
			{"rule": "order", "severity": "warning", "text": "as ordered", "plan": true}]`),
		Accepted: []write.Accepted{{Rule: "rate-unit", Reason: "all fields are"}, {Rule: "order", Reason: "no doubt"}},
	}
	want := []found{
		{Severity: "warning", Text: "narrow", Hint: "mind it"},
		{Severity: "accepted", Text: "another unit", Reason: "all fields are"},
		{Severity: "warning", Text: "ten times"},
		{Severity: "warning", Text: "as ordered"},
	}
	if got := foundIn(m); !slices.Equal(got, want) {
		t.Errorf("got %+v", got)
	}
}
