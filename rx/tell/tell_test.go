package tell_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

func TestZones(t *testing.T) {
	for want, zones := range map[string][]int{
		"no zone":                           nil,
		"zone 3":                            {3},
		"zones 3 and 5":                     {3, 5},
		"zones 1, 2, 3, 4, 5 and 6":         {1, 2, 3, 4, 5, 6},
		"zones 1, 2, 3, 4, 5, 6 and 1 more": {1, 2, 3, 4, 5, 6, 7},
		"zones 9, 8, 7, 6, 5, 4 and 3 more": {9, 8, 7, 6, 5, 4, 3, 2, 1},
	} {
		if got := tell.Zones(zones); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestLists(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{tell.Ground(2.5, unit.US), "2.50 ac"},
		{tell.Ground(100*unit.Hectare, unit.Metric), "100.00 ha"},
		{tell.Ground(0.00421, unit.US), "0.0042 ac"}, // and not 0.00
		{tell.Ground(0, unit.US), "0.00 ac"},
		{tell.Listed([]string{"a", "b"}, 2), "a, b"},
		{tell.Listed([]string{"a", "b", "c", "d"}, 2), "a, b and 2 more"},
		{tell.Listed(nil, 2), ""},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// From half a meter below a kilometer on, kilometers are told: three digits of meters would be 1e+03.
func TestMetersAndKilometers(t *testing.T) {
	for m, want := range map[float64]string{12.34: "12.3 m", 999.4: "999 m", 999.5: "1 km", 1000: "1 km", 1499: "1 km", 20_600: "21 km"} {
		if got, symbol, ok := tell.InNumbers(unit.Length(m)*unit.Meter, "in m or km", unit.US); got+" "+symbol != want || !ok {
			t.Errorf("%v m: got %s %s, want %s", m, got, symbol, want)
		}
	}
}

// Whatever their size, numbers are told without an exponent, and in the digits of their form: half a
// step of the last one is how far they may be off.
func TestNumbersWithoutExponent(t *testing.T) {
	for _, form := range []struct {
		name, symbol string
		of           func(float64) tell.Quantity
		digits       int
	}{
		{"in s", "s", func(v float64) tell.Quantity { return unit.Time(v) * unit.Second }, 3},
		{"in mm", "mm", func(v float64) tell.Quantity { return unit.Length(v) * unit.Millimeter }, 2},
		{"in m or km", "m", func(v float64) tell.Quantity { return unit.Length(v) * unit.Meter }, 3},
		{"a spray volume", "gal/ac", func(v float64) tell.Quantity { return unit.LiquidRate(v) * unit.GallonPerAcre }, 4},
		{"3 digits", "lb/ac", func(v float64) tell.Quantity { return unit.DryRate(v) }, 3},
	} {
		for power := -3; power < 7; power++ {
			for _, first := range []float64{1, 1.049, 9.94, 9.996, 9.99996} {
				v := first * math.Pow10(power)
				if form.name == "in m or km" && v >= 999.5 {
					continue // see [TestMetersAndKilometers]
				}
				text, symbol, ok := tell.InNumbers(form.of(v), form.name, unit.US)
				got, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
				most := 0.5 * math.Pow10(power+1-form.digits) * (1 + 1e-9)
				if first > 9.9 {
					most *= 10
				}
				if strings.ContainsAny(text, "eE") || err != nil || math.Abs(got-v) > most || symbol != form.symbol || !ok {
					t.Errorf("%v %s: %s %s", v, form.name, text, symbol)
				}
			}
		}
	}
	if text, _, _ := tell.InNumbers(1234.4*unit.Millimeter, "in mm", unit.US); text != "1,200" {
		t.Errorf("1234.4 mm: %s", text)
	}
	if text, _, _ := tell.InNumbers(12344*unit.GallonPerAcre, "a spray volume", unit.US); text != "12,340" {
		t.Errorf("12344 gal/ac: %s", text)
	}
	for v, want := range map[float64]string{1234.4: "1,230 s", 999.4: "999 s", 0.5: "0.5 s", 0.0123456: "0.0123 s"} {
		if text, symbol, _ := tell.InNumbers(unit.Time(v)*unit.Second, "in s", unit.US); text+" "+symbol != want {
			t.Errorf("%v s: %s %s, want %s", v, text, symbol, want)
		}
	}
}

// One line of a finding: the short one of its entry, or else its text, unless the decision tells that.
func TestBrief(t *testing.T) {
	type forbids struct{ Name, Registered, Forbidden, Unsaid string }
	for _, c := range []struct {
		f    rx.Finding
		want string
	}{
		{rx.NewRule[rx.Nothing]("no such rule", rx.AboutFile, rx.EveryPlan).Find(rx.Note, rx.Nothing{}), "{no such rule}"},
		{rx.NewRule[rx.Nothing]("keep-out/of the liquid layer", rx.AboutPlan, rx.EveryPlan).Find(rx.Note, rx.Nothing{}), "@text"},
		{rx.NewRule[rx.Nothing]("keep-out/of the liquid layer", rx.AboutPlan, rx.EveryPlan).InDecision().Find(rx.Note, rx.Nothing{}), ""},
		{rx.NewRule[forbids]("below", rx.AboutLabel, rx.EveryPlan).Find(rx.Note, forbids{Forbidden: "x"}), "This label forbids rates below its range."},
	} {
		want := strings.Replace(c.want, "@text", tell.Text(c.f, unit.US), 1)
		if got := tell.Brief(c.f, unit.US); got != want || c.want == "@text" && got == "" {
			t.Errorf("%s: got %q, want %q", c.f.Key(), got, want)
		}
	}
}

// TestTenths: a rate in mL/ha is told without tenths, as the sheets print it; that of fl oz
// stays, where it counts.
func TestTenths(t *testing.T) {
	for _, c := range []struct {
		rate   float64
		system unit.System
		want   string
	}{{2400, unit.Metric, "2,400"}, {1684.2, unit.Metric, "1,684"}, {22, unit.US, "22"}, {22.04, unit.US, "22"}, {40, unit.US, "40"}} {
		one := unit.LiquidRate(1).In(c.system)
		if got, _, ok := tell.InNumbers(unit.LiquidRate(c.rate/one), "1 decimal", c.system); got != c.want || !ok {
			t.Errorf("%v: got %s, want %s", c.rate, got, c.want)
		}
	}
}
