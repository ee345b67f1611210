package split

import (
	"testing"

	"rxsplit/label/unit"
)

// The room that is left is never printed as the whole rate error, nor as more than it is.
func TestRoomFor(t *testing.T) {
	for _, c := range []struct {
		room  float64
		whole unit.Ratio
		want  string
	}{
		{0.0249, 0.03, "2.4 %"},
		{0.02, 0.03, "2 %"},
		{0.029998, 0.03, "2.9 %"},
		{0.0299999, 0.03, "2.9 %"},
		{0.00999996, 0.01, "0.9 %"},
		{0.03149999, 0.0315, "3.1 %"},
		{0.0312345, 0.03124, "3.1 %"},
		{0.03120005, 0.0312001, "3.1 %"},
		{0.000004, 0.03, "0.0004 %"},
	} {
		if got := roomFor(c.room, c.whole).Text(unit.US); got != c.want {
			t.Errorf("%v of %v: got %s, want %s", c.room, c.whole, got, c.want)
		}
	}
}
