package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

func TestPageIsTheSameEveryTime(t *testing.T) {
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads, rx.Base, rx.Refit} {
		first := pageOf(t, resultOf(t, contours(t), way))
		if second := pageOf(t, resultOf(t, contours(t), way)); !bytes.Equal(first, second) {
			t.Errorf("way %q: two pages of one result differ", way)
		}
	}
}

func TestPageNeedsNothingElse(t *testing.T) {
	page := pageOf(t, resultOf(t, contours(t), rx.WetBoom))
	for _, bad := range []string{"http:", "https:", "//cdn", "@import", "<link", " src=", "<img", "<iframe", "fetch("} {
		if bytes.Contains(page, []byte(bad)) {
			t.Errorf("the page has %q", bad)
		}
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllSubmatch(page, -1) {
		if ids[string(m[1])] {
			t.Errorf("id %q twice", m[1])
		}
		ids[string(m[1])] = true
	}
	links := regexp.MustCompile(` href="#([^"]*)"|url\(#([^)]*)\)`).FindAllSubmatch(page, -1)
	for _, m := range links {
		if name := string(m[1]) + string(m[2]); !ids[name] {
			t.Errorf("nothing has the id %q", name)
		}
	}
	if len(links) < 10 || bytes.Count(page, []byte(" href=")) != bytes.Count(page, []byte(` href="#`)) {
		t.Errorf("%d links inside the page, or some to elsewhere", len(links))
	}
}

// TestPageDrawingsAreWellFormed reads every SVG of several pages by the rules of
// XML, and wants a title and a description in each that is not hidden.
func TestPageDrawingsAreWellFormed(t *testing.T) {
	for name, r := range map[string]Result{
		"cells": resultOf(t, grid(t, 2500, 12), ""), "zones": resultOf(t, contours(t), rx.Loads), "odd": hostileResult(t),
	} {
		drawings := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAll(pageOf(t, r), -1)
		if len(drawings) < 10 {
			t.Fatalf("%s: only %d drawings", name, len(drawings))
		}
		for _, drawing := range drawings {
			dec := xml.NewDecoder(bytes.NewReader(drawing))
			for {
				if _, err := dec.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatalf("%s: %v in %.300s", name, err, drawing)
				}
			}
			hidden := bytes.Contains(drawing[:bytes.IndexByte(drawing, '>')], []byte(`aria-hidden="true"`))
			if !hidden && !regexp.MustCompile(`^<svg[^>]*aria-labelledby="[^"]+"[^>]*><title id=[^>]*>[^<]+</title><desc id=[^>]*>[^<]+</desc>`).Match(drawing) {
				t.Errorf("%s: no title or description in %.300s", name, drawing)
			}
		}
	}
}

// evil is what somebody may have named a thing.
const evil = `"><script>alert('x')</script><img src=x onerror=alert(1)>&amp;{{.}}` + "\u2028' onfocus=alert(2) x='"

// evilWords are what a finding says of materials.
type evilWords struct {
	Materials     []string
	Known, Remedy string
}

// hostileResult is a plan in which everything that users name is evil, and some
// words are long.
func hostileResult(t testing.TB) Result {
	t.Helper()
	r := resultOf(t, contours(t), rx.Loads)
	wide := strings.Repeat("W", 300)
	p := r.Prescription
	p.Source.Name, p.Source.Layer, p.Source.System = evil+wide+".geojson", evil, evil
	p.Fields[0].Name, p.Fields[0].Symbol = evil, evil
	label := *r.Assessment.Terms.Label
	label.Name, label.Registration, label.PPE = evil+wide, evil, []string{evil}
	r.Assessment.Terms.Label = &label
	job := *r.Assessment.Terms.Job
	job.Field, job.Customer = evil, evil+wide
	job.Blend[0].Name = evil
	r.Assessment.Terms.Job = &job
	f := rx.NewRule[evilWords]("compatible", rx.AboutFile, rx.EveryPlan).Find(rx.Error, evilWords{[]string{evil}, evil, evil + wide})
	f.Field, f.Zones = evil, []int{1, 2, 3}
	r.Findings = append(r.Findings, f)
	r.Assessment.Rules = append(r.Assessment.Rules, rx.RuleRun{Rule: evil, Why: evil})
	r.Origin.Version = evil
	r.Origin.Inputs[0].Name, r.Origin.Inputs[0].SHA256 = evil, evil
	r.Origin.Parameters = []byte(`{"rate_fields":["</td><script>alert(3)</script>"],"label":"a\n</pre><script>alert(4)</script>"}`)
	r.Plan.Layers[0].Name = "dry-1"
	r.Plan.Way.Why, r.Plan.Way.Needs = evil, []string{evil}
	for i := range r.Ways {
		r.Ways[i].Why = evil
	}
	r.Sheets = append(testSheets(), rx.Sheet{Title: evil, Kind: rx.SheetKind(evil), Layer: evil, Sections: []rx.Section{{
		Title: evil, Facts: []rx.Fact{{What: evil, Value: evil, Note: evil}}, Steps: []string{evil}, Notes: []string{evil}, Cautions: []string{evil}, Blanks: []string{evil},
		Tables: []rx.Table{{Title: evil, Head: []string{evil, evil}, Rows: [][]string{{evil, wide}}, Total: []string{evil, evil}}},
	}}})
	return r
}

func TestPageEscapesWhatUsersName(t *testing.T) {
	page := pageOf(t, hostileResult(t))
	if n := bytes.Count(page, []byte("<script")); n != 1 {
		t.Errorf("%d scripts, want the page's own", n)
	}
	for _, bad := range []string{"<img", "' onfocus=alert(2) x='", "</pre><script"} {
		if bytes.Contains(page, []byte(bad)) {
			t.Errorf("%q stands unescaped", bad)
		}
	}
	if !bytes.Contains(page, []byte("&lt;img src=x onerror=alert(1)&gt;&amp;amp;{{.}}")) {
		t.Error("the evil name is nowhere to be read as it is")
	}
}

func TestPageSpeaksOfTheLabelWithCare(t *testing.T) {
	all := ""
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads, rx.Base, rx.Refit} {
		all += strings.ToLower(string(pageOf(t, resultOf(t, contours(t), way))))
	}
	all += strings.ToLower(string(pageOf(t, resultOf(t, invent.FourZones(), ""))))
	for _, bad := range []string{"illegal", " legal ", "re-entry", "complian", "we guarantee"} {
		if at := strings.Index(all, bad); at >= 0 && !strings.Contains(all[at:at+20], "legal advice") {
			t.Errorf("the page says %q", all[max(at-30, 0):at+30])
		}
	}
	for _, good := range []string{"inside the label&#39;s rate range as prescribed", "restricted-entry interval", "read and follow the label in hand"} {
		if !strings.Contains(all, good) {
			t.Errorf("the page does not say %q", good)
		}
	}
}

func TestDecision(t *testing.T) {
	for _, test := range []struct {
		name    string
		grounds []rxtest.Ground
		way     rx.WayName
		want    string
	}{
		{"four zones", rxtest.FourGrounds(), "", "Impregnated in one load at 314.2 fl oz/ton, 55.00 of 160.00 treated ac would be off label: 40.00 ac below and 15.00 ac above the label's rate range."},
		{"all on label", []rxtest.Ground{{Acres: 10, Rate: 150}, {Acres: 10, Rate: 200}}, "", "Impregnated in one load at 342.9 fl oz/ton, all 20.00 treated ac would be inside the label's rate range as prescribed."},
		{"below alone", []rxtest.Ground{{Acres: 1, Rate: 100}, {Acres: 99, Rate: 200}}, "", "Impregnated in one load at 301.5 fl oz/ton, 1.00 of 100.00 treated ac would be off label: 1.00 ac below the label's rate range."},
		{"nothing to treat", []rxtest.Ground{{Acres: 10, Rate: 0}, {Acres: 5, Rate: nan()}}, "", "Nothing is to be treated: no zone has a dry rate above 0."},
		{"two loads", rxtest.FourGrounds(), rx.Loads, "Release it by 2 impregnated loads: 160.00 ac get 24.0 to 40.0 fl oz/ac of stabilizer, inside the label's rate range as prescribed; impregnated in one load instead, 55.00 of 160.00 treated ac would be off label: 40.00 ac below and 15.00 ac above the label's rate range."},
	} {
		r := resultFor(t, rxtest.Plain(test.grounds...), rxtest.Terms(rxtest.Label(t, "")), test.way)
		got := ""
		for _, c := range decision(r, quantities{r.Units}) {
			got += c.Text
		}
		if got != test.want {
			t.Errorf("%s:\n got %s\nwant %s", test.name, got, test.want)
		}
	}
}

func TestRatesShowTheirSide(t *testing.T) {
	label := rx.Range[unit.LiquidRate]{Min: 20, Max: 40}
	q := quantities{unit.US}
	for rate, want := range map[unit.LiquidRate]string{
		16: "16.0", 19.96: "19.96", 19.9996: "19.9996", 20: "20.0", 20.04: "20.0", 39.98: "40.0", 40: "40.0", 40.001: "40.001", 40.06: "40.1",
	} {
		if got := q.sideRate(rate, label); got != want {
			t.Errorf("%v reads %s, want %s", float64(rate), got, want)
		}
	}
}

// TestFactsReadWell: one rate is no range, and parameters are read as written.
func TestFactsReadWell(t *testing.T) {
	r := resultFor(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 150}), rxtest.Terms(rxtest.Label(t, "")), "")
	r.Origin.Parameters = []byte(`{"leave_off":true}`)
	r.Assessment.Stabilizer = rx.Range[unit.LiquidRate]{Min: 19.96, Max: 40}
	got := map[string]string{}
	for _, f := range append(facts(r, quantities{r.Units}), originOf(r).Facts...) {
		for _, c := range f.Value {
			got[f.What] += c.Text
		}
	}
	for what, want := range map[string]string{
		"Dry rate": "150 lb/ac, mean 150", "Leave off": "true",
	} {
		if got[what] != want {
			t.Errorf("%s: %q, want %q", what, got[what], want)
		}
	}
	if want := "19.96 to 40.0 fl oz/ac"; !strings.HasPrefix(got["Stabilizer then"], want) {
		t.Errorf("the stabilizer: %q, want %q", got["Stabilizer then"], want)
	}
	for m, want := range map[float64]string{0.004: "0.1", 0.5: "0.5", 2.01: "2.1", 3: "3"} {
		if got := trimMeters(m); got != want {
			t.Errorf("%g m reads %s, want %s", m, got, want)
		}
	}
}

func TestPageWithoutGround(t *testing.T) {
	for _, grounds := range [][]rxtest.Ground{nil, {{Acres: 1, Rate: nan()}}, {{Acres: 1, Rate: 0}}, rxtest.FourGrounds()} {
		r := resultFor(t, rxtest.Plain(grounds...), rxtest.Terms(rxtest.Label(t, "")), "")
		r.Prescription.LonLat.ShapeEnds = make([]int32, len(grounds))
		if page := pageOf(t, r); !bytes.HasSuffix(page, []byte("</html>\n")) {
			t.Errorf("%d zones without ground: the page ends on %.40q", len(grounds), page[max(len(page)-40, 0):])
		}
	}
}

func nan() unit.DryRate { return unit.DryRate(math.NaN()) }

// What is added to a finding's text is a sentence of its own, and adds what the text
// does not say.
func TestFindingsAreSentences(t *testing.T) {
	place := orb.Point{-90, 42}
	for _, c := range []struct {
		text  string
		field string
		place *orb.Point
		want  string
	}{
		{"taken as lb/ac of product", "RATE", nil, "Taken as lb/ac of product. Field RATE."},
		{"field RATE holds text.", "RATE", nil, "Field RATE holds text."},
		{"zones overlap", "", &place, "Zones overlap. At " + placeText(place) + "."},
		{"no area", "", nil, "No area"},
	} {
		f := rx.NewRule[evilWords]("compatible", rx.AboutFile, rx.EveryPlan).Find(rx.Note, evilWords{Known: c.text})
		f.Field, f.Place = c.field, c.place
		if got := findingRow(f, unit.US)[1].Text; got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
