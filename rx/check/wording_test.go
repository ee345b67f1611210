package check_test

import (
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx/check"
	"rxsplit/rx/rxtest"
)

// What lies just off an end of the label is printed as off: no text says that 40 is more
// than 40, or that 2 is more than 2. By hand at 400 fl oz/ton, for 20 to 40 fl oz/ac: R/5.
func TestJustOffReadsAsOff(t *testing.T) {
	for _, c := range []struct {
		rates      [2]unit.DryRate
		rule, text string
		ratio      string
	}{
		{[2]unit.DryRate{100, 200.04}, "above", "would get 40.01 fl oz/ac as one blend, more than the label's 40", "span 2.0004 to 1 (100 lb/ac to 200.04 lb/ac), the label's range 2 to 1"},
		{[2]unit.DryRate{100, 200.0004}, "above", "would get 40.0001 fl oz/ac as one blend, more than the label's 40", "span 2.000004 to 1 (100 lb/ac to 200.0004 lb/ac), the label's range 2 to 1"},
		{[2]unit.DryRate{99.99, 200}, "below", "would get 19.998 fl oz/ac as one blend, less than the label's 20", "span 2.0002 to 1 (99.99 lb/ac to 200 lb/ac), the label's range 2 to 1"},
		{[2]unit.DryRate{100, 260}, "above", "would get 52 fl oz/ac as one blend, more than the label's 40", "span 2.6 to 1 (100 lb/ac to 260 lb/ac), the label's range 2 to 1"},
	} {
		p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: c.rates[0]}, rxtest.Ground{Acres: 10, Rate: c.rates[1]})
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Loading = 400
		a, err := check.Grade(p, terms)
		if err != nil {
			t.Fatal(err)
		}
		if f, ok := found(a, c.rule); !ok || !strings.Contains(said(f).Text, c.text) {
			t.Errorf("%v: %s", c.rates, said(f).Text)
		}
		if _, why := terms.Window(p, 0); !strings.Contains(why, c.ratio) {
			t.Errorf("%v: %s", c.rates, why)
		}
	}
}

// The same in metric, where the label's end has more digits than are usually printed:
// 28.8 fl oz/ac are 2104.640 mL/ha, and 288.02 lb/ac at 200 fl oz/ton get 2104.786.
func TestJustOffInMetric(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 288.02}, rxtest.Ground{Acres: 10, Rate: 200})
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Label.Rate.Max, terms.Intended, terms.Loading, terms.Units = 28.8, 25, 200, unit.Metric
	a, err := check.Grade(p, terms)
	if err != nil {
		t.Fatal(err)
	}
	if f, _ := found(a, "above"); !strings.Contains(inMetric(f).Text, "would get 2,104.8 mL/ha as one blend, more than the label's 2,104.64") {
		t.Error(inMetric(f).Text)
	}
}
