package check_test

import (
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// What a fallback rate carries at 320 fl oz/ton, S = 0.16·R, against 20 to 40.
func TestControllerDefault(t *testing.T) {
	for _, c := range []struct {
		name          string
		outside, lost label.Known[unit.DryRate]
		want          rx.Severity
		words         []string // nil: nothing is told
	}{
		{"nothing is spread", label.Know(unit.DryRate(0)), label.Know(unit.DryRate(0)), 0, nil},
		{"within", label.Know(unit.DryRate(200)), label.Know(unit.DryRate(0)), rx.Note, []string{"outside every zone the controller spreads 200 lb/ac, which would carry 32 fl oz/ac, within the label"}},
		{"at the end", label.Know(unit.DryRate(250)), label.Known[unit.DryRate]{}, rx.Note, []string{"40 fl oz/ac, within"}},
		{"below", label.Know(unit.DryRate(100)), label.Known[unit.DryRate]{}, rx.Warning, []string{"16 fl oz/ac, below the label"}},
		{"above", label.Known[unit.DryRate]{}, label.Know(unit.DryRate(300)), rx.Warning, []string{"with its position lost the controller spreads 300 lb/ac", "48 fl oz/ac, above the label"}},
		{"one within, one above", label.Know(unit.DryRate(200)), label.Know(unit.DryRate(300)), rx.Warning, []string{"within the label; with", "above the label, if the blend is impregnated at 320 fl oz/ton"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := spreader()
			s.DefaultRate, s.LostRate = c.outside, c.lost
			f, ok := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), with(t, s)), "controller-default")
			if ok != (c.words != nil) {
				t.Fatalf("found: %v %+v", ok, f)
			}
			if f.Severity != c.want {
				t.Errorf("got a %v, want a %v", f.Severity, c.want)
			}
			checkWords(t, said(f).Text, c.words...)
		})
	}
}

func TestControllerDefaultInMetric(t *testing.T) {
	s := spreader()
	s.DefaultRate = label.Know(unit.DryRate(200))
	terms := with(t, s)
	terms.Units = unit.Metric
	f, _ := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "controller-default")
	checkWords(t, inMetric(f).Text, "224.2 kg/ha", "2,338 mL/ha") // 200 · 1.120851156; 32 · 73.07778304
	checkNoUS(t, f)
}
