package figures

import (
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

func TestRatesShowTheirSide(t *testing.T) {
	label := rx.Range[unit.LiquidRate]{Min: 20, Max: 40}
	q := In(unit.US)
	for rate, want := range map[unit.LiquidRate]string{
		16: "16.0", 19.96: "19.96", 19.9996: "19.9996", 20: "20.0", 20.04: "20.0", 39.98: "40.0", 40: "40.0", 40.001: "40.001", 40.06: "40.1",
	} {
		if got := q.SideRate(rate, label); got != want {
			t.Errorf("%v reads %s, want %s", float64(rate), got, want)
		}
	}
}

// Of a thousand mL/ha and more a tenth is told only where it shows the side.
func TestMetricRates(t *testing.T) {
	of := func(text string) unit.LiquidRate {
		r, err := unit.Parse[unit.LiquidRate](text)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	label := rx.Range[unit.LiquidRate]{Min: of("1.7 L/ha"), Max: of("3.5 L/ha")}
	q := In(unit.Metric)
	for rate, want := range map[string]string{"1700": "1,700", "2113.24": "2,113", "3500": "3,500", "3500.14": "3,500.1", "900": "900"} {
		if got := q.SideRate(of(rate+" mL/ha"), label); got != want {
			t.Errorf("%s mL/ha reads %s, want %s", rate, got, want)
		}
	}
	if got := q.Window(9445 * unit.MilliliterPerMetricTon); got != "9,445" {
		t.Errorf("a loading reads %s", got)
	}
}

// A window of dry rates is rounded inward: 2000·20/322.7 and 2000·40/322.7 are 123.954 and
// 247.908 lb/ac, 2000·20/322.3 is 124.108.
func TestDryWindowIsRoundedInward(t *testing.T) {
	q := In(unit.US)
	for want, r := range map[string]rx.Range[unit.DryRate]{
		"124 to 247.9":   {Min: 123.954, Max: 247.908},
		"124.2 to 248.2": {Min: 124.108, Max: 248.216},
		"125 to 250":     {Min: 125, Max: 250},
		"170":            {Min: 170.00000001, Max: 170.00000001},
	} {
		if got := q.DryWindow(r); got != want {
			t.Errorf("%v reads %s, want %s", r, got, want)
		}
	}
}

// Each printer at the bounds where its form changes: at them, and just below. By hand: 128 fl oz are
// a gallon, 0.45359237 kg a pound, 3.785411784 L a gallon.
func TestFormsAtTheirBounds(t *testing.T) {
	us, metric := In(unit.US), In(unit.Metric)
	mLHa, err := unit.Parse[unit.LiquidRate]("1 mL/ha")
	if err != nil {
		t.Fatal(err)
	}
	label := rx.Range[unit.LiquidRate]{Min: 20, Max: 40}
	for _, c := range []struct{ got, want string }{
		{Short(1.04), "1"}, {Short(1.06), "1.1"}, {Short(0.04), "0"}, {Fixed(2.345, 1), "2.3"},
		{Trim(0), "0"}, {Trim(0.00001), "0.00001"}, {Trim(-2.5), "-2.5"}, {Trim(999999.4), "999999"}, {Trim(999999.6), "1000000"}, {Trim(12345678), "12345700"},
		{Count(999), "999"}, {Count(1000), "1,000"},
		{Plural(0, "zone", "zones"), "0 zones"}, {Plural(1, "zone", "zones"), "1 zone"}, {Plural(2, "zone", "zones"), "2 zones"}, {Plural(1234, "zone", "zones"), "1,234 zones"},
		{us.Area(1234.567), "1,234.57"}, {metric.Area(2 * unit.Hectare), "2.00"},
		{us.Patch(0), "0.00"}, {us.Patch(0.0001), "under 0.01"}, {us.Patch(0.00499), "under 0.01"}, {us.Patch(0.005), "0.01"}, {us.Patch(1500), "1,500.00"},
		{us.DryRange(100, 100.04), "100"}, {us.DryRange(100, 100.06), "100 to 100.1"},
		{us.DryWindow(rx.Range[unit.DryRate]{Min: 100.01, Max: 100.09}), "100 to 100.1"}, // no tenth between
		{us.Rate(1234.56), "1234.6"}, {metric.Rate(999.9 * mLHa), "999.9"}, {metric.Rate(1000 * mLHa), "1,000"}, {metric.Rate(1000.4 * mLHa), "1,000"},
		{us.RateRange(20, 20.04), "20"}, {us.RateRange(20, 20.06), "20 to 20.1"},
		{us.RateRange(30, 30), "30"}, {us.RateRange(30, 30.5), "30 to 30.5"}, {us.RateRange(32.5, 32.5), "32.5"},
		{us.SideRate(40.00001, label), "40.00001"}, {us.SideRate(40.000001, label), "40.0"}, // no decimal of five shows it
		{us.SideRange(rx.Range[unit.LiquidRate]{Min: 19.96, Max: 40.01}, label), "19.96 to 40.01"},
		{us.Window(322.66), "322.7"}, {metric.Window(900 * unit.MilliliterPerMetricTon), "900"},
		{us.Mass(1999.6), "2,000 lb"}, {metric.Mass(999.9 * unit.Kilogram), "999.9 kg"}, {metric.Mass(unit.MetricTon), "1.000 t"}, {metric.Mass(1234.5 * unit.Kilogram), "1.234 t"},
		{us.Volume(127.9), "127.9 fl oz"}, {us.Volume(128), "128 fl oz (1.00 gal)"}, {us.Volume(1300), "1,300 fl oz (10.16 gal)"},
		{metric.Volume(999 * unit.Milliliter), "999 mL"}, {metric.Volume(unit.Liter), "1.0 L"},
		{us.Drops(1234.4), "1,234 fl oz"}, {metric.Drops(unit.Liter), "1,000 mL"},
		{us.Tank(128_000), "1,000.00 gal"}, {metric.Tank(1250 * unit.Liter), "1,250.0 L"},
		{Place(orb.Point{-90.123456, 40.1}), "40.10000, -90.12346"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
