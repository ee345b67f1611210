package check_test

import (
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

func TestRateSteps(t *testing.T) {
	for _, c := range []struct {
		name  string
		rates []unit.DryRate
		err   unit.Ratio
		words []string // nil: nothing is told
		fine  string   // empty: no step is too fine
	}{
		{"one rate", []unit.DryRate{200, 200}, 0.05, nil, ""},
		{"one rate and none", []unit.DryRate{200, 0}, 0.05, nil, ""},
		{"steps", []unit.DryRate{300, 100, 0, 180, 250, 180}, 0, []string{"4 dry rates", "smallest step from one to the next is 50 lb/ac (250 lb/ac to 300 lb/ac)", "the largest 80 lb/ac (100 lb/ac to 180 lb/ac)"}, ""},
		{"steps of one size", []unit.DryRate{200, 100, 150}, 0, []string{"3 dry rates, 50 lb/ac from one to the next."}, ""},
		{"the error itself can be told apart", []unit.DryRate{190, 200}, 0.05, []string{"2 dry rates"}, ""}, // 5 % of 200 is 10
		{"finer", []unit.DryRate{100, 191, 200}, 0.05, []string{"smallest step from one to the next is 9 lb/ac"}, "1 of 2 steps"},
		{"a step is fine where the rate is high", []unit.DryRate{100, 110, 290, 300}, 0.05, []string{"is 10 lb/ac (100 lb/ac to 110 lb/ac)"}, "1 of 3 steps"},
		{"the error goes by the higher rate", []unit.DryRate{190, 199.8}, 0.05, []string{"2 dry rates"}, "1 of 1 steps"}, // 5 % of 199.8 is 9.99, of 190 it is 9.5
		{"too near to read as two", []unit.DryRate{218.801, 218.802, 250}, 0, []string{"is 0.001 lb/ac, the largest 31.2 lb/ac (218.8 lb/ac to 250 lb/ac)"}, ""},
		{"rounding makes no rate", []unit.DryRate{100, 100 + 1e-9, 200}, 0.05, []string{"2 dry rates"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var grounds []rxtest.Ground
			for _, r := range c.rates {
				grounds = append(grounds, rxtest.Ground{Acres: 1, Rate: r})
			}
			terms := with(t, spreader())
			terms.RateError = c.err
			f, ok := found(rxtest.Grade(t, rxtest.Plain(grounds...), terms), "rate-steps")
			if ok != (c.words != nil) {
				t.Fatalf("found: %v %+v", ok, f)
			}
			checkWords(t, said(f).Text, c.words...)
			if (said(f).Want != "") != (c.fine != "") {
				t.Errorf("want %q in: %s", c.fine, said(f).Text)
			}
			checkWords(t, said(f).Text, c.fine)
			if f.Severity != rx.Note {
				t.Errorf("got a %v", f.Severity)
			}
		})
	}
}

// Products side by side have steps of their own.
func TestRateStepsSideBySide(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 300}, rxtest.Ground{Acres: 20, Rate: 350})
	p.Fields = []rx.RateField{{Name: "A", Carrier: true}, {Name: "B"}}
	p.Rates = []unit.DryRate{200, 100, 200, 150}
	a := rxtest.Grade(t, p, with(t, spreader()))
	f, ok := found(a, "rate-steps")
	if !ok || f.Field != "B" {
		t.Fatalf("%v %+v", ok, f)
	}
	checkWords(t, said(f).Text, "B: 2 dry rates", "50 lb/ac")
}

func TestRateStepsInMetric(t *testing.T) {
	terms := with(t, spreader())
	terms.Units, terms.RateError = unit.Metric, 0.2
	f, _ := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "rate-steps")
	checkWords(t, inMetric(f).Text, "56.04 kg/ha") // 50 · 1.120851156
	checkNoUS(t, f)
}
