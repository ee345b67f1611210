package text

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/rxtest"
)

// Runs of many fields with weights and loadings as long as they come are told in 80 columns, and each field of them by its number.
func TestRunsFitTheScreen(t *testing.T) {
	fields := []int{0, 1, 2, 9, 12}
	for n, want := range []string{"1", "1 + 2", "1 + 2 + 3", "1 + 2 + 3 + 10", "1 + 2 + 3 + 10 + 13"} {
		d := report.Day{Fields: make([]report.DayField, 13), Loadings: make([]report.DayLoading, 1), Runs: []rx.Run{{Terms: rxtest.Terms(rxtest.Label(t, "")), Lots: []rx.Lot{{
			Fields: fields[:n+1], Batched: true, Load: rx.Load{Loading: 266.7}, Left: &rx.LotLeft{Of: 9, Weighed: 3745, Dry: 3703, Loading: 170},
			Portion: rx.Portion{Count: 76, Dry: 11677 * unit.Pound, Liquid: 1042},
		}}}}}
		d.Hauls = []rx.Haul{{Field: 11, Run: 0, Product: "treated dry", Weight: 585445, Loads: 37, Each: 15823}}
		var b strings.Builder
		dayRuns(&printer{w: &b}, d)
		for line := range strings.Lines(b.String()) {
			if wide := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); wide > 80 {
				t.Errorf("%d fields: %d columns: %s", n+1, wide, line)
			}
		}
		if !strings.Contains(strings.Join(strings.Fields(b.String()), " "), want) {
			t.Errorf("%d fields: %q is not said in\n%s", n+1, want, b.String())
		}
	}
}

// Windows are bars over one axis of 80 columns' room, from the lowest end to the highest; letters are loadings that
// fields share, strokes those of others of their blend. A window that is a point lies in the middle.
func TestWindowsAreDrawn(t *testing.T) {
	drawing := func(d report.Day) string {
		var b strings.Builder
		dayDrawing(&printer{w: &b}, d)
		return b.String()
	}
	window := func(low, high unit.Loading) *day.Window { return &day.Window{Min: low, Max: high} }
	row := func(d report.Day, field int) string { // its axis
		for line := range strings.Lines(drawing(d)) {
			if r := []rune(strings.TrimSuffix(line, "\n")); strings.HasPrefix(line, fmt.Sprintf("%4d  ", field)) {
				return strings.TrimRight(string(r[6+drawnName:min(len(r), 6+drawnName+drawnAxis)]), " ")
			}
		}
		return "none"
	}
	if got := drawing(report.Day{Fields: []report.DayField{{Path: "a.shp", Shared: -1}}}); got != "" {
		t.Errorf("without a window: %q", got)
	}
	point := report.Day{Fields: []report.DayField{{Path: "a.shp", Window: window(200, 200), Shared: 0}, {Path: "b.shp", Why: []string{"x"}, Shared: -1, Blend: 1}}, Loadings: []report.DayLoading{{Value: 200}}}
	if got, want := row(point, 1), strings.Repeat(" ", drawnAxis/2)+"A"; got != want {
		t.Errorf("a window that is a point: %q, want %q", got, want)
	}
	last := drawnAxis - 1
	d := report.Day{Loadings: []report.DayLoading{{Value: 100}, {Value: 100 + unit.Loading(last)}, {Value: 103, Blend: 1}}, Fields: []report.DayField{
		{Path: "a.shp", Window: window(100, 105), Shared: 0}, {Path: "b.shp", Window: window(102, 100+unit.Loading(last)), Shared: 1},
		{Path: "c.shp", Window: window(101.4, 103.6), Shared: 2, Blend: 1}, {Path: "d.shp", Shared: -1, Window: window(100, 100)},
	}}
	for field, want := range map[int]string{
		1: "A=====" + strings.Repeat(" ", last-6) + "|", 2: "| " + strings.Repeat("=", last-2) + "B", 3: " ==C=", 4: "=" + strings.Repeat(" ", last-1) + "|",
	} {
		if got := row(d, field); got != want {
			t.Errorf("field %d: %q, want %q", field, got, want)
		}
	}
}
