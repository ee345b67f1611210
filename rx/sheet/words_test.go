package sheet_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/invent"
	"rxsplit/geo/raster"
	"rxsplit/internal/oracle/kept"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

// odd is a plan that makes the sheets say what those of testdata don't.
type odd struct {
	label, job string
	field      *rx.Prescription // nil: four zones
	loading    unit.Loading
	change     func(a *rx.Assessment, plan *rx.Plan) // to what no plan should come to
}

func odds(t *testing.T) []odd {
	const boom = "boom: {width: 70 ft, spacing: 20 in, volume: 5 gal/ac, tank: 500 gal, nozzles: [\"03\"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}\n"
	but := func(text string, oldnew ...string) string { return strings.NewReplacer(oldnew...).Replace(text) }
	spreader := func(more string) string {
		return "spreader: {swath: 70 ft, speed: {low: 15 mph, usual: 15 mph, high: 15 mph}" + more + "}\n"
	}
	blend := func(one, other string) string {
		return "blend: [{name: " + one + ", share: 60 %, density: 50 lb/ft3}, {name: " + other + ", share: 40 %, density: 60 lb/ft3}]\n"
	}
	zones := func(acres unit.Area, rates ...unit.DryRate) *rx.Prescription {
		var grounds []rxtest.Ground
		for _, r := range rates {
			grounds = append(grounds, rxtest.Ground{Acres: acres, Rate: r})
		}
		return rxtest.Plain(grounds...)
	}
	var many []unit.DryRate
	for i := range 100 {
		many = append(many, unit.DryRate(60+4*i))
	}
	long := zones(20, 200, unit.DryRate(math.NaN()))
	long.Fields[0].Name = "A_LONG_RATE_NAME"
	const narrow, gaps = "{min: 28 psi, max: 33 psi}", "{min: 23 psi, max: 63 psi}"
	const spread = "{min: 20 psi, max: 70 psi}"
	return []odd{
		{label: bareLabel},
		{label: file(t, "label.yaml"), job: file(t, "job.yaml"), field: rxtest.Read(t, invent.FourZones())},
		{label: bareLabel + "registered: yes\n", job: but(boom, "03", "025") + "blender: {batch: 3 ton, drum: 150 ft3}\n"},
		{
			label: bareLabel + "registered: no\nbase: solvent\nmin-dry-rate: 90 lb/ac\nmax-liquid: 6 gal/ton\n",
			job:   but(boom, spread, narrow, "500", "5000") + blend("urea", "pelletized lime") + "blender: {batch: 300 lb, batch-time: 5 min}\n" + spreader(", truck: 24 ton, pan-test: {passes: overlapped, spacing: 25 ft, caught: [8, 10, 12]}"),
		},
		{
			label: bareLabel + "density: 9 lb/gal\nspray-volume: {min: 9 gal/ac, max: 20 gal/ac}\ncarriers: {allowed: [urea], forbidden: [ammonium nitrate]}\n",
			job:   but(boom, spread, gaps, "500", "5") + blend("urea", "potash") + "second-liquid: {name: another, loading: 64 fl oz/ton}\nprices: {stabilizer: 40 $/gal, second-liquid: 25 $/gal, crop: 180 $/t}\nblender: {batch: 4 ton, drum: 90 ft3}\n" + spreader(", truck: 1 ton, default-rate: 50 lb/ac, bins: 2"),
		},
		{label: bareLabel, job: blend("urea", "triple superphosphate") + "blend-tested: yes\n", field: zones(20, 200, 200, 60), loading: 320},
		{label: bareLabel, job: boom + blend("urea", "triple superphosphate")},
		{label: bareLabel, job: boom + blend("urea", "ammonium nitrate")},
		{label: bareLabel, job: boom, change: terminal(rx.TaskRequest{}, 300)},
		{label: bareLabel, job: boom, change: untreated},
		{label: bareLabel, change: func(a *rx.Assessment, _ *rx.Plan) {
			a.Terms.Job, a.Terms.LeftOver = &equip.Job{Run: "run 2"}, []unit.Loading{230 * unit.FluidOuncePerTon}
		}},
		{label: bareLabel, change: func(a *rx.Assessment, _ *rx.Plan) { a.Terms.Job = &equip.Job{Run: "run 2"} }},
		{label: bareLabel + "density: 9 lb/gal\n", job: blend("urea", "potash") + spreader(""), change: func(a *rx.Assessment, _ *rx.Plan) {
			a.Terms.Job.Run, a.Terms.LeftOver = equip.NoRun, []unit.Loading{230 * unit.FluidOuncePerTon}
		}},
		{label: bareLabel, job: spreader(""), change: func(a *rx.Assessment, _ *rx.Plan) { a.Terms.Job.Run = equip.NoRun }},
		{label: bareLabel, job: boom, change: terminal(rx.TaskRequest{Hold: true}, 400)},
		{label: bareLabel, field: long, loading: 298.5},
		{label: bareLabel, field: sideBySide()},
		{label: bareLabel, field: together()},
		{label: bareLabel + "ppe: [gloves]\nre-entry: 12 h\n", job: boom + "prices: {stabilizer: 40 $/gal}\nblender: {batch: 3 ton, drum: 150 ft3}\n" + others("ppe: [apron]\\nre-entry: 24 h", "")},
		{label: bareLabel + "ppe: [gloves]\nre-entry: 12 h\n", job: boom + others("ppe: [gloves, apron]\\nre-entry: 24 h\\ndensity: 10 lb/gal\\ndrying-agent: 1 lb/pt", `, label: "name: m\nrate: 6 fl oz/ac\nppe: [apron]\nre-entry: 2 h\nregistered: yes"`)},
		{
			label: bareLabel,
			job: "blend: [{name: urea, grade: 46-0-0, share: 100 %}]\nprices: {stabilizer: 1 $/gal, nitrogen: 9 $/lb, crop: 4 $/bu}\n" +
				spreader(", pan-test: {passes: single, spacing: 5 ft, caught: [9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1, 9, 1]}"),
			field: zones(20, append(slices.Repeat([]unit.DryRate{100}, 10), 1000)...),
		},
		{label: bareLabel, job: "prices: {stabilizer: 40 $/gal}\nblender: {batch: 3 ton}\n" + spreader(", pan-test: {passes: single, spacing: 40 ft, caught: [6, 6, 6]}"), field: zones(20, many...)},
		{label: bareLabel, field: zones(20, slices.Repeat([]unit.DryRate{100, 200, 300}, 50)...)},
		{
			label: bareLabel + "season-max: 80 fl oz/ac\n", job: boom + blend("urea", "potash") + "second-liquid: {name: another, loading: 64 fl oz/ton}\nprices: {stabilizer: 40 $/gal}\n",
			change: func(a *rx.Assessment, plan *rx.Plan) {
				a.Terms.AlreadyApplied = 500
				a.Terms.Job.Boom.Volume = 0.01
				a.Terms.Label = termsOf(t, bareLabel+"season-max: 80 fl oz/ac\ncarriers: {forbidden: [urea]}\n", "").Label
				f := rx.NewRule[rx.Nothing]("keep-out/of the liquid layer", rx.AboutPlan, rx.EveryPlan).Find(rx.Note, rx.Nothing{})
				f.Area = 3
				doubt := rx.NewRule[rx.Nothing]("row-order", rx.AboutFile, rx.EveryPlan).Find(rx.Error, rx.Nothing{})
				plan.Accepted = []rx.Accepted{{Finding: doubt, Reason: "sorted by hand"}}
				plan.KeepOut, plan.Findings = &f, append(plan.Findings, f)
				f.Severity = rx.Warning
				plan.Findings = append(plan.Findings, slices.Repeat([]rx.Finding{f}, 40)...) // more than the release card has room for
			},
		},
		{label: bareLabel, change: func(a *rx.Assessment, _ *rx.Plan) { a.Terms.Already = []unit.LiquidRate{0, 5, 0, 0} }},
	}
}

// untreated leaves a strip of a liquid layer out.
func untreated(_ *rx.Assessment, plan *rx.Plan) {
	ground := orb.Bound{Min: orb.Point{-90, 45}, Max: orb.Point{-89.999, 45.003}}.ToPolygon()
	plan.Strips = &rx.Strips{Azimuth: 12.5, Width: 70 * unit.Foot, Length: 600 * unit.Foot, Ends: 110 * unit.Foot, List: []rx.Strip{{Rep: 1, Pass: 8, Ground: ground}}}
}

// terminal adds task data of a grid with so many columns, of which a zone owns no cell, and
// of a field with many vertices.
func terminal(want rx.TaskRequest, columns int) func(*rx.Assessment, *rx.Plan) {
	return func(_ *rx.Assessment, plan *rx.Plan) {
		plan.TaskData = &rx.TaskData{
			Request: want, Cell: 5 * unit.Meter, Ground: orb.MultiPolygon{{make(orb.Ring, 50_000)}}, Kept: raster.Set{}, Strips: raster.Set{},
			Grid: raster.Grid{Columns: columns, Rows: 3},
			Tasks: []rx.TaskLayers{
				{Name: "dry", Products: []rx.TaskProduct{{Name: "Dry blend", Drawn: rx.Laid{Area: 5, Mass: 1000}}}},
				{Name: "liquid", Products: []rx.TaskProduct{{Name: "Liquid mix", Liquid: true, Avoids: true, None: []int{4}}}},
			},
		}
	}
}

// others are two further liquids, one on the blend with a label that says more, one in the
// boom's tank.
func others(label, ofBoom string) string {
	return `further-liquids: [{name: herbicide, rate: 4 fl oz/ac, label: "name: h\nrate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\nregistered: yes\n` + label + `"}, {name: micro, rate: 6 fl oz/ac, on: boom` + ofBoom + "}]\n"
}

// oddPlan is an odd plan by one way in one system of units, with its sheets.
type oddPlan struct {
	name, way string
	sheets    []rx.Sheet
}

var oddPlans []oddPlan // made once

// oddSheets makes the sheets of all odd plans, each way that is possible, in both units.
func oddSheets(t *testing.T) (all []rx.Sheet) {
	for _, o := range makeOdd(t) {
		all = append(all, o.sheets...)
	}
	return all
}

func makeOdd(t *testing.T) []oddPlan {
	if oddPlans != nil {
		return oddPlans
	}
	for i, o := range odds(t) {
		for _, w := range equip.Ways() {
			way := w.Name
			for _, s := range []unit.System{unit.US, unit.Metric} {
				p := o.field
				if p == nil {
					p = fourZones(t)
				} else if way == rx.WetBoom {
					continue // most have no outlines
				}
				terms := units(termsOf(t, o.label, o.job), s)
				terms.Loading, terms.LeaveOff = o.loading, way != rx.Refit
				a := rxtest.Grade(t, p, terms)
				plan, err := split.For(p, a, nil).Plan(way)
				if err != nil {
					continue // not every way can be gone
				}
				if o.change != nil {
					o.change(a, plan)
				}
				ways := split.For(p, a, nil).Ways()
				sheets := append(sheet.For(p, a, plan), sheet.Release(p, a, plan, ways, nil), sheet.Release(p, a, plan, ways, &rx.Approval{By: "A", License: "00", Note: "seen"}))
				oddPlans = append(oddPlans, oddPlan{fmt.Sprintf("plan %d", i+1), string(way) + " " + s.String(), sheets})
			}
		}
	}
	return oddPlans
}

// TestOddSheetsAreKept holds all that they print by digests, with those of a day.
func TestOddSheetsAreKept(t *testing.T) {
	const path = "testdata/odd.txt"
	dir, got := kept.Dir(t), map[string]string{}
	for _, o := range makeOdd(t) {
		got[o.name] += o.way + "\n  sheets " + kept.Lay(path, dir, []byte(dump(o.sheets))) + "\n"
	}
	got["day"] = "cards\n  sheets " + kept.Lay(path, dir, []byte(dump(day(t).List()))) + "\n"
	kept.Hold(t, path, dir, got, *update)
}

// plainText prints a section, a line a text.
func plainText(s rx.Section) string {
	var lines []string
	for _, f := range s.Facts {
		lines = append(lines, strings.TrimSuffix(f.What+" | "+f.Value+" | "+f.Note, " | "))
	}
	for _, list := range [][]string{s.Cautions, s.Steps, s.Notes, s.Blanks} {
		lines = append(lines, list...)
	}
	return strings.Join(lines, "\n")
}

// TestEveryWordIsPrinted makes sheets of many plans: every line of the files of words is
// printed on one of them.
func TestEveryWordIsPrinted(t *testing.T) {
	printed := map[string]map[string]bool{} // sections by kind of sheet: most stand on many
	for _, s := range append(oddSheets(t), day(t).List()...) {
		texts := printed[string(s.Kind)]
		if texts == nil {
			texts = map[string]bool{}
			printed[string(s.Kind)] = texts
		}
		if s.Card != nil {
			texts[plainText(rx.Section{Facts: []rx.Fact{s.Card.Dose}})] = true
		}
		for _, part := range s.Sections {
			texts[plainText(part)] = true
		}
	}
	for _, l := range sheet.WordLines() {
		found := false
		for kind, texts := range printed {
			if l.File == "shared" || l.File == kind {
				for text := range texts {
					found = found || l.Pattern.MatchString(text)
				}
			}
		}
		if !found {
			t.Errorf("%s.txt, %s: on no sheet: %s", l.File, l.Title, l.Pattern)
		}
	}
}
