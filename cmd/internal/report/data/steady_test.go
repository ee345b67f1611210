package data

import (
	"math"
	"testing"
)

// What two processors work out, a bit or two apart, is one figure in the file; a figure that is
// known to ten digits is left alone.
func TestSteadyFigures(t *testing.T) {
	for _, v := range []float64{1.8711742577730301, 0.0123456789012345, -51.48, 1e-12, 123456.789} {
		next := math.Nextafter(math.Nextafter(v, math.Inf(1)), math.Inf(1))
		if got, off := steady(v), steady(next); got != off || math.Abs(got-v) > 1e-9*math.Abs(v) {
			t.Errorf("%v is %v, and the next %v", v, got, off)
		}
	}
	if steady(4.25) != 4.25 || steady(0) != 0 || !math.IsNaN(steady(math.NaN())) {
		t.Error("what is short changes")
	}
}
