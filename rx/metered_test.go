package rx_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// The graduations beside a loading, by hand: 313.7254902 lies between 313.7 and 313.8
// fl oz/ton; in milliliters a metric ton it is 10227.211, between 10227 and 10228.
func TestMetered(t *testing.T) {
	for _, c := range []struct {
		units        unit.System
		l            unit.Loading
		below, above float64 // in the units
		text         string
	}{
		{unit.US, 313.7254902, 313.7, 313.8, "313.7 fl oz/ton as a meter reads it (exactly 313.7254902)"},
		{unit.US, 313.79999, 313.7, 313.8, "313.7 fl oz/ton as a meter reads it (exactly 313.79999)"},
		{unit.US, 320, 320, 320, "320 fl oz/ton"},
		{unit.US, 313.7001, 313.7, 313.8, "313.7001 fl oz/ton"},
		{unit.Metric, 313.7254902, 10227, 10228, "10,227 mL/t as a meter reads it (exactly 10,227.21134)"},
	} {
		terms := rx.Terms{Units: c.units}
		below, above := terms.Metered(c.l)
		if math.Abs(below.In(c.units)-c.below) > 1e-6 || math.Abs(above.In(c.units)-c.above) > 1e-6 {
			t.Errorf("%v: got %v and %v", c.l, below.Text(c.units), above.Text(c.units))
		}
		if got := terms.LoadingText(c.l); got != c.text {
			t.Errorf("got %s, want %s", got, c.text)
		}
	}
	fixed := rx.Terms{Loading: 313.7254902}
	if got := fixed.LoadingText(313.7254902); got != "313.7254902 fl oz/ton" {
		t.Errorf("what the plant has fixed is printed as %s", got)
	}
}

// A rounded loading never leaves its window, and is a graduation where there is one
// inside.
func TestRoundLoadingStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terms := rx.Terms{Units: rapid.SampledFrom([]unit.System{unit.US, unit.Metric}).Draw(t, "units")}
		low := unit.Loading(rapid.Float64Range(10, 2000).Draw(t, "low"))
		w := rx.Range[unit.Loading]{Min: low, Max: low * unit.Loading(1+rapid.SampledFrom([]float64{0, 1e-7, 1e-5, 1e-4, 1e-2, 0.5}).Draw(t, "width"))}
		wanted := w.Min + (w.Max-w.Min)*unit.Loading(rapid.Float64Range(0, 1).Draw(t, "part"))
		got := terms.RoundLoading(wanted, &w)
		if !w.Contains(got) {
			t.Fatalf("%v is outside %v to %v", float64(got), float64(w.Min), float64(w.Max))
		}
		below, above := terms.Metered(got)
		if terms.CanMeter(w) && below != above {
			t.Fatalf("%v, though a graduation is inside %v to %v", float64(got), float64(w.Min), float64(w.Max))
		}
	})
}
