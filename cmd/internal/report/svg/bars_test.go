package svg

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/label/unit"
)

// The axis of rates begins a sixtieth of its length before what is drawn, and never below 0.
func TestWhereTheAxisOfRatesBegins(t *testing.T) {
	const span = chartRight - chartLeft
	for _, c := range []struct {
		low  float64
		left int // of the band, which begins with the first bar
	}{
		{0, chartLeft}, {0.5, chartLeft + round(1.0/62*span)}, {30, chartLeft + round(1.0/62*span)},
	} {
		b := Bars{Units: unit.US, Low: c.low, Size: 15, Stack: []Part{{Name: "within"}}, Areas: [][]unit.Area{{1}, {2}}, Bands: []Band{{c.low, c.low + 10, "label"}}}
		if got, want := string(b.Draw().Body), fmt.Sprintf(`<rect class="band" x="%d"`, c.left); !strings.Contains(got, want) {
			t.Errorf("from %v: no %s in %.200s", c.low, want, got)
		}
	}
}
