package figures

import (
	"testing"

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
