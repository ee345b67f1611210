package crs

import (
	"math"
	"testing"
)

// Angles come back into half a turn either way, whose ends stay.
func TestWrap(t *testing.T) {
	for _, c := range []struct{ a, want float64 }{
		{math.Pi, math.Pi}, {-math.Pi, -math.Pi}, {0, 0}, {3, 3}, {-3, -3},
		{4, 4 - 2*math.Pi}, {-4, 2*math.Pi - 4}, {9, 9 - 2*math.Pi}, {-9, 2*math.Pi - 9},
	} {
		if got := wrap(c.a); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: got %v, want %v", c.a, got, c.want)
		}
	}
}
