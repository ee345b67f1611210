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

// Each row has a dot at its value; of a bar, whose ends count, 0 says that there is none.
func TestDotsOfIntervals(t *testing.T) {
	for _, c := range []struct {
		row  Interval
		dots int
	}{
		{Interval{Value: 0.5, Low: 0, High: 2, Bar: true}, 1},
		{Interval{Low: 0, High: 2, Bar: true}, 0},
		{Interval{Low: -1, High: 1}, 1},
		{Interval{Value: -3, Low: -3, High: -3}, 1},
	} {
		d := Intervals{Rows: []Interval{c.row}}
		if got := strings.Count(string(d.Draw().Body), "<circle"); got != c.dots {
			t.Errorf("%+v: %d dots, want %d", c.row, got, c.dots)
		}
	}
}

// The axis of a curve counts to its end and not beyond, also where steps are no whole numbers.
func TestAxisOfACurveEndsWithIt(t *testing.T) {
	for high, want := range map[float64]int{8: 9, 0.8: 9, 8.5: 5, 7.9: 8} { // of ticks
		c := Curve{High: high, Of: func(float64) float64 { return 0.5 }}
		var last int
		ticks := strings.Split(string(c.Draw().Body), `<text class="mid" x="`)[1:]
		ticks = ticks[:len(ticks)-1] // the axis is named last
		for _, tick := range ticks {
			fmt.Sscan(strings.SplitN(tick, `"`, 2)[0], &last)
		}
		if len(ticks) != want || last > chartRight {
			t.Errorf("to %v: %d ticks, the last at %d of %d, want %d", high, len(ticks), last, chartRight, want)
		}
	}
}
