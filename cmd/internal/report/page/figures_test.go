package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/internal/oracle/browser"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// seen is a figure of a page: its name in JSON, its value with all digits, and what
// people read.
type seen struct{ Key, Value, Text string }

func TestPageFiguresAreThoseOfJSON(t *testing.T) {
	metric := reporttest.Plan(t, reporttest.Contours(t), rx.Refit)
	metric.Units = unit.Metric
	for name, r := range map[string]report.Result{
		"check": reporttest.Plan(t, reporttest.Grid(t, 2500, 12), ""), "wet-boom": reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom),
		"loads": reporttest.Plan(t, reporttest.Contours(t), rx.Loads), "base": reporttest.Plan(t, reporttest.Contours(t), rx.Base), "refit": metric,
	} {
		t.Run(name, func(t *testing.T) {
			list := figuresIn(pageOf(t, r))
			compareFigures(t, list, figuresOf(t, r))
		})
	}
}

func showsFigures(t *testing.T, tab context.Context) {
	r := reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom)
	browser.Do(t, tab, chromedp.Navigate(onDisk(t, pageOf(t, r))))
	list := browser.Evaluate[[]seen](t, tab, `[...document.querySelectorAll("[data-key]")].map(e => ({Key: e.dataset.key, Value: e.dataset.value, Text: e.textContent}))`)
	compareFigures(t, list, figuresOf(t, r))

	tips := browser.Evaluate[map[string]string](t, tab, `Object.fromEntries([...document.querySelectorAll("#field [data-zone]")].map(e => [e.dataset.zone, e.querySelector("title").textContent]))`)
	rows := browser.Evaluate[map[string]string](t, tab, `Object.fromEntries([...document.querySelectorAll("#off-label ~ .scroll [data-zones]")].flatMap(e => e.dataset.zones.split(" ").map(z => [z, e.nextElementSibling.textContent.trim()])))`)
	off := 0
	for i, z := range r.Prescription.Zones {
		v, id := r.Assessment.Verdicts[i], strconv.Itoa(z.Number())
		if got := tips[id]; !strings.HasPrefix(got, "Zone "+id+": ") || !strings.Contains(got, ", "+report.VerdictText(v)+"; by the plan ") {
			t.Errorf("zone %s is %s, its tip says %q", id, v, got)
		}
		if v == rx.Below || v == rx.Above {
			off++
			if rows[id] != v.String() {
				t.Errorf("zone %s is %s, its row says %q", id, v, rows[id])
			}
		}
	}
	if off != len(rows) || off == 0 {
		t.Errorf("%d rows for %d off-label zones", len(rows), off)
	}
}

// figuresIn finds the figures of a page without a browser.
func figuresIn(page []byte) []seen {
	var list []seen
	for _, m := range regexp.MustCompile(`data-key="([^"]*)" data-value="([^"]*)"(?: data-label="[^"]*")?>(?:<svg.*?</svg> )?([^<]*)<`).FindAllSubmatch(page, -1) {
		list = append(list, seen{html.UnescapeString(string(m[1])), html.UnescapeString(string(m[2])), html.UnescapeString(string(m[3]))})
	}
	return list
}

// figuresOf lists what the JSON documents say: the check's, the plan's summary and
// layers as in the manifest, and the inputs.
func figuresOf(t *testing.T, r report.Result) map[string]any {
	t.Helper()
	var doc bytes.Buffer
	if err := data.Check(&doc, r); err != nil {
		t.Fatal(err)
	}
	want := map[string]any{}
	var check map[string]any
	if err := json.Unmarshal(doc.Bytes(), &check); err != nil {
		t.Fatal(err)
	}
	flatten(want, "", check, map[string]string{"ways": "way", "zones": "zone"})
	if r.Plan != nil {
		text, err := data.Way(r.Plan.Way, r.Units)
		if err != nil {
			t.Fatal(err)
		}
		flattenText(t, want, "summary.", text, nil)
		layers, err := json.Marshal(map[string]any{"layers": write.Totals(r.Prescription, r.Plan, r.Units)})
		if err != nil {
			t.Fatal(err)
		}
		flattenText(t, want, "", layers, map[string]string{"layers": "name"})
	}
	for _, in := range r.Origin.Inputs {
		want["inputs."+in.Name] = in.SHA256
	}
	return want
}

func flattenText(t *testing.T, into map[string]any, prefix string, text []byte, lists map[string]string) {
	t.Helper()
	var doc map[string]any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	flatten(into, prefix, doc, lists)
}

// flatten enters the members of an object by their path; those of lists by the
// member that names each.
func flatten(into map[string]any, prefix string, doc map[string]any, lists map[string]string) {
	for name, value := range doc {
		switch v := value.(type) {
		case map[string]any:
			flatten(into, prefix+name+".", v, lists)
		case []any:
			for i, item := range v {
				object, ok := item.(map[string]any)
				if key := fmt.Sprint(object[lists[name]]); ok && lists[name] != "" {
					flatten(into, prefix+name+"."+key+".", object, lists)
				} else if ok && name == "patches" { // which have no names
					flatten(into, fmt.Sprintf("%s%s.%d.", prefix, name, i+1), object, lists)
				}
			}
		default:
			into[prefix+name] = v
		}
	}
}

// compareFigures holds each figure against JSON, digit by digit, and what people
// read against the value, within its last digit.
func compareFigures(t *testing.T, list []seen, want map[string]any) {
	t.Helper()
	keys := map[string]bool{}
	for _, f := range list {
		keys[f.Key] = true
		w, ok := want[f.Key]
		switch w := w.(type) {
		case float64:
			if f.Value != strconv.FormatFloat(w, 'g', -1, 64) {
				t.Errorf("%s is %s on the page, %v in JSON", f.Key, f.Value, w)
			}
			if !reads(f.Text, w) {
				t.Errorf("%s reads %q on the page, %v in JSON", f.Key, f.Text, w)
			}
		case string:
			if f.Value != w || f.Text != w {
				t.Errorf("%s is %q on the page, %q in JSON", f.Key, f.Text, w)
			}
		default:
			t.Errorf("%s is on the page and not in JSON (%v)", f.Key, ok)
		}
	}
	for _, key := range []string{"area.total", "area.treated", "area.below", "area.within", "area.above", "dry.mass", "loading.value", "stabilizer.volume", "ways.wet-boom.off_label_area"} {
		if !keys[key] {
			t.Errorf("%s is not on the page", key)
		}
	}
}

// reads reports whether a text shows a value, rounded, perhaps in the larger unit.
func reads(text string, value float64) bool {
	m := regexp.MustCompile(`^\$?([0-9,]+)(\.[0-9]+)?( gal| L| t)?`).FindStringSubmatch(text)
	if m == nil {
		return false
	}
	per := map[string]float64{"": 1, " gal": 128, " L": 1000, " t": 1000}[m[3]]
	shown, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "")+m[2], 64)
	return err == nil && math.Abs(shown-value/per) <= 0.5000001*math.Pow(10, -float64(max(len(m[2])-1, 0)))
}
