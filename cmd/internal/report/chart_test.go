package report

import (
	"math"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

func TestNiceSteps(t *testing.T) {
	for _, test := range []struct{ v, above, below float64 }{
		{1, 1, 1}, {1.2, 2, 1}, {2.4, 2.5, 2}, {3, 5, 2.5}, {7, 10, 5}, {0.03, 0.05, 0.025}, {700, 1000, 500},
	} {
		if got := niceStep(test.v); math.Abs(got-test.above) > 1e-12 {
			t.Errorf("niceStep(%g) = %g, want %g", test.v, got, test.above)
		}
		if got := niceBelow(test.v); math.Abs(got-test.below) > 1e-12 {
			t.Errorf("niceBelow(%g) = %g, want %g", test.v, got, test.below)
		}
	}
}

func TestStepsCoverTheRates(t *testing.T) {
	for _, test := range []struct {
		low, high float64
		n         int
		first     string
	}{
		{95, 295, 5, "50 to under 100"},
		{120, 260, 7, "100 to under 125"},
		{200, 200, 1, "200"},
		{100, 300, 5, "100 to under 150"},
		{0.5, 4000, 5, "0 to under 1000"},
	} {
		s := newSteps(test.low, test.high)
		if s.n != test.n || s.text(0) != test.first {
			t.Errorf("%g to %g: %d classes, the first %q, want %d, %q", test.low, test.high, s.n, s.text(0), test.n, test.first)
		}
		if s.of(test.low) != 0 || s.of(test.high) != s.n-1 {
			t.Errorf("%g to %g: in classes %d and %d of %d", test.low, test.high, s.of(test.low), s.of(test.high), s.n)
		}
	}
}

// TestBinsKeepAcresAndSides: every acre is in one bar, and none stands on the wrong
// side of the label's ends, on which zones may lie.
func TestBinsKeepAcresAndSides(t *testing.T) {
	grounds := []rxtest.Ground{{Acres: 1, Rate: 124}, {Acres: 2, Rate: 125}, {Acres: 4, Rate: 180}, {Acres: 8, Rate: 250}, {Acres: 16, Rate: 250.1}, {Acres: 32, Rate: 900}}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320 * unit.FluidOuncePerTon
	p := rxtest.Plain(grounds...)
	a := rxtest.Grade(t, p, terms)
	label := rx.Range[float64]{Min: 20, Max: 40}
	b := newBins(a.Stabilizer.Min.In(unit.US), a.Stabilizer.Max.In(unit.US), label.Min, 1)
	for i, z := range p.Zones {
		b.add(unit.StabilizerRate(a.Loading, z.Carrier).In(unit.US), a.Verdicts[i], z.Area, label)
	}
	if len(b.acres) > mostBins {
		t.Errorf("%d bars", len(b.acres))
	}
	var sums [3]unit.Area
	for i, bar := range b.acres {
		from, to := b.low+float64(i)*b.size, b.low+float64(i+1)*b.size
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

func TestScaleBar(t *testing.T) {
	f := mapFrame{width: mapWidth, perMeter: 7} // 1086 m wide
	for s, want := range map[unit.System]string{unit.US: "500 ft", unit.Metric: "250 m"} {
		length, text := f.scaleBar(s)
		if text != want || unit.Meters(length)*f.perMeter > float64(f.width)/4 {
			t.Errorf("%v: %s, %v long", s, text, length)
		}
	}
}
