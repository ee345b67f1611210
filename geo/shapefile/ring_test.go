package shapefile

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// Four times the signed area of a ring: the other way round the sign alone differs, whatever
// the coordinates round to.
func TestEvenDoubleArea(t *testing.T) {
	for _, c := range []struct {
		ring orb.Ring
		want float64
	}{
		{orb.Ring{{0, 0}, {4, 0}, {4, 3}, {0, 3}, {0, 0}}, 48},
		{orb.Ring{{10, 10}, {14, 10}, {10, 13}, {10, 10}}, 24},
		{orb.Ring{{-90.4, 47.3}, {-90.39, 47.3}, {-90.387, 47.306}, {-90.39, 47.31}, {-90.4, 47.31}, {-90.4, 47.3}}, 4 * 1.15e-4},
	} {
		got := evenDoubleArea(c.ring)
		back := slices.Clone(c.ring)
		slices.Reverse(back)
		if turned := evenDoubleArea(back); got != -turned || got < c.want*(1-1e-9) || got > c.want*(1+1e-9) {
			t.Errorf("%v: %v, and %v the other way, want %v", c.ring, got, turned, c.want)
		}
	}
}
