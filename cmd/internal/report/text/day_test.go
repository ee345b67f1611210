package text

import (
	"strings"
	"testing"
	"unicode/utf8"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
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
