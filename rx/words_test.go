package rx_test

import (
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

func TestZonesNamed(t *testing.T) {
	for want, zones := range map[string][]int{
		"no zone":                           nil,
		"zone 3":                            {3},
		"zones 3 and 5":                     {3, 5},
		"zones 1, 2, 3, 4, 5 and 6":         {1, 2, 3, 4, 5, 6},
		"zones 1, 2, 3, 4, 5, 6 and 1 more": {1, 2, 3, 4, 5, 6, 7},
		"zones 9, 8, 7, 6, 5, 4 and 3 more": {9, 8, 7, 6, 5, 4, 3, 2, 1},
	} {
		if got := rx.ZonesNamed(zones); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestWordsOfFindings(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{rx.ZonesText(1, 2.5, unit.US), "1 zone (2.50 ac)"},
		{rx.ZonesText(12, 100*unit.Hectare, unit.Metric), "12 zones (100.00 ha)"},
		{rx.Listed([]string{"a", "b"}, 2), "a, b"},
		{rx.Listed([]string{"a", "b", "c", "d"}, 2), "a, b and 2 more"},
		{rx.Listed(nil, 2), ""},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
