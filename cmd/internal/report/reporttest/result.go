// Package reporttest makes results for tests of what shows them.
package reporttest

import (
	"encoding/json"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/geo/invent"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// Job is an invented plant: no real machine or price.
const Job = `
blend:
  - {name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}
blender: {batch: 3 ton, drum: 150 ft3, batch-time: 9 min}
boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["05"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}
prices: {stabilizer: 40 $/gal, dry-spreading: 7.50 $/ac, wet-boom: 4 $/ac, blending: 12 $/ton}
field: North ground (invented)
customer: Nobody (invented)
`

// Plan checks an invented layer and, unless way is empty, plans it.
func Plan(t testing.TB, l *invent.Layer, way rx.WayName) report.Result {
	t.Helper()
	job, err := equip.ParseJob("job.yaml", []byte(Job))
	if err != nil {
		t.Fatal(err)
	}
	terms := rxtest.Terms(rxtest.Label(t, "registered: yes\nregistration: \"00000-000\"\n"))
	terms.Job = job
	return PlanFor(t, rxtest.Read(t, l), terms, way)
}

// PlanFor checks a prescription on terms and, unless way is empty, plans it.
func PlanFor(t testing.TB, p *rx.Prescription, terms rx.Terms, way rx.WayName) report.Result {
	t.Helper()
	a := rxtest.Grade(t, p, terms)
	r := report.Result{Prescription: p, Assessment: a, Units: terms.Units, Ways: split.For(p, a, nil).Ways()}
	r.Findings = append(append(r.Findings, p.Findings...), a.Findings...)
	r.Origin = report.Origin{Version: "0.0.0", Parameters: json.RawMessage(`{"rate_fields":["DRY_LBAC"],"units":"us","label":"name: x\nrate: y\n"}`)}
	for _, f := range p.Source.Files {
		r.Origin.Inputs = append(r.Origin.Inputs, write.Input{Role: "prescription", Name: f.Name, SHA256: f.SHA256, Size: f.Size})
	}
	if way == "" {
		return r
	}
	plan, err := split.For(p, a, nil).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	r.Plan = plan
	r.Findings = append(r.Findings, plan.Findings...)
	r.Sheets = append([]rx.Sheet{sheet.Release(p, a, plan, r.Ways, nil)}, sheet.For(p, a, plan)...)
	return r
}

// Contours is the demo's field: some 60 zones with all verdicts but no-rate.
func Contours(t testing.TB) *invent.Layer {
	t.Helper()
	l, err := invent.Demo(4326)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// Grid is a field of cells, some of them without a rate, turned by an angle in degrees.
func Grid(t testing.TB, cells int, angle float64) *invent.Layer {
	t.Helper()
	l, err := invent.Grid(invent.GridOptions{Seed: 3, Cells: cells, Angle: angle, Nulls: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// evil is what somebody may have named a thing.
const evil = `"><script>alert('x')</script><img src=x onerror=alert(1)>&amp;{{.}}` + "\u2028' onfocus=alert(2) x='"

// evilWords are what a finding says of materials.
type evilWords struct {
	Materials     []string
	Known, Remedy string
}

// Hostile is a plan in which everything that users name is evil, and some
// words are long.
func Hostile(t testing.TB, way rx.WayName) report.Result {
	t.Helper()
	r := Plan(t, Contours(t), way)
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
	r.Plan.Way.Why, r.Plan.Way.Conditions = evil, []rx.Finding{f}
	for i := range r.Ways {
		r.Ways[i].Why = evil
	}
	r.Sheets = append(r.Sheets, rx.Sheet{Title: evil, Kind: rx.SheetKind(evil), Layer: evil, Sections: []rx.Section{{
		Title: evil, Facts: []rx.Fact{{What: evil, Value: evil, Note: evil}}, Steps: []string{evil}, Notes: []string{evil}, Cautions: []string{evil}, Blanks: []string{evil},
		Tables: []rx.Table{{Title: evil, Head: []string{evil, evil}, Rows: [][]string{{evil, wide}}, Total: []string{evil, evil}}},
	}}})
	return r
}
