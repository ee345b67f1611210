package rx_test

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// The dry rates that stay on label at a loading, 2000·L/A to 2000·H/A, by hand for 20 to
// 40 fl oz/ac, and each limit that narrows them or leaves none.
func TestDryWindow(t *testing.T) {
	for _, c := range []struct {
		name, more string
		loading    unit.Loading
		applied    unit.LiquidRate
		further    []rx.JobLiquid
		low, high  float64
		why        string // empty: there is a window
	}{
		{"the label's range", "", 320, 0, nil, 125, 250, ""},
		{"nothing applied", "season-max: 60 fl oz/ac\n", 320, 0, nil, 125, 250, ""},
		{"room for less", "season-max: 60 fl oz/ac\n", 320, 28, nil, 125, 200, ""}, // H = 32
		{"room for the least alone", "season-max: 60 fl oz/ac\n", 320, 40, nil, 125, 125, ""},
		{"no room", "season-max: 60 fl oz/ac\n", 320, 41, nil, 0, 0, "the season leaves 19 fl oz/ac, less than the label's least, 20 fl oz/ac"},
		{"smallest impregnated rate", "min-dry-rate: 150 lb/ac\n", 320, 0, nil, 150, 250, ""},
		{"smallest below the window", "min-dry-rate: 100 lb/ac\n", 320, 0, nil, 125, 250, ""},
		{"smallest at its end", "min-dry-rate: 250 lb/ac\n", 320, 0, nil, 250, 250, ""},
		{"smallest above it", "min-dry-rate: 251 lb/ac\n", 320, 0, nil, 0, 0, "no more than 250 lb/ac may be spread"},
		{"smallest above the season's", "season-max: 60 fl oz/ac\nmin-dry-rate: 210 lb/ac\n", 320, 28, nil, 0, 0, "no more than 200 lb/ac may be spread"},
		{"own range", "loading: {min: 320 fl oz/ton, max: 330 fl oz/ton}\n", 320, 0, nil, 125, 250, ""},
		{"under its own range", "loading: {min: 321 fl oz/ton, max: 330 fl oz/ton}\n", 320, 0, nil, 0, 0, "320 fl oz/ton would load less than the label's least, 321 fl oz/ton"},
		{"over its own range", "loading: {min: 100 fl oz/ton, max: 319 fl oz/ton}\n", 320, 0, nil, 0, 0, "320 fl oz/ton would load more than the label's most, 319 fl oz/ton"},
		{"most liquid", "max-liquid: 2.5 gal/ton\n", 320, 0, nil, 125, 250, ""},
		{"too much liquid", "max-liquid: 2.4 gal/ton\n", 320, 0, nil, 0, 0, "a ton takes up 307.2 fl oz/ton at most"},
		{"both liquids", "max-liquid: 3 gal/ton\n", 320, 0, rxtest.Further(64), 125, 250, ""}, // 384
		{"both too much", "max-liquid: 3 gal/ton\n", 320, 0, rxtest.Further(65), 0, 0, "a ton takes up 384 fl oz/ton at most, 65 fl oz/ton of it another"},
		{"no bound to both", "", 320, 0, rxtest.Further(65), 125, 250, ""},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.AlreadyApplied, terms.Further = c.applied, c.further
		got, why := terms.DryWindow(terms.Fixed(c.loading)...)
		if (why == "") != (c.why == "") || !strings.Contains(why, c.why) {
			t.Errorf("%s: got %q, want %q", c.name, why, c.why)
		}
		if math.Abs(float64(got.Min)-c.low) > 1e-9 || math.Abs(float64(got.Max)-c.high) > 1e-9 {
			t.Errorf("%s: got %v to %v, want %v to %v", c.name, float64(got.Min), float64(got.Max), c.low, c.high)
		}
	}
}

// What a ton takes up is shared with the further liquid: 3 gal are 384 fl oz, and rates
// of 120 to 200 lb/ac need 333.3 to 400 fl oz/ton.
func TestWindowCountsTheFurtherLiquid(t *testing.T) {
	const per = "loading: {min: 340 fl oz/ton, max: 500 fl oz/ton}\n"
	for _, c := range []struct {
		further unit.Loading
		more    string
		max     float64
		why     string
	}{
		{0, "", 384, ""},
		{24, "", 360, ""},
		{50, "", 334, ""},
		{51, "", 0, "needs 333.3 fl oz/ton to stay on label, and a ton takes up 384 fl oz/ton at most, 51 fl oz/ton of it another"},
		{384, "", 0, "a ton takes up 384 fl oz/ton at most, which another alone, 384 fl oz/ton, fills"},
		{44, per, 340, ""},
		{45, per, 0, "45 fl oz/ton of it another, and the label asks for at least 340 fl oz/ton of stabilizer"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, "max-liquid: 3 gal/ton\n"+c.more))
		if c.further > 0 {
			terms.Further = rxtest.Further(c.further)
		}
		w, why := terms.WindowFor(rx.Range[unit.DryRate]{Min: 120, Max: 200}, 0)
		if (w != nil) != (c.why == "") || !strings.Contains(why, c.why) {
			t.Errorf("%v: got %v, %q", float64(c.further), w, why)
		}
		if w != nil && math.Abs(float64(w.Max)-c.max) > 1e-9 {
			t.Errorf("%v: up to %v, want %v", float64(c.further), float64(w.Max), c.max)
		}
	}
}

// Each limit that a dose of 2000 lb breaks is named; at one ton a fluid ounce is a fluid
// ounce a ton, and 125 to 250 lb/ac allow 320 alone.
func TestWhyNotDose(t *testing.T) {
	const per = "loading: {min: 310 fl oz/ton, max: 330 fl oz/ton}\n"
	flat := rx.Range[unit.DryRate]{Min: 200, Max: 200} // 200 to 400 fl oz/ton
	for _, c := range []struct {
		name, more string
		rates      rx.Range[unit.DryRate]
		dose       unit.Volume
		applied    unit.LiquidRate
		further    []rx.JobLiquid
		want       string
	}{
		{"allowed", per, flat, 330, 0, nil, ""},
		{"rate above", "", rx.Range[unit.DryRate]{Min: 125, Max: 250}, 321, 0, nil, "put ground above the label's most, 40 fl oz/ac"},
		{"rate below", "", rx.Range[unit.DryRate]{Min: 125, Max: 250}, 319, 0, nil, "leave ground below the label's least, 20 fl oz/ac"},
		{"loading above", per, flat, 331, 0, nil, "load more than the label's most, 330 fl oz/ton"},
		{"loading below", per, flat, 309, 0, nil, "load less than the label's least, 310 fl oz/ton"},
		{"liquid", "max-liquid: 2.5 gal/ton\n", flat, 321, 0, nil, "load more than the label allows: a ton takes up 320 fl oz/ton at most"},
		{"both liquids", "max-liquid: 3 gal/ton\n", flat, 321, 0, rxtest.Further(64), "load more than the label allows: a ton takes up 384 fl oz/ton at most, 64 fl oz/ton of it another"},
		{"season", "season-max: 60 fl oz/ac\n", flat, 321, 28, nil, "put ground above the 32 fl oz/ac that the season maximum leaves"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.AlreadyApplied, terms.Further = c.applied, c.further
		if got := terms.WhyNotDose(rx.Load{Loading: 320, Further: terms.Fixed(320)[1:], Rates: c.rates}, 0, unit.Ton, c.dose); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

// The further liquid of a batch is rounded so that both together are no more than a ton
// takes up. 1010 lb take 161.6 and 32.825 fl oz; where a ton takes up 386 in all, that is
// 194.93, and 162 of the one leave 32 whole ones of the other.
func TestFurtherLiquidIsRoundedInward(t *testing.T) {
	for _, c := range []struct {
		more           string
		liquid, second unit.Volume
	}{
		{"", 162, 33},
		{"max-liquid: 400 fl oz/ton\n", 162, 33},
		{"max-liquid: 386 fl oz/ton\n", 162, 32},
		{"max-liquid: 385 fl oz/ton\n", 161, 33}, // 194.425; 320 fl oz/ton of stabilizer at most
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.Further = rxtest.Further(65)
		_, one, _ := terms.Batches(rx.Load{Loading: 320, Further: terms.Fixed(320)[1:], Mass: 1010, Rates: rx.Range[unit.DryRate]{Min: 150, Max: 200}})
		if one.Liquid != c.liquid || one.Further[0].Liquid != c.second {
			t.Errorf("%q: got %v and %v, want %v and %v", c.more, float64(one.Liquid), float64(one.Further[0].Liquid), float64(c.liquid), float64(c.second))
		}
	}
}
