package split_test

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// What the plant has fixed is taken by every way where it keeps all ground on label. At
// 250 fl oz/ton, 160 to 240 lb/ac get 20 to 30 of the label's 20 to 40 fl oz/ac.
func TestFixedLoadingIsTaken(t *testing.T) {
	p := rxtest.Plain(pairs(10, 160, 10, 200, 10, 240)...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 250
	for _, way := range []rx.WayName{rx.OneLoad, rx.Base, rx.Loads, rx.Refit} {
		got := plan(t, p, rxtest.Grade(t, p, terms), way)
		if w := got.Way; len(w.Loads) != 1 || w.Loads[0].Loading != 250 || w.DryAdded+w.DryRemoved != 0 {
			t.Errorf("%s: got %d loads at %v, %v added, %v removed", way, len(w.Loads), w.Loads[0].Loading, float64(w.DryAdded), float64(w.DryRemoved))
		}
		if f, told := changed(got); told {
			t.Errorf("%s: told of %q", way, said(f).Text)
		}
	}
}

// Of several loads, those keep the fixed loading that it serves: 320 fl oz/ton put 40
// fl oz/ac where 250 lb/ac are spread, but 16 where 100 are.
func TestFixedLoadingOfOneLoad(t *testing.T) {
	p := rxtest.Plain(pairs(10, 100, 10, 250)...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	got := plan(t, p, rxtest.Grade(t, p, terms), rx.Loads)
	if w := got.Way; len(w.Loads) != 2 || w.Loads[0].Loading == 320 || w.Loads[1].Loading != 320 {
		t.Errorf("got %v", w.Loads)
	}
	const want = "load 1 of this way doses at 600 fl oz/ton, not at the 320 fl oz/ton that the plant has fixed: that would put as little as 16 fl oz/ac where it spreads 100 lb/ac, less than the label's 20 fl oz/ac."
	if f, _ := changed(got); said(f).Text != want {
		t.Errorf("got %q, want %q", said(f).Text, want)
	}
}

// Where a way doses otherwise, the reason is the one that holds, by hand for 160 to 240
// lb/ac.
func TestWhyNotAsThePlantHasFixed(t *testing.T) {
	for _, c := range []struct {
		name, label string
		fixed       unit.Loading
		e           unit.Ratio
		applied     unit.LiquidRate
		why         string
	}{
		{"above", "", 350, 0, 0, "that would put up to 42 fl oz/ac where it spreads 240 lb/ac, more than the label's 40 fl oz/ac"},
		{"just above", "", 333.4, 0, 0, "up to 40.008 fl oz/ac where it spreads 240 lb/ac, more than the label's 40 fl oz/ac"},
		{"below", "", 200, 0, 0, "as little as 16 fl oz/ac where it spreads 160 lb/ac, less than the label's 20 fl oz/ac"},
		{"more than a ton takes up", "max-liquid: 280 fl oz/ton\n", 300, 0, 0, "that would load more than the label allows: a ton takes up 280 fl oz/ton at most"},
		{"outside the range per ton", "loading: {min: 100 fl oz/ton, max: 280 fl oz/ton}\n", 300, 0, 0, "that would load more than the label's most, 280 fl oz/ton"},
		{"no room for the spreader", "", 250, 5 * unit.Percent, 0, "on label as prescribed, that leaves no room for the spreader's rate error of 5 %"},
		{"too much for the season", "season-max: 60 fl oz/ac\n", 300, 0, 29, "up to 36 fl oz/ac where it spreads 240 lb/ac, more than the 31 fl oz/ac that the season maximum leaves"},
	} {
		p := rxtest.Plain(pairs(10, 160, 10, 200, 10, 240)...)
		terms := rxtest.Terms(rxtest.Label(t, c.label))
		terms.Loading, terms.RateError, terms.AlreadyApplied = c.fixed, c.e, c.applied
		a := rxtest.Grade(t, p, terms)
		for _, way := range []rx.WayName{rx.OneLoad, rx.Loads, rx.Refit} {
			got := plan(t, p, a, way)
			if f, _ := changed(got); !strings.HasSuffix(said(f).Text, c.why+".") {
				t.Errorf("%s, %s: got %q, want %q", c.name, way, said(f).Text, c.why)
			}
		}
	}
}

// changed returns what a plan says of another loading than the plant's.
func changed(p *rx.Plan) (rx.Finding, bool) {
	i := slices.IndexFunc(p.Findings, func(f rx.Finding) bool { return f.Rule() == "loading-changed" })
	if i < 0 {
		return rx.Finding{}, false
	}
	return p.Findings[i], true
}
