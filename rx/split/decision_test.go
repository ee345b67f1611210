package split_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/tell"
)

// decided returns the decision about grounds at a loading, and what is said of it.
func decided(t *testing.T, job string, loading unit.Loading, grounds ...rxtest.Ground) (rx.Decision, string) {
	t.Helper()
	p := rxtest.Plain(grounds...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.RateError, terms.Loading = 5*unit.Percent, loading
	if job != "" {
		var err error
		if terms.Job, err = equip.ParseJob("job.yaml", []byte(job)); err != nil {
			t.Fatal(err)
		}
	}
	a := rxtest.Grade(t, p, terms)
	d := rx.Decide(p, a, split.For(p, a, nil).Ways())
	said := tell.Text(d.Blend, unit.US)
	if d.Way != nil {
		said += " " + tell.Text(*d.Way, unit.US)
	}
	return d, said
}

const nitrate = "blend: [{name: ammonium nitrate, grade: 34-0-0, share: 100 %}]\n"

// The cases of a blend of 60 ac at 100 and 40 ac at 180 lb/ac, by hand: at A fl oz/ton
// they get A/20 and 9A/100 of 20 to 40 fl oz/ac.
func TestDecisionsOfABlend(t *testing.T) {
	low, high := rxtest.Ground{Acres: 60, Rate: 100}, rxtest.Ground{Acres: 40, Rate: 180}
	for _, c := range []struct {
		name       string
		job        string
		loading    unit.Loading
		low, high  rxtest.Ground
		impregnate bool
		room       float64
		says       string
	}{
		{"on label with room", "", 422, low, high, true, 1 - 20/21.1, "This can be impregnated as one blend at 422 fl oz/ton: all 100.00 ac treated would be inside the label's rate range, 20 to 40 fl oz/ac"},
		{"tight", "", 440, low, high, false, 40/39.6 - 1, "only if rates hold within 1 %: at 440 fl oz/ton all 100.00 ac treated would be inside the label's rate range, 20 to 40 fl oz/ac, but 40.00 ac leave it at rates off by 5 %"},
		{"below", "", 390, low, high, false, 0, "Do not impregnate this as one blend at 390 fl oz/ton: 60.00 ac of 100.00 ac treated would be off label, all below 20 to 40 fl oz/ac."},
		{"both", "", 400, rxtest.Ground{Acres: 60, Rate: 90}, rxtest.Ground{Acres: 40, Rate: 210}, false, 0, "all 100.00 ac treated would be off label: 60.00 ac below, 40.00 ac above 20 to 40 fl oz/ac."},
		{"refused", nitrate, 424, low, high, false, 40/38.16 - 1, "Do not impregnate this as one blend: "},
		{"nothing", "", 0, rxtest.Ground{Acres: 60}, rxtest.Ground{Acres: 40}, false, 0, "Nothing is to be treated"},
	} {
		d, said := decided(t, c.job, c.loading, c.low, c.high)
		if off := float64(d.Room) - c.room; d.Impregnate != c.impregnate || off > 1e-9 || off < -1e-9 || !strings.Contains(said, c.says) {
			t.Errorf("%s: impregnate %v, room %v, said %q", c.name, d.Impregnate, d.Room, said)
		}
	}
}

// With 55 of 80 fl oz/ac applied, 25 of the 30 intended are left: 60 ac at 150 and 40 ac at 180 lb/ac get
// 27.8 and 33.3 as one blend, inside 20 to 40, so that all of it is off by the season alone.
func TestDecisionOffBySeasonAlone(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 150}, rxtest.Ground{Acres: 40, Rate: 180})
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	for applied, want := range map[unit.LiquidRate]string{
		55: "all 100.00 ac treated would be off label: with what is applied already they would pass the season maximum. The season leaves 25 fl oz/ac of the 30 fl oz/ac intended: a lower rate may open more ways. At 277.7 fl oz/ton every treated acre would stay on label.",
		49: "40.00 ac of 100.00 ac treated would be off label: with what is applied already they would pass the season maximum. At 344.4 fl oz/ton every treated acre would stay on label.",
	} {
		terms.AlreadyApplied = applied
		a := rxtest.Grade(t, p, terms)
		said := tell.Text(rx.Decide(p, a, split.For(p, a, nil).Ways()).Blend, unit.US)
		if _, got, _ := strings.Cut(said, "fl oz/ton: "); got != want {
			t.Errorf("%v applied: got %q, want %q", float64(applied), got, want)
		}
	}
}

// What a way does to the field is told of it: whose rates change, by how much, and what
// stays without stabilizer. Raising 60 ac from 100 to 110 lb/ac is less than lowering 40 ac
// from 220 to 200.
func TestDecisionsOfWays(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 100}, rxtest.Ground{Acres: 40, Rate: 220}, rxtest.Ground{Acres: 5, Rate: 0})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.LeaveOff = true
	a := rxtest.Grade(t, p, terms)
	want := map[rx.WayName]string{
		rx.WetBoom: "Release it by wet boom: 30 fl oz/ac on 100.00 ac, conditional.",
		rx.OneLoad: "40.00 ac in zone 2 stay without stabilizer; needs the agronomist's yes.",
		rx.Refit:   "Changes the prescription in 1 zone, 60.00 ac: 600 lb added; needs the agronomist's yes.",
	}
	for _, w := range split.For(p, a, nil).Ways() {
		if said := tell.Text(rx.DecisionOf(p, w), unit.US); !strings.Contains(said, want[w.Name]) {
			t.Errorf("%s: %q does not say %q", w.Name, said, want[w.Name])
		}
	}
}

// A rate that nobody gave is told as assumed, by every way; one that was given is not.
func TestAssumedRateIsTold(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 150}, rxtest.Ground{Acres: 40, Rate: 200})
	const words = "Nobody gave a stabilizer rate: 30 fl oz/ac, the middle of the label's range, is assumed."
	for _, assumed := range []bool{true, false} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.IntendedAssumed = assumed
		for _, w := range split.For(p, rxtest.Grade(t, p, terms), nil).Ways() {
			if said := tell.Text(rx.DecisionOf(p, w), unit.US); strings.Contains(said, words) != assumed {
				t.Errorf("%s, assumed %v: %s", w.Name, assumed, said)
			}
		}
	}
}

// Where the spreader can deliver nothing, the decision says so; a part is told in acres.
func TestNothingDelivered(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 150}, rxtest.Ground{Acres: 40, Rate: 200}, rxtest.Ground{Acres: 5, Rate: 0})
	for least, words := range map[int]string{201: "(but the spreader cannot deliver the dry of any of it)", 151: "(but the spreader cannot deliver the dry of 60.00 ac)", 150: "conditional."} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Job = job(t, fmt.Sprintf("spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}, rates: {min: %d lb/ac, max: 500 lb/ac}}\n", least))
		w := wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.WetBoom)
		if said := tell.Text(rx.DecisionOf(p, w), unit.US); !strings.Contains(said, words) {
			t.Errorf("no less than %d lb/ac: %s", least, said)
		}
	}
}

// A rate that misses the spreader's limit by its rounding is spread: 300.1 - 270.1 lb/ac of
// a top-up, and what kg/ha with two decimals make of 30 and 60 lb/ac. By hand: 33.62 and
// 67.25 kg/ha are 29.995 and 59.999 lb/ac, 33.5 are 29.89.
func TestRoundedRatesAreDelivered(t *testing.T) {
	const kgHa = 1 / 1.12085116 // lb/ac, of NIST SP 811's pound and acre
	for _, c := range []struct {
		low, high unit.DryRate
		missed    bool
	}{{270.1, 300.1, false}, {200, 200 + 33.62*kgHa, false}, {200, 200 + 33.5*kgHa, true}} {
		p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: c.low}, rxtest.Ground{Acres: 40, Rate: c.high})
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Job = job(t, "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}, rates: {min: 30 lb/ac, max: 500 lb/ac}, bins: 2}\n")
		got := plan(t, p, rxtest.Grade(t, p, terms), rx.Base)
		told := slices.ContainsFunc(got.Findings, func(f rx.Finding) bool {
			return f.Rule() == "layer-spreader-limits" && f.Area == 40
		})
		if missed := got.Way.Undeliverable > 0; missed != c.missed || told != c.missed {
			t.Errorf("a top-up of %v lb/ac: %v, %.2f ac undelivered, told of its layer: %v", c.high-c.low, got.Way.State, got.Way.Undeliverable, told)
		}
	}
}

// The blend is impregnated as one only if every liquid on it stays on its label with room.
// By hand: 422 fl oz/ton of stabilizer have 5.2 % of room on 100 to 180 lb/ac; 50 fl
// oz/ton of the other are 2.5 to 4.5 fl oz/ac.
func TestDecisionOfTwoLiquids(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 100}, rxtest.Ground{Acres: 40, Rate: 180})
	for _, c := range []struct {
		label      string
		impregnate bool
		room       float64
		says       string
	}{
		{"{min: 2 fl oz/ac, max: 5 fl oz/ac}", true, 1 - 20/21.1, "one blend at 422 fl oz/ton: all 100.00 ac treated would be"},
		{"{min: 2 fl oz/ac, max: 4.6 fl oz/ac}", false, 4.6/4.5 - 1, "only if rates hold within 2.2 %: at 422 fl oz/ton all 100.00 ac treated would be inside the label's rate range, 20 to 40 fl oz/ac, but 40.00 ac leave it at rates off by 5 %"},
		{"{min: 2 fl oz/ac, max: 4 fl oz/ac}", false, 0, "40.00 ac where a further liquid alone is off its own label"},
		{"", false, 1 - 20/21.1, "at 422 fl oz/ton, if the label of another allows it, as none is given: all 100.00 ac"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.RateError, terms.Loading, terms.Further = 5*unit.Percent, 422, rxtest.Further(50)
		if c.label != "" {
			terms.Further[0].Label = rxtest.Profile(t, "name: x\nrate: "+c.label+"\n")
		}
		a := rxtest.Grade(t, p, terms)
		d := rx.Decide(p, a, split.For(p, a, nil).Ways())
		if said := tell.Text(d.Blend, unit.US); d.Impregnate != c.impregnate || !same(float64(d.Room), c.room) || !strings.Contains(said, c.says) {
			t.Errorf("%s: impregnate %v, room %v, said %q", c.label, d.Impregnate, d.Room, said)
		}
	}
}

// Where no rate has to change, no headline says that rates were changed.
func TestTitleOfARefitThatChangesNothing(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 120}, rxtest.Ground{Acres: 40, Rate: 180})
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "")))
	w := plan(t, p, a, rx.Refit).Way
	if said := tell.Text(rx.DecisionOf(p, w), unit.US); !strings.HasPrefix(said, "Release it by one load: ") {
		t.Error(said)
	}
}

// Where the season leaves 19 of at least 20 fl oz/ac, no way is possible for that one reason. With 50 of
// 80 applied, 30 is the most: off by 5 % it would pass, and 30/1.05 = 28.57, down to a tenth, would not.
func TestDecisionWhereTheSeasonIsShort(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 60, Rate: 100}, rxtest.Ground{Acres: 40, Rate: 180})
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	terms.RateError = 5 * unit.Percent
	for applied, want := range map[unit.LiquidRate]string{
		61: "No way to release it is possible: the season leaves 19 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 80 fl oz/ac, 61 fl oz/ac already applied).",
		50: "rates are exact, as any error leaves the label: 28.5 fl oz/ac would leave room",
	} {
		terms.AlreadyApplied = applied
		a := rxtest.Grade(t, p, terms)
		ways := split.For(p, a, nil).Ways()
		said := tell.Text(*rx.Decide(p, a, ways).Way, unit.US)
		for _, w := range ways {
			for _, c := range w.Conditions {
				said += "; " + tell.Text(c, unit.US)
			}
			if applied == 61 && w.Possible() {
				t.Errorf("%s is possible", w.Name)
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("%v applied: %q lacks %q", float64(applied), said, want)
		}
	}
}
