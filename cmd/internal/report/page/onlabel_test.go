package page

import (
	"bytes"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// The dry rates that text and page call on label count every limit of a pass, for the
// check and for the plan's loads: at 320 fl oz/ton 125 lb/ac get 20 fl oz/ac, and 200 get
// the 32 that the season leaves.
func TestOnLabelInTextAndPage(t *testing.T) {
	for _, c := range []struct {
		name, more string
		loading    unit.Loading
		applied    unit.LiquidRate
		text, page string
	}{
		{"the label's range", "", 320, 0, "on label there: dry rates of 125 to 250 lb/ac", "on label at 320 fl oz/ton: 125 to 250"},
		{"the season", "season-max: 60 fl oz/ac\n", 320, 28, "on label there: dry rates of 125 to 200 lb/ac", "on label at 320 fl oz/ton: 125 to 200"},
		{"the smallest rate", "min-dry-rate: 150 lb/ac\n", 320, 0, "on label there: dry rates of 150 to 250 lb/ac", "on label at 320 fl oz/ton: 150 to 250"},
		{"none", "max-liquid: 2 gal/ton\n", 320, 0, "on label there: no dry rate, since 320 fl oz/ton would load more than the label allows", "on label at 320 fl oz/ton: none"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.Loading, terms.AlreadyApplied = c.loading, c.applied
		r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 10, Rate: 150}, rxtest.Ground{Acres: 10, Rate: 240})), terms, "")
		var b strings.Builder
		if err := text.Check(&b, r); err != nil {
			t.Fatal(err)
		}
		if text := strings.Join(strings.Fields(b.String()), " "); !strings.Contains(text, c.text) {
			t.Errorf("%s: want %q in %.600s", c.name, c.text, text)
		}
		if page := pageOf(t, r); !bytes.Contains(page, []byte(c.page)) || !bytes.Contains(page, []byte(strings.TrimPrefix(c.text, "on label there: "))) {
			t.Errorf("%s: %q is not on the page", c.name, c.page)
		}
	}
}

// What the plan's loads serve is drawn by the same limits: 60 less 28 fl oz/ac leave 32.
func TestPlanBandsCountEveryLimit(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\nmin-dry-rate: 110 lb/ac\n"))
	terms.AlreadyApplied = 28
	r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 10, Rate: 120}, rxtest.Ground{Acres: 10, Rate: 240})), terms, rx.Loads)
	bands := planBands(r, figures.In(unit.US))
	if len(bands) != 2 {
		t.Fatalf("%d bands", len(bands))
	}
	for i, l := range r.Plan.Layers {
		low, high := max(2000*20/float64(l.Loading), 110), 2000*32/float64(l.Loading)
		if bands[i].Low < low-1e-9 || bands[i].High > high+1e-9 || bands[i].Low > low+1e-9 || bands[i].High < high-1e-9 {
			t.Errorf("%s at %v: %v to %v, want %v to %v", l.Name, float64(l.Loading), bands[i].Low, bands[i].High, low, high)
		}
	}
}

// Rates of 108 and 216 lb/ac span the label's own ratio, 2 to 1: one loading alone serves both,
// 2000 x 20 / 108 = 370.3703704 fl oz/ton, and it is told once.
func TestOneLoadingIsToldOnce(t *testing.T) {
	r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 10, Rate: 108}, rxtest.Ground{Acres: 10, Rate: 216})), rxtest.Terms(rxtest.Label(t, "")), "")
	if page := string(pageOf(t, r)); !strings.Contains(page, "<dd>370.3 fl oz/ton as a meter reads it (exactly 370.3703704) alone</dd>") {
		t.Error("the page tells the one loading otherwise")
	}
}
