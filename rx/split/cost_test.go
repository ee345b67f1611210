package split_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

const priced = `blender: {batch: 3 ton}
prices:
  stabilizer: 40 $/gal
  second-liquid: 25 $/gal
  drying-agent: 0.60 $/lb
  blending: 12 $/ton
  dry-spreading: 7.50 $/ac
  wet-boom: 4 $/ac
  extra-pass: 7.50 $/ac
  nitrogen: 0.60 $/lb
`

// judged returns a way of a field of one rate, or of two rates that no loading serves.
func judged(t *testing.T, grounds []rxtest.Ground, jobText string, units unit.System, way rx.WayName) rx.Way {
	t.Helper()
	terms := rxtest.Terms(rxtest.Label(t, "density: 9 lb/gal\ndrying-agent: 1 lb/pt\n"))
	terms.Job, terms.Units = job(t, jobText), units
	terms.Further = rxtest.FurtherOf(terms.Job)
	p := rxtest.Plain(grounds...)
	for _, w := range split.For(p, rxtest.Grade(t, p, terms), nil).Ways() {
		if w.Name == way {
			return w
		}
	}
	t.Fatalf("no way %s", way)
	return rx.Way{}
}

func item(w rx.Way, what string) (rx.CostItem, bool) {
	i := slices.IndexFunc(w.Cost.Items, func(i rx.CostItem) bool { return i.What == what })
	if i < 0 {
		return rx.CostItem{}, false
	}
	return w.Cost.Items[i], true
}

// Priced is what batches take as they are weighed and metered, by hand: 33 ac at 201
// lb/ac are 6633 lb at 298.5 fl oz/ton, two batches of 3317 lb (3316.5 rounded up) with
// 495 fl oz (495.06) each, and 30.94 lb of agent (30.9375, at a pound a pint).
func TestCostIsOfWhatIsMetered(t *testing.T) {
	w := judged(t, []rxtest.Ground{{Acres: 33, Rate: 201}}, priced, unit.US, rx.OneLoad)
	near(t, "loading", float64(w.Loads[0].Loading), 298.5, 1e-12)
	near(t, "as planned", float64(w.Stabilizer), 6633*298.5/2000, 1e-12)
	near(t, "as metered", float64(w.Metered), 2*495, 1e-12)
	for _, c := range []struct {
		what, of string
		amount   float64
	}{
		{"stabilizer", "7.7344 gal", 990.0 / 128 * 40},
		{"impregnating", "3.317 ton", 3.317 * 12},
		{"drying agent", "61.88 lb", 61.88 * 0.6},
		{"dry spreading", "33.00 ac", 33 * 7.5},
	} {
		got, ok := item(w, c.what)
		if !ok || got.Of != c.of {
			t.Errorf("%s: got %+v, want %s", c.what, got, c.of)
		}
		near(t, c.what, got.Amount, c.amount, 1e-9)
	}
}

// A further liquid brings drying agent of its own, a pound a pint: 6000 lb at 64 fl
// oz/ton are 192 fl oz, 12 lb, on top of 56.25 lb for 900 fl oz.
func TestSecondLiquidIsPriced(t *testing.T) {
	const second = "second-liquid: {name: another, loading: 64 fl oz/ton}\n"
	grounds := []rxtest.Ground{{Acres: 30, Rate: 200}}
	w := judged(t, grounds, second+priced, unit.US, rx.OneLoad)
	agent, _ := item(w, "drying agent")
	near(t, "agent", agent.Amount, (56.25+12)*0.6, 1e-9)
	liquid, _ := item(w, "another")
	near(t, "further liquid", liquid.Amount, 192.0/128*25, 1e-9)

	without := judged(t, grounds, second+strings.Replace(priced, "  second-liquid: 25 $/gal\n", "", 1), unit.US, rx.OneLoad)
	if !slices.Contains(without.Cost.Missing, "another") {
		t.Errorf("a further liquid without a price is not missing: %+v", without.Cost)
	}
	boom := judged(t, grounds, second+priced, unit.US, rx.WetBoom)
	liquid, _ = item(boom, "another") // which the untreated dry carries
	near(t, "further liquid of a wet boom", liquid.Amount, 192.0/128*25, 1e-9)
}

// Loads spread every acre once, in passes of their own: what they drive beyond is the
// field once more at most, where no machine is known. A
// base that takes a second pass spreads every acre again, and that is priced.
func TestPassesInCost(t *testing.T) {
	grounds := []rxtest.Ground{{Acres: 140, Rate: 100}, {Acres: 60, Rate: 250}}
	for _, c := range []struct {
		way    rx.WayName
		job    string
		passes int
		priced float64 // of the extra pass
		more   float64 // at most, of the driving
		not    string  // priced
	}{
		{rx.Loads, priced, 2, 0, 1500, ""},
		{rx.Loads, strings.Replace(priced, "  extra-pass: 7.50 $/ac\n", "", 1), 2, 0, 0, "extra pass"},
		{rx.Base, priced, 2, 1500, 0, ""},
		{rx.Base, "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, bins: 2}\n" + priced, 1, 0, 0, ""},
		{rx.Refit, priced, 1, 0, 0, ""},
	} {
		w := judged(t, grounds, c.job, unit.US, c.way)
		extra, _ := item(w, "extra pass")
		if w.Passes != c.passes || extra.Amount != c.priced || math.Abs(w.Cost.High-w.Cost.Low-c.more) > 1e-9 || strings.Join(w.Cost.Missing, ", ") != c.not {
			t.Errorf("%s: got %d passes, %+v, %+v; want %+v", c.way, w.Passes, extra, w.Cost, c)
		}
	}
}

// In metric units, batches are weighed in kilograms and metered in milliliters.
func TestCostInMetric(t *testing.T) {
	w := judged(t, []rxtest.Ground{{Acres: 33, Rate: 201}}, priced, unit.Metric, rx.OneLoad)
	n := float64(w.Metered / unit.Milliliter)
	if whole := float64(int(n + 0.5)); n-whole > 1e-6 || whole-n > 1e-6 {
		t.Errorf("metered %v mL", n)
	}
	for _, i := range w.Cost.Items {
		if strings.HasSuffix(i.Of, "gal") || strings.HasSuffix(i.Of, "lb") || strings.HasSuffix(i.Of, "ton") || strings.HasSuffix(i.Of, "ac") {
			t.Errorf("%+v in metric units", i)
		}
	}
}
