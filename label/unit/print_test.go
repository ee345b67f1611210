package unit

import (
	"encoding"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{(30 * FluidOuncePerAcre).Text(US), "30 fl oz/ac"},
		{(30 * FluidOuncePerAcre).Text(Metric), "2192.333491 mL/ha"},
		{(30 * FluidOuncePerAcre).Brief(Metric), "2192 mL/ha"},
		{(200 * PoundPerAcre).Text(Metric), "224.1702312 kg/ha"},
		{(200 * PoundPerAcre).Brief(Metric), "224.2 kg/ha"},
		{(12345678 * Pound).Brief(US), "12345678 lb"},
		{(320 * FluidOuncePerTon).String(), "320 fl oz/ton"},
		{(9 * PoundPerGallon).String(), "9 lb/gal"},
		{(48 * PoundPerCubicFoot).BulkText(US), "48 lb/ft3"},
		{(5 * Percent).String(), "5 %"},
		{(24 * Hour).String(), "24 h"},
		{(90 * Minute).String(), "90 min"},
		{(90 * Second).String(), "1.5 min"},
		{(4 * Second).String(), "4 s"},
		{(4 * Second).Brief(Metric), "4 s"},
		{(2.5 * Second).Brief(US), "2.5 s"},
		{Time(0).Brief(US), "0 min"},
		{Time(5).Brief(Metric), "5 min"},
		{(40 * PSI).Brief(Metric), "2.758 bar"},
		{(38.5 * DollarPerGallon).String(), "$38.50/gal"},
		{(38.125 * DollarPerGallon).String(), "$38.125/gal"},
		{(1 * DollarPerLiter).Text(Metric), "$1.00/L"},
		{Money(1234.5).String(), "$1234.50"},
		{Money(-20).String(), "-$20.00"},
		{Money(-260.77).Cents(), "-$260.77"},
		{Money(-1234567.5).Cents(), "-$1,234,567.50"},
		{Money(-0.001).Cents(), "$0.00"},
		{Money(999.996).Cents(), "$1,000.00"},
		{Money(12).Cents(), "$12.00"},
		{DryRate(-3).String(), "-3 lb/ac"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// TestTextReadsBack: what is printed in either system reads back within the ten
// digits that are printed, and MarshalText reads back bit by bit.
func TestTextReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(dimensions).Draw(t, "dimension")
		s := rapid.SampledFrom([]System{US, Metric}).Draw(t, "system")
		v := rapid.Float64Range(0, 1e9).Draw(t, "value")
		got, err := d.parse(d.text(v, s))
		if err != nil || math.Abs(got-v) > 6e-10*v {
			t.Fatalf("%v printed as %q read back as %v, %v", v, d.text(v, s), got, err)
		}
	})
}

type quantity[T any] interface {
	*T
	encoding.TextUnmarshaler
}

func marshals[T ~float64, P quantity[T]](t *testing.T, marshal func(T) ([]byte, error)) {
	t.Helper()
	rapid.Check(t, func(t *rapid.T) {
		v := T(rapid.Float64Range(0, 1e12).Draw(t, "value"))
		text, err := marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		var got T
		if err := P(&got).UnmarshalText(text); err != nil || got != v {
			t.Fatalf("%v marshaled as %q read back as %v, %v", v, text, got, err)
		}
	})
}

func TestMarshalReadsBackExactly(t *testing.T) {
	marshals(t, DryRate.MarshalText)
	marshals(t, LiquidRate.MarshalText)
	marshals(t, Loading.MarshalText)
	marshals(t, Density.MarshalText)
	marshals(t, Time.MarshalText)
	marshals(t, VolumePrice.MarshalText)
	marshals(t, Money.MarshalText)
}

// TestMarshalRatio: a share that was read in percent writes as it was read; a
// share between two percents that a float64 can hold may miss by a last bit.
func TestMarshalRatio(t *testing.T) {
	for _, text := range []string{"0 %", "5 %", "0.1 %", "33.3 %", "12.345678 %", "70 %", "100 %"} {
		q, err := ParseRatio(text)
		if err != nil {
			t.Fatal(err)
		}
		got, err := q.MarshalText()
		if err != nil || string(got) != text {
			t.Errorf("got %q, %v, want %q", got, err, text)
		}
	}
}

func TestMarshalRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), -1} {
		if text, err := DryRate(v).MarshalText(); err == nil {
			t.Errorf("%v marshaled as %q", v, text)
		}
	}
}

func TestParseSystem(t *testing.T) {
	for text, want := range map[string]System{"us": US, "US": US, "metric": Metric} {
		if got, err := ParseSystem(text); err != nil || got != want {
			t.Errorf("%q: got %v, %v", text, got, err)
		}
	}
	if _, err := ParseSystem("imperial"); err == nil {
		t.Error("imperial was taken")
	}
}
