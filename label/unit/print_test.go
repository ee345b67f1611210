package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{(30 * FluidOuncePerAcre).Text(US), "30 fl oz/ac"},
		{(30 * FluidOuncePerAcre).Text(Metric), "2192.333491 mL/ha"},
		{(30 * FluidOuncePerAcre).Brief(Metric), "2,192 mL/ha"},
		{(200 * PoundPerAcre).Text(Metric), "224.1702312 kg/ha"},
		{(200 * PoundPerAcre).Brief(Metric), "224.2 kg/ha"},
		{(12345678 * Pound).Brief(US), "12,345,678 lb"},
		{(320 * FluidOuncePerTon).String(), "320 fl oz/ton"},
		{(9 * PoundPerGallon).String(), "9 lb/gal"},
		{BulkDensity(48 * PoundPerCubicFoot).Text(US), "48 lb/ft3"},
		{(5 * Percent).String(), "5 %"},
		{(24 * Hour).String(), "24 h"},
		{(90 * Minute).String(), "90 min"},
		{(60 * Minute).String(), "1 h"},
		{(59 * Minute).String(), "59 min"},
		{(1 * Minute).String(), "1 min"},
		{DryRate(1000.4).Brief(US), "1,000 lb/ac"},
		{DryRate(999.96).Brief(US), "1,000 lb/ac"},
		{DryRate(-1000.4).Brief(US), "-1,000 lb/ac"},
		{DryRate(999.94).Brief(US), "999.9 lb/ac"},
		{DryRate(2e-9).Brief(US), "0.000000002 lb/ac"},
		{DryRate(-9e-10).Brief(US), "0 lb/ac"},
		{Money(0.5).String(), "$0.50"},
		{Money(0.125).String(), "$0.125"},
		{Thousands("-1234567.1234"), "-1,234,567.1234"},
		{Thousands("1234 lb"), "1,234 lb"},
		{Thousands("123456"), "123,456"},
		{Thousands("1234A5"), "1234A5"},
		{Thousands("2026-04-01"), "2026-04-01"},
		{(90 * Second).String(), "1.5 min"},
		{(4 * Second).String(), "4 s"},
		{(4 * Second).Brief(Metric), "4 s"},
		{(2.5 * Second).Brief(US), "2.5 s"},
		{Time(0).Brief(US), "0 min"},
		{Time(5).Brief(Metric), "5 min"},
		{(40 * PSI).Brief(Metric), "2.758 bar"},
		{(38.5 * DollarPerGallon).String(), "$38.50/gal"},
		{(38.125 * DollarPerGallon).String(), "$38.125/gal"},
		{VolumePrice(litersPerGallon).Text(Metric), "$1.00/L"},
		{Money(1234.5).String(), "$1234.50"},
		{Money(-20).String(), "-$20.00"},
		{Cents(-260.77), "-$260.77"},
		{Cents(-1234567.5), "-$1,234,567.50"},
		{Cents(-0.001), "$0.00"},
		{Cents(999.996), "$1,000.00"},
		{Cents(12), "$12.00"},
		{DryRate(-3).String(), "-3 lb/ac"},
		{Days(Day, US), "1 day"},
		{Days(2*Day, US), "2 days"},
		{Days(1.5*Day, US), "36 h"},
		{Days(0, US), "0 min"},
		{shorten(strings.Repeat("é", 60)), strings.Repeat("é", 60)},
		{shorten(strings.Repeat("é", 61)), strings.Repeat("é", 60) + "..."},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// TestTextReadsBack: what is printed in either system reads back within the ten
// digits that are printed.
func TestTextReadsBack(t *testing.T) {
	t.Run("dry rate", readsBack[DryRate])
	t.Run("loading", readsBack[Loading])
	t.Run("density", readsBack[Density])
	t.Run("bulk density", readsBack[BulkDensity])
	t.Run("time", readsBack[Time])
	t.Run("share", readsBack[Ratio])
	t.Run("price", readsBack[VolumePrice])
	t.Run("money", readsBack[Money])
}

func readsBack[Q methods](t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := Q(rapid.Float64Range(0, 1e9).Draw(t, "value"))
		for _, s := range []System{US, Metric} {
			if got, err := Parse[Q](q.Text(s)); err != nil || math.Abs(float64(got-q)) > 6e-10*float64(q) {
				t.Fatalf("%v printed as %q read back as %v, %v", float64(q), q.Text(s), float64(got), err)
			}
		}
	})
}

func TestParseSystem(t *testing.T) {
	for text, want := range map[string]System{"us": US, "US": US, "metric": Metric} {
		if got, err := ParseSystem(text); err != nil || got != want {
			t.Errorf("%q: got %v, %v", text, got, err)
		}
		if got := System(1 - want); got.UnmarshalText([]byte(text)) != nil || got != want || got.String() != strings.ToLower(text) {
			t.Errorf("%q was read as %v", text, got)
		}
	}
	if _, err := ParseSystem("imperial"); err == nil {
		t.Error("imperial was taken")
	}
	if got := strings.Join(US.Choices(), " "); got != "us metric" {
		t.Errorf("the choices are %s", got)
	}
}

// The units of a quantity begin with those that it is shown in, each once.
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		got  []string
		want string
	}{
		{DryRate(0).Units(), "lb/ac kg/ha"},
		{Ratio(0).Units(), "%"},
	} {
		once := map[string]bool{}
		for _, u := range c.got {
			if once[u] {
				t.Errorf("%s is there twice: %v", u, c.got)
			}
			once[u] = true
		}
		if got := strings.Join(c.got, " "); !strings.HasPrefix(got+" ", c.want+" ") {
			t.Errorf("got %s, want %s first", got, c.want)
		}
	}
	if got := DryRate(0).Units(); len(got) < 3 {
		t.Errorf("got %v, and dry rates are entered in tons too", got)
	}
}
