package page

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

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

func TestPageIsTheSameEveryTime(t *testing.T) {
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads, rx.Base, rx.Refit} {
		first := pageOf(t, reporttest.Plan(t, reporttest.Contours(t), way))
		if second := pageOf(t, reporttest.Plan(t, reporttest.Contours(t), way)); !bytes.Equal(first, second) {
			t.Errorf("way %q: two pages of one result differ", way)
		}
	}
}

func TestPageNeedsNothingElse(t *testing.T) {
	page := pageOf(t, reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom))
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
	for name, r := range map[string]report.Result{
		"cells": reporttest.Plan(t, reporttest.Grid(t, joinedCells, 12), ""), "zones": reporttest.Plan(t, reporttest.Contours(t), rx.Loads), "odd": reporttest.Hostile(t, rx.Loads),
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

func TestPageEscapesWhatUsersName(t *testing.T) {
	page := pageOf(t, reporttest.Hostile(t, rx.Loads))
	if n := bytes.Count(page, []byte("<script")); n != 2 {
		t.Errorf("%d scripts, want the page's data and its own", n)
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
		all += strings.ToLower(string(pageOf(t, reporttest.Plan(t, reporttest.Contours(t), way))))
	}
	all += strings.ToLower(string(pageOf(t, reporttest.Plan(t, invent.FourZones(), ""))))
	for _, bad := range []string{"illegal", " legal ", "re-entry", "complian", "we guarantee"} {
		if at := strings.Index(all, bad); at >= 0 && !strings.Contains(all[at:at+20], "legal advice") {
			t.Errorf("the page says %q", all[max(at-30, 0):at+30])
		}
	}
	for _, good := range []string{"inside the label&#39;s rate range", "restricted-entry interval", "read and follow the label in hand"} {
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
		{"four zones", rxtest.FourGrounds(), "", "Do not impregnate this as one blend at 314.2 fl oz/ton: 55.00 ac of 160.00 ac treated would be off label: 40.00 ac below, 15.00 ac above 20 to 40 fl oz/ac. Release it by wet boom: 30 fl oz/ac on 160.00 ac, conditional."},
		{"all on label", []rxtest.Ground{{Acres: 10, Rate: 150}, {Acres: 10, Rate: 200}}, "", "This can be impregnated as one blend at 342.9 fl oz/ton: all 20.00 ac treated would be inside the label's rate range, 20 to 40 fl oz/ac, with room for rates off by 16.6 %. Release it by wet boom: 30 fl oz/ac on 20.00 ac, conditional."},
		{"below alone", []rxtest.Ground{{Acres: 1, Rate: 100}, {Acres: 99, Rate: 200}}, "", "Do not impregnate this as one blend at 301.5 fl oz/ton: 1.00 ac of 100.00 ac treated would be off label, all below 20 to 40 fl oz/ac. At 400 fl oz/ton every treated acre would stay on label. Release it by wet boom: 30 fl oz/ac on 100.00 ac, conditional."},
		{"nothing to treat", []rxtest.Ground{{Acres: 10, Rate: 0}, {Acres: 5, Rate: nan()}}, "", "Nothing is to be treated: no zone has a dry rate above 0."},
		{"two loads", rxtest.FourGrounds(), rx.Loads, "Release it by 2 impregnated loads: 24 to 40 fl oz/ac on 160.00 ac, conditional."},
		{"refit", rxtest.FourGrounds(), rx.Refit, "Release it by refitted dry rates: 20 to 40 fl oz/ac on 160.00 ac, conditional. Changes the prescription in 2 zones, 55.00 ac: 1,000 lb added, 750 lb removed; needs the agronomist's yes."},
	} {
		r := reporttest.PlanFor(t, rxtest.Plain(test.grounds...), rxtest.Terms(rxtest.Label(t, "")), test.way)
		if got := decision(r); got != test.want {
			t.Errorf("%s:\n got %s\nwant %s", test.name, got, test.want)
		}
	}
}

// TestFactsReadWell: one rate is no range, and parameters are read as written.
func TestFactsReadWell(t *testing.T) {
	r := reporttest.PlanFor(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 150}), rxtest.Terms(rxtest.Label(t, "")), "")
	r.Origin.Parameters = []byte(`{"leave_off":true}`)
	r.Assessment.Stabilizer = rx.Range[unit.LiquidRate]{Min: 19.96, Max: 40}
	got := map[string]string{}
	for _, f := range append(facts(r, figures.In(r.Units)), originOf(r).Facts...) {
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
		r := reporttest.PlanFor(t, rxtest.Plain(grounds...), rxtest.Terms(rxtest.Label(t, "")), "")
		r.Prescription.LonLat.ShapeEnds = make([]int32, len(grounds))
		if page := pageOf(t, r); !bytes.HasSuffix(page, []byte("</html>\n")) {
			t.Errorf("%d zones without ground: the page ends on %.40q", len(grounds), page[max(len(page)-40, 0):])
		}
	}
}

func nan() unit.DryRate { return unit.DryRate(math.NaN()) }

// sayings are what a finding says of materials.
type sayings struct {
	Materials     []string
	Known, Remedy string
}

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
		{"zones overlap", "", &place, "Zones overlap. At " + figures.Place(place) + "."},
		{"no area", "", nil, "No area"},
	} {
		f := rx.NewRule[sayings]("compatible", rx.AboutFile, rx.EveryPlan).Find(rx.Note, sayings{Known: c.text})
		f.Field, f.Place = c.field, c.place
		if got := findingRow(f, report.Result{})[1].Text; got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// pageOf prints a page.
func pageOf(t testing.TB, r report.Result) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, r); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// mostOf is what a page of so many cells may weigh, in bytes.
func mostOf(cells int) int {
	if cells <= 60 {
		return 400_000
	}
	return 1_000_000
}

func TestPageOfManyCellsIsSmall(t *testing.T) {
	check := func(what string, cells int, r report.Result) {
		page := pageOf(t, r)
		t.Logf("%s: %d bytes", what, len(page))
		if len(page) > mostOf(cells) {
			t.Errorf("%s: a page of %d bytes", what, len(page))
		}
	}
	check("60 zones", 60, reporttest.Plan(t, reporttest.Contours(t), rx.Loads))
	check("as many cells as are listed", mostZones, reporttest.Plan(t, reporttest.Grid(t, mostZones, 12), rx.Loads))
	unlike := reporttest.Plan(t, reporttest.Grid(t, mostZones, 12), rx.Loads)
	scatter(unlike.Prescription)
	unlike.Assessment = rxtest.Grade(t, unlike.Prescription, unlike.Assessment.Terms)
	check("as many, no two alike", mostZones, unlike)
	r := reporttest.Plan(t, reporttest.Grid(t, 4*mostZones, 12), "")
	check("smooth rates", 4*mostZones, r)
	scatter(r.Prescription)
	r.Assessment = rxtest.Grade(t, r.Prescription, r.Assessment.Terms)
	check("scattered rates", 4*mostZones, r)
	r = reporttest.Plan(t, reporttest.Grid(t, 16*mostZones, 12), "")
	scatter(r.Prescription)
	terms := r.Assessment.Terms
	terms.Label = rxtest.Label(t, "season-max: 80 fl oz/ac\n")
	for i := range r.Prescription.Zones {
		terms.Already = append(terms.Already, unit.LiquidRate(i*7907%r.Prescription.LonLat.Len())/1000)
		terms.AlreadyApplied = max(terms.AlreadyApplied, terms.Already[i])
	}
	r.Assessment = rxtest.Grade(t, r.Prescription, terms)
	check("each has had something else", 16*mostZones, r)
}

// scatter gives neighbors rates and sizes that have nothing to do with each other, so that
// hardly any can be joined.
func scatter(p *rx.Prescription) {
	for i := range p.Zones {
		rate := unit.DryRate(90 + i*7919%211)
		p.Zones[i].Dry, p.Zones[i].Carrier = rate, rate
		p.Zones[i].Area *= unit.Area(0.5 + float64(i*6271%97)/97) // for a map of sizes
	}
}

func BenchmarkPage(b *testing.B) {
	r := reporttest.Plan(b, reporttest.Grid(b, 100_000, 12), rx.Loads)
	b.ResetTimer()
	for b.Loop() {
		if err := Write(io.Discard, r); err != nil {
			b.Fatal(err)
		}
	}
}
