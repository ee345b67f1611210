package page

import (
	"bytes"
	"testing"

	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/rx/rxtest"
)

// Of nothing there are no shares: no bar, and no part that is no number.
func TestNoGroundHasNoShares(t *testing.T) {
	r := reporttest.PlanFor(t, rxtest.Plain(), rxtest.Terms(rxtest.Label(t, "")), "")
	page := pageOf(t, r)
	for _, odd := range []string{">NaN", "NaN%", "NaN ", "+Inf", "As one blend"} {
		if at := bytes.Index(page, []byte(odd)); at >= 0 {
			t.Errorf("a page of no zones holds %s: %.60s", odd, page[max(at-30, 0):])
		}
	}
}
