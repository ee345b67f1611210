package split_test

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/tell"
)

// Rates of 127.5 and 255 lb/ac span the whole label: 2000·20/127.5 = 313.7254902 fl
// oz/ton alone serves both. By hand, 313.7 puts 313.7·127.5/2000 = 19.998 to 39.997 fl
// oz/ac on the ground, 0.0081 % below 20, and 313.8 puts 20.005 to 40.01, 0.024 % above
// 40. Nothing is rounded out of the label, and somebody is told.
func TestNoGraduationOnLabel(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 127.5}, rxtest.Ground{Acres: 10, Rate: 255})
	for _, way := range []rx.WayName{rx.OneLoad, rx.Loads, rx.Refit} {
		for units, words := range map[unit.System][]string{
			unit.US:     {"0.1 fl oz/ton apart: 313.7254902 fl oz/ton alone keeps every rate on label", "313.7 fl oz/ton puts 19.998 to 39.997 fl oz/ac on the ground, 0.0081 % below the label's least", "313.8 fl oz/ton puts 20.005 to 40.01 fl oz/ac on the ground, 0.024 % above its most"},
			unit.Metric: {"1 mL/t apart: 10227.21134 mL/t alone keeps", "10227 mL/t puts 1461.5 to 2923", "10228 mL/t puts 1461.7 to 2923.3 mL/ha on the ground, 0.0077 % above its most"},
		} {
			terms := rxtest.Terms(rxtest.Label(t, ""))
			terms.Units = units
			got := plan(t, p, rxtest.Grade(t, p, terms), way)
			i := slices.IndexFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == "loading-graduation" })
			if i < 0 || got.Findings[i].Severity != rx.Warning {
				t.Fatalf("%s: nobody is told: %+v", way, got.Findings)
			}
			for _, w := range words {
				if text := tell.Text(got.Findings[i], units); !strings.Contains(text, w) {
					t.Errorf("%s: %q is not in %s", way, w, text)
				}
			}
			if !strings.Contains(condition(got.Way, "not-metered"), "finer than a meter reads: ") || way != rx.Loads && !strings.Contains(got.Way.Why, "as a meter reads it (exactly ") {
				t.Errorf("%s: %s", way, got.Way.Why)
			}
			for _, s := range got.Stabilizer {
				if !(rx.Range[unit.LiquidRate]{Min: 20, Max: 40}).Contains(s) {
					t.Errorf("%s: %v is off label", way, s)
				}
			}
		}
	}
}

// With a rate error the band is narrower than the label, and the loading is one that a
// meter reads: 200 lb/ac and more than 1.818 times that, so that a refit spans all that
// 5 % leave of the label. What the meter takes of the room is told.
func TestRateErrorGivesWayToTheMeter(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 127}, rxtest.Ground{Acres: 9, Rate: 180}, rxtest.Ground{Acres: 10, Rate: 290})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.RateError = 0.05
	got := plan(t, p, rxtest.Grade(t, p, terms), rx.Refit)
	below, above := terms.Metered(got.Layers[0].Loading)
	if below != above {
		t.Errorf("%v is no graduation", float64(got.Layers[0].Loading))
	}
	i := slices.IndexFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == "loading-graduation" })
	if i < 0 || got.Findings[i].Severity != rx.Note || !strings.Contains(said(got.Findings[i]).Text, "which a meter reads") || !strings.Contains(said(got.Findings[i]).Text, "room for a rate error of 4.99 %, not of 5 %") {
		t.Errorf("got %+v", got.Findings)
	}
	for _, s := range got.Stabilizer {
		if s*(1-0.049) < 20 || s*(1+0.049) > 40 {
			t.Errorf("%v leaves the label with an error of 4.9 %%", s)
		}
	}
}

// A loading that a meter reads is not told of, nor one that the plant has fixed.
func TestGraduationsAreQuiet(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 125}, rxtest.Ground{Acres: 10, Rate: 250}) // 320 alone
	got := plan(t, p, rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, ""))), rx.OneLoad)
	if slices.ContainsFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == "loading-graduation" }) {
		t.Errorf("got %+v", got.Findings)
	}
	near(t, "loading", float64(got.Layers[0].Loading), 320, 1e-12)
}
