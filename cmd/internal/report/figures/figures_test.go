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
