package split_test

import (
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// Every load's batches take their time: 6000 lb and 18 000 lb in batches of 3 tons.
func TestBatchesOfAllLoads(t *testing.T) {
	w := judged(t, pairs(60, 100, 60, 300), "blender: {batch: 3 ton, batch-time: 10 min}\n", unit.US, rx.Loads)
	if len(w.Loads) != 2 || w.Batches != 4 || w.Minutes != 40 {
		t.Errorf("%d loads, %d batches, %v minutes; want 2, 4 and 40", len(w.Loads), w.Batches, float64(w.Minutes))
	}
}

// N that a refit saves lowers its cost: 100 lb of urea are 46 lb of N.
func TestRemovedNIsSaved(t *testing.T) {
	const urea = "blend: [{name: urea, share: 100 %, grade: 46-0-0}]\n"
	for _, c := range []struct {
		name           string
		grounds        []rxtest.Ground
		added, removed float64
	}{
		{"removed", pairs(5, 100, 1, 300), 0, 46},
		{"added", pairs(1, 100, 5, 300), 23, 0},
		{"both", pairs(20, 100, 10, 400, 1, 150), 460, 460},
	} {
		w := judged(t, c.grounds, urea+priced, unit.US, rx.Refit)
		n, ok := item(w, "N added less N removed")
		if !ok || !w.NKnown {
			t.Fatalf("%s: N is not priced: %+v", c.name, w.Cost)
		}
		near(t, c.name+": added", float64(w.NAdded), c.added, 1e-9)
		near(t, c.name+": removed", float64(w.NRemoved), c.removed, 1e-9)
		near(t, c.name+": price", n.Amount, 0.6*(c.added-c.removed), 1e-9)
	}
}

// The N of fields that are one blend is the sum of theirs by weight: 80 % of 46-0-0 and
// 20 % of 21-0-0 have 41 %.
func TestNOfFields(t *testing.T) {
	p := products(t, "", []string{"UREA", "AMS"}, []float64{80, 20}, []float64{240, 60})
	p.Fields[0].Grade, p.Fields[1].Grade = "46-0-0", "21-0-0-24S"
	w := wayOf(split.For(p, rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, ""))), nil).Ways(), rx.Refit)
	if !w.NKnown || w.DryAdded+w.DryRemoved == 0 {
		t.Fatalf("N is not known, or nothing changes: %+v", w)
	}
	near(t, "N added", float64(w.NAdded), 0.41*float64(w.DryAdded), 1e-9)
	near(t, "N removed", float64(w.NRemoved), 0.41*float64(w.DryRemoved), 1e-9)

	p.Fields[1].Grade = ""
	w = wayOf(split.For(p, rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, ""))), nil).Ways(), rx.Refit)
	if w.NKnown {
		t.Error("N is known though one field's grade is not")
	}
}

// A flat product that the label allows may be the base though the label forbids the
// carrier; no other way impregnates then.
func TestFlatBaseBesideAForbiddenCarrier(t *testing.T) {
	p := products(t, "UREA", []string{"UREA", "MAP"}, []float64{150, 120}, []float64{180, 120}, []float64{200, 120})
	terms := rxtest.Terms(rxtest.Label(t, "carriers: {allowed: [map], forbidden: [urea]}\n"))
	terms.Job = job(t, "blend:\n  - {name: urea, share: 60 %}\n  - {name: MAP, share: 40 %}\n")
	a := rxtest.Grade(t, p, terms)
	for _, w := range split.For(p, a, nil).Ways() {
		if want := w.Name == rx.Base || w.Name == rx.WetBoom; w.Possible() != want {
			t.Errorf("way %s: possible is %v, want %v (%s)", w.Name, w.Possible(), want, w.Why)
		}
	}
	conserves(t, p, plan(t, p, a, rx.Base))
}

// A plan that puts some ground on an end of the label says so, whichever end: at 320 fl
// oz/ton 125 lb/ac get 20 fl oz/ac, and 250 get 40.
func TestNoMarginAtEitherEnd(t *testing.T) {
	for _, c := range []struct {
		name    string
		grounds []rxtest.Ground
		want    bool
	}{
		{"inside", pairs(10, 130, 10, 240), false},
		{"at the least", pairs(10, 125, 10, 200), true},
		{"at the most", pairs(10, 180, 10, 250), true},
		{"at both", pairs(10, 125, 10, 250), true},
	} {
		p := rxtest.Plain(c.grounds...)
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Loading = 320
		found := false
		for _, f := range plan(t, p, rxtest.Grade(t, p, terms), rx.OneLoad).Findings {
			found = found || f.Rule() == "no-margin" && f.Severity == rx.Warning
		}
		if found != c.want {
			t.Errorf("%s: told is %v, want %v", c.name, found, c.want)
		}
	}
}

// What the boom puts down in all is the job's volume, else the least that the label
// allows, else unknown.
func TestMixRate(t *testing.T) {
	const volumes = "spray-volume: {min: 5 gal/ac, max: 20 gal/ac}\n"
	const boom = "boom: {width: 70 ft, spacing: 20 in, volume: 15 gal/ac, tank: 500 gal, nozzles: [\"04\"], pressure: {min: 15 psi, max: 60 psi}, speed: {low: 5 mph, usual: 6 mph, high: 7 mph}}\n"
	for _, c := range []struct {
		name, more, job string
		want            unit.LiquidRate
	}{
		{"nothing is known", "", "", 0},
		{"by the label", volumes, "", 5 * unit.GallonPerAcre},
		{"by the job", volumes, boom, 15 * unit.GallonPerAcre},
	} {
		p := rxtest.Read(t, rxtest.Strip(pairs(10, 150, 10, 300)...))
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		if c.job != "" {
			terms.Job = job(t, c.job)
		}
		got := plan(t, p, rxtest.Grade(t, p, terms), rx.WetBoom)
		near(t, c.name, float64(got.Layers[1].Mix), float64(c.want), 1e-12)
	}
}

// What stays untreated is spread in a pass of its own: 90 lb/ac is under the smallest
// impregnated rate here, and 100 to 200 take one load, 100 to 300 two.
func TestPassesWithZonesLeftOff(t *testing.T) {
	const least = "min-dry-rate: 100 lb/ac\n"
	for _, c := range []struct {
		name        string
		grounds     []rxtest.Ground
		way         rx.WayName
		loads, want int
	}{
		{"one load", pairs(10, 100, 10, 200), rx.OneLoad, 1, 1},
		{"one load and the rest", pairs(10, 90, 10, 100, 10, 200), rx.OneLoad, 1, 2},
		{"a load", pairs(10, 100, 10, 200), rx.Loads, 1, 1},
		{"a load and the rest", pairs(10, 90, 10, 100, 10, 200), rx.Loads, 1, 2},
		{"two loads", pairs(10, 100, 10, 300), rx.Loads, 2, 2},
		{"two loads and the rest", pairs(10, 90, 10, 100, 10, 300), rx.Loads, 2, 3},
	} {
		p := rxtest.Plain(c.grounds...)
		terms := rxtest.Terms(rxtest.Label(t, least))
		terms.LeaveOff = true
		got := plan(t, p, rxtest.Grade(t, p, terms), c.way)
		if len(got.Way.Loads) != c.loads || got.Way.Passes != c.want || len(got.Layers) != c.want {
			t.Errorf("%s: %d loads, %d passes, %d layers; want %d and %d", c.name, len(got.Way.Loads), got.Way.Passes, len(got.Layers), c.loads, c.want)
		}
	}
}
