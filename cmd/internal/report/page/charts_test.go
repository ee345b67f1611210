package page

import (
	"testing"

	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// TestBarsKeepAcresAndSides: every acre is in one bar, and none stands on the wrong
// side of the label's ends, on which zones may lie.
func TestBarsKeepAcresAndSides(t *testing.T) {
	grounds := []rxtest.Ground{{Acres: 1, Rate: 124}, {Acres: 2, Rate: 125}, {Acres: 4, Rate: 180}, {Acres: 8, Rate: 250}, {Acres: 16, Rate: 250.1}, {Acres: 32, Rate: 900}}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320 * unit.FluidOuncePerTon
	p := rxtest.Plain(grounds...)
	a := rxtest.Grade(t, p, terms)
	label := rx.Range[float64]{Min: 20, Max: 40}
	b := newBars(a.Stabilizer.Min.In(unit.US), a.Stabilizer.Max.In(unit.US), label.Min, 1)
	for i, z := range p.Zones {
		count(b, unit.StabilizerRate(a.Loading, z.Carrier).In(unit.US), a.Verdicts[i], z.Area, label)
	}
	if len(b.Areas) > mostBars {
		t.Errorf("%d bars", len(b.Areas))
	}
	var sums [3]unit.Area
	for i, bar := range b.Areas {
		from, to := b.Low+float64(i)*b.Size, b.Low+float64(i+1)*b.Size
		for k := range bar {
			sums[k] += bar[k]
		}
		if bar[0] > 0 && to > label.Min+1e-9 || bar[1] > 0 && from < label.Min-1e-9 || bar[1] > 0 && from >= label.Max || bar[2] > 0 && to <= label.Max {
			t.Errorf("bar %g to %g holds %v", from, to, bar)
		}
	}
	if want := [3]unit.Area{1, 14, 48}; sums != want {
		t.Errorf("below, within, above hold %v ac, want %v", sums, want)
	}
}

// TestVerdictsHaveInks: what a verdict is filled with is the ink of its name, and no
// two look alike.
func TestVerdictsHaveInks(t *testing.T) {
	inks := []svg.Ink{svg.Below, svg.Within, svg.Above, svg.NoDry, svg.NoRate}
	seen := map[string]bool{}
	for i, v := range rx.Verdicts() {
		if verdictInk(v) != inks[i] {
			t.Errorf("%s has the ink %s", v, verdictInk(v))
		}
		if seen[verdictFill(v)] {
			t.Errorf("%s looks like another verdict", v)
		}
		seen[verdictFill(v)] = true
	}
}
