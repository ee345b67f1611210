package rx_test

import (
	"math"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// Fills are dosed so that none leaves the label of 20 to 40 fl oz/ac, by hand for a tank
// of 350 gal at 8 gal/ac, which is 43.75 ac.
func TestFillsStayOnLabel(t *testing.T) {
	for _, c := range []struct {
		name       string
		rate       unit.LiquidRate
		volume     float64
		area       unit.Area
		applied    unit.LiquidRate // of a season maximum of 60
		full, last float64
	}{
		{"inside, to the nearest", 30, 8, 60.51, 0, 1313, 503},                     // 1312.5 (to even, up), 16.76 ac: 502.8
		{"at the most, down", 37.5, 8, 60.52, 22.5, 1640, 628},                     // 1640.625, 16.77 ac: 628.875
		{"just under the most", 37.49, 8, 60.52, 22.5, 1640, 628},                  // 1640.19; 628.71, and 629 is 37.507 fl oz/ac
		{"at the most, nearest is down", 37.4, 8, 60.52, 22.6, 1636, 627},          // 1636.25; 627.198
		{"at the least, up", 20.01, 8, 60.52, 0, 875, 336},                         // 875.4375, and 875 is 20 exactly; 335.57
		{"at the least, and a last one", 20, 8, 60.52, 0, 875, 336},                // 335.4, and 335 is 19.976
		{"a small last one", 37.5, 8, 44.25, 22.5, 1640, 18},                       // 0.5 ac: 18.75, and 19 is 38
		{"none is whole", 20, 8, 43.76, 40, 875, 0.2},                              // 0.01 ac: a season's room of 20 fl oz/ac alone
		{"another volume", 37.5, 8.93, 40, 22.5, 1469, 30},                         // 350/8.93 = 39.19373 ac: 1469.76, and 1470 is 37.506; 0.80627 ac: 30.235
		{"a tenth where the range is narrow", 20.005, 8, 60.52, 39.99, 875, 335.5}, // 875 to 875.4375; 335.4 to 335.5677
	} {
		terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\n"))
		terms.AlreadyApplied = c.applied
		boom := equip.Boom{Volume: unit.LiquidRate(c.volume) * unit.GallonPerAcre, Tank: 350 * unit.Gallon}
		exact, metered, err := terms.Fills(boom, c.area, c.rate)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(metered.Full.Product)-c.full) > 1e-9 || math.Abs(float64(metered.Last.Product)-c.last) > 1e-9 {
			t.Errorf("%s: %v and %v for %v and %v, want %v and %v", c.name, float64(metered.Full.Product), float64(metered.Last.Product),
				float64(exact.Full.Product), float64(exact.Last.Product), c.full, c.last)
		}
		pass, _ := terms.PassRange()
		for _, f := range fillsOf(metered) {
			if r := f.Rate(f.Product); !pass.Contains(r) {
				t.Errorf("%s: %v fl oz on %v ac are %v fl oz/ac", c.name, float64(f.Product), float64(f.Area), float64(r))
			}
		}
	}
}

// Whole milliliters stay on label as well, at both ends and for any area.
func TestMetricFillsStayOnLabel(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Units = unit.Metric
	boom := equip.Boom{Volume: 8 * unit.GallonPerAcre, Tank: 350 * unit.Gallon}
	for area := unit.Area(44); area < 80; area += 0.37 {
		for _, rate := range []unit.LiquidRate{20, 40} {
			_, metered, err := terms.Fills(boom, area, rate)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range fillsOf(metered) {
				milliliters := float64(f.Product / unit.Milliliter)
				if r := f.Rate(f.Product); !(rx.Range[unit.LiquidRate]{Min: 20, Max: 40}).Contains(r) || math.Abs(milliliters-math.Round(milliliters)) > 1e-6 {
					t.Errorf("fill %d of %v ac: %v mL are %v fl oz/ac", i, float64(area), milliliters, float64(r))
				}
			}
		}
	}
}

// fillsOf lists a full filling and the last one, as far as there are any.
func fillsOf(f equip.Fills) []equip.Fill {
	var list []equip.Fill
	if f.Count > 0 {
		list = append(list, f.Full)
	}
	if f.Last.Area > 0 {
		list = append(list, f.Last)
	}
	return list
}
