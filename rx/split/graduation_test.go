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
			unit.Metric: {"1 mL/t apart: 10,227.21134 mL/t alone keeps", "10,227 mL/t puts 1,461.5 to 2,923", "10,228 mL/t puts 1,461.7 to 2,923.3 mL/ha on the ground, 0.0077 % above its most"},
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

// A refit leaves the room for the rate error with the loading that a meter reads: its band
// is as much narrower as that takes, and no more than a graduation of the loading is. By
// hand: three rates span 2.28 to 1, of which a label of 2 to 1 leaves 1.81 with 5 %.
func TestRefitKeepsItsRoomAsMetered(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 127}, rxtest.Ground{Acres: 9, Rate: 180}, rxtest.Ground{Acres: 10, Rate: 290})
	for _, units := range []unit.System{unit.US, unit.Metric} {
		for _, e := range []unit.Ratio{0.001, 0.01, 0.03, 0.05, 0.0777, 0.15} {
			terms := rxtest.Terms(rxtest.Label(t, ""))
			terms.RateError, terms.Units = e, units
			got := plan(t, p, rxtest.Grade(t, p, terms), rx.Refit)
			if below, above := terms.Metered(got.Layers[0].Loading); below != above {
				t.Errorf("%v: %v is no graduation", e, got.Layers[0].Loading)
			}
			if got.Way.Room < e || condition(got.Way, "less-room") != "" {
				t.Errorf("%v: room for %v alone", e, got.Way.Room)
			}
			span := float64(got.Layers[0].Dry.Max / got.Layers[0].Dry.Min)
			widest := 2 * float64((1-e)/(1+e))
			graduation := float64(terms.Graduation() / got.Layers[0].Loading)
			if span > widest*(1+1e-9) || span < widest*(1-1.01*graduation) {
				t.Errorf("%v: rates span %v, and might %v", e, span, widest)
			}
		}
	}
}

// Where rates are to be kept, what the meter takes of the room is told: 140 and 253.33
// lb/ac are 1.8095 to 1, all that 5 % leave of the label. By hand, that takes 300.752 to
// 300.756 fl oz/ton; 300.8 puts 38.1008 on the second, 4.98 % below 40.
func TestRateErrorGivesWayToTheMeter(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 140}, rxtest.Ground{Acres: 10, Rate: 253.33})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.RateError = 0.05
	got := plan(t, p, rxtest.Grade(t, p, terms), rx.OneLoad)
	below, above := terms.Metered(got.Layers[0].Loading)
	if below != above {
		t.Errorf("%v is no graduation", float64(got.Layers[0].Loading))
	}
	i := slices.IndexFunc(got.Findings, func(f rx.Finding) bool { return f.Rule() == "loading-graduation" })
	if i < 0 || got.Findings[i].Severity != rx.Note || !strings.Contains(said(got.Findings[i]).Text, "which a meter reads") || !strings.Contains(said(got.Findings[i]).Text, "room for a rate error of 4.9 %, not of 5 %") {
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
