package svg

import (
	"math"
	"testing"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
)

func TestNiceSteps(t *testing.T) {
	for _, test := range []struct{ v, above, below float64 }{
		{1, 1, 1}, {1.2, 2, 1}, {2.4, 2.5, 2}, {3, 5, 2.5}, {7, 10, 5}, {0.03, 0.05, 0.025}, {700, 1000, 500},
	} {
		if got := NiceStep(test.v); math.Abs(got-test.above) > 1e-12 {
			t.Errorf("NiceStep(%g) = %g, want %g", test.v, got, test.above)
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
		{0.5, 4000, 5, "0 to under 1,000"},
		{0, 0, 1, "0 to under 1"}, // nothing is spread
	} {
		s := NewSteps(test.low, test.high)
		if s.N != test.n || s.Text(0) != test.first {
			t.Errorf("%g to %g: %d classes, the first %q, want %d, %q", test.low, test.high, s.N, s.Text(0), test.n, test.first)
		}
		if s.Of(test.low) != 0 || s.Of(test.high) != s.N-1 {
			t.Errorf("%g to %g: in classes %d and %d of %d", test.low, test.high, s.Of(test.low), s.Of(test.high), s.N)
		}
	}
}

// Zones of 29.9989 and of 30 are both printed as 30: one color for both, at the edge of a class
// as at the end of the range.
func TestRatesThatReadTheSameAreOfOneClass(t *testing.T) {
	for _, test := range []struct{ low, high, below, at float64 }{
		{20, 40, 29.9989, 30}, {20, 40, 29.95001, 30.04}, {10, 29.9989, 29.9989, 30}, {29.9989, 30, 29.9989, 30},
		{29.9989, 60, 29.9989, 30}, {95, 295, 149.96, 150},
	} {
		s := NewSteps(test.low, test.high)
		if figures.Short(test.below) != figures.Short(test.at) || s.Of(test.below) != s.Of(test.at) {
			t.Errorf("%g to %g: %g is of class %d (%s), %g of %d", test.low, test.high, test.below, s.Of(test.below), s.Text(s.Of(test.below)), test.at, s.Of(test.at))
		}
	}
	if s := NewSteps(20, 40); s.Of(29.94) == s.Of(30) {
		t.Error("29.9 is drawn as 30")
	}
}

func TestScaleBar(t *testing.T) {
	f := frame{width: mapWidth, perMeter: 7} // 1086 m wide
	for s, want := range map[unit.System]string{unit.US: "500 ft", unit.Metric: "250 m"} {
		length, text := f.scaleBar(s)
		if text != want || unit.Meters(length)*f.perMeter > float64(f.width)/4 {
			t.Errorf("%v: %s, %v long", s, text, length)
		}
	}
}
