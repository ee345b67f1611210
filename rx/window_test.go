package rx_test

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// What one pass may put on the ground, by hand, for a label of 20 to 40 fl oz/ac: the
// season maximum less what is applied, and never more than the label's own maximum.
func TestPassRange(t *testing.T) {
	for _, c := range []struct {
		name, more string
		applied    unit.LiquidRate
		max        float64
		why        string // empty: there is room
	}{
		{"no season maximum", "", 500, 40, ""},
		{"nothing applied", "season-max: 60 fl oz/ac\n", 0, 40, ""},
		{"room for more than the label allows", "season-max: 60 fl oz/ac\n", 10, 40, ""},
		{"room for just that", "season-max: 60 fl oz/ac\n", 20, 40, ""},
		{"room for less", "season-max: 60 fl oz/ac\n", 25, 35, ""},
		{"room for the least", "season-max: 60 fl oz/ac\n", 40, 20, ""},
		{"room for too little", "season-max: 60 fl oz/ac\n", 41, 0, "(season maximum 60 fl oz/ac, 41 fl oz/ac already applied)"},
		{"no room", "season-max: 60 fl oz/ac\n", 70, 0, "leaves 0 fl oz/ac"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.AlreadyApplied = c.applied
		r, why := terms.PassRange()
		if (why == "") != (c.why == "") || !strings.Contains(why, c.why) {
			t.Errorf("%s: got %q, want %q", c.name, why, c.why)
		}
		if c.why == "" && (r.Min != 20 || math.Abs(float64(r.Max)-c.max) > 1e-9) {
			t.Errorf("%s: got %v to %v, want 20 to %v", c.name, float64(r.Min), float64(r.Max), c.max)
		}
	}
}

// The window of 150 to 190 lb/ac, 2000·20/150 to 2000·H/190, shrinks with what is
// applied already, from H = 40 down, until there is none.
func TestWindowCountsTheSeason(t *testing.T) {
	for _, c := range []struct {
		applied unit.LiquidRate
		max     float64 // 0: there is no window
	}{
		{10, 421.052632}, // H = 40
		{30, 315.789474}, // H = 30
		{34, 273.684211}, // H = 26
		{35, 0},          // H = 25: 1.25 times, and the rates are 1.267 times
		{45, 0},          // H would be 15
	} {
		terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\n"))
		terms.AlreadyApplied = c.applied
		w, why := terms.WindowFor(rx.Range[unit.DryRate]{Min: 150, Max: 190}, 0)
		if (w != nil) != (c.max > 0) || (w == nil) != (why != "") {
			t.Errorf("%v applied: got %v, %q", float64(c.applied), w, why)
			continue
		}
		if w != nil && (math.Abs(float64(w.Min)-266.666667) > 1e-6 || math.Abs(float64(w.Max)-c.max) > 1e-6) {
			t.Errorf("%v applied: got %v to %v, want 266.666667 to %v", float64(c.applied), float64(w.Min), float64(w.Max), c.max)
		}
	}
}

// Two liquids share what a ton takes up, 512 fl oz, on 95 lb/ac, by hand: 20 to 40 fl oz/ac
// of the first are 421.053 fl oz/ton or more, 2 to 8 of the other 42.105 or more, so that
// they have 469.895 and 90.947 at most beside each other. 30 and 4 fl oz/ac would take
// 631.579 and 84.211; cut to 469.895 and 84.211 they are 554.105, 42.105 too many. Of the
// 90.947 above their least ends 48.842 are left, 0.53704 of each.
func TestDosesShareWhatATonTakesUp(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Further = []rx.JobLiquid{{Name: "x", Intended: 4, On: equip.OnBlend, Label: rxtest.Profile(t, "name: x\nrate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\nmax-liquid: 4 gal/ton\n")}}
	windows, why := terms.Windows(rx.Range[unit.DryRate]{Min: 95, Max: 95}, 0)
	if windows == nil {
		t.Fatal(why)
	}
	got := terms.Doses(95, windows)
	for k, want := range []struct{ low, high, dose float64 }{{421.052632, 469.894737, 447.282629}, {42.105263, 90.947368, 64.717371}} {
		if w := windows[k]; math.Abs(float64(w.Min)-want.low) > 1e-6 || math.Abs(float64(w.Max)-want.high) > 1e-6 || math.Abs(float64(got[k])-want.dose) > 1e-3 {
			t.Errorf("liquid %d: %v to %v, dose %v; want %+v", k, float64(w.Min), float64(w.Max), float64(got[k]), want)
		}
	}
	if sum := got[0] + got[1]; math.Abs(float64(sum)-512) > 1e-9 {
		t.Errorf("together %v", float64(sum))
	}
}

// What makes the ends of a window, by hand: on 150 to 200 lb/ac the label's 20 to 40 fl oz/ac allow 266.7 to 400
// fl oz/ton.
func TestWindowSaysWhatMakesItsEnds(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 40, Rate: 150}, rxtest.Ground{Acres: 40, Rate: 200}))
	for _, c := range []struct {
		label     string
		already   unit.LiquidRate
		low, high string
	}{
		{"max-liquid: 3.125 gal/ton\n", 0, "", ""}, // 400
		{"max-liquid: 3.12 gal/ton\n", 0, "", "the most liquid that a ton takes up"},
		{"loading: {min: 267 fl oz/ton, max: 399 fl oz/ton}\n", 0, "the least of the label's own range per ton", "the most of the label's own range per ton"},
		{"loading: {min: 266 fl oz/ton, max: 401 fl oz/ton}\n", 0, "", ""},
		{"season-max: 60 fl oz/ac\n", 20, "", ""},
		{"season-max: 60 fl oz/ac\n", 21, "", "what the season maximum leaves"},
		{"season-max: 60 fl oz/ac\n", 50, "", ""}, // no window
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.label))
		terms.AlreadyApplied = c.already
		if low, high := terms.WindowEnds(p, 0); low != c.low || high != c.high {
			t.Errorf("%s %v: %q, %q", c.label, c.already, low, high)
		}
	}
}

// Rates as far apart as the label's own are served, and so are those that rounding sets farther
// apart by a billionth; none by two.
func TestWindowTakesWhatRoundingMakes(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	for most, served := range map[unit.DryRate]bool{2: true, 2 * (1 + 1e-9): true, 2 * (1 + 2e-9): false} {
		if w, why := terms.WindowFor(rx.Range[unit.DryRate]{Min: 1, Max: most}, 0); (w != nil) != served || (why == "") != served {
			t.Errorf("1 to %.10f lb/ac: %v, %q", float64(most), w, why)
		}
	}
}

// No loading serves a zone whose season is full, also where a boom would leave it out: treated
// dry can't. What ground has had that gets none of the treated product means nothing.
func TestWindowWhereTheSeasonIsFull(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 150}, rxtest.Ground{Acres: 10, Rate: 200}, rxtest.Ground{Acres: 10, Rate: 0})
	terms.Already, terms.LeaveOff, terms.NoRoom = []unit.LiquidRate{0, 70, 0}, true, []int{1}
	if w, why := terms.Window(p, 0); w != nil || !strings.Contains(why, "the season leaves 10 fl oz/ac") {
		t.Errorf("%v to %v, %s", w.Min, w.Max, why)
	}
	terms.Already, terms.NoRoom = []unit.LiquidRate{0, 48, 70}, nil // at most 32 fl oz/ac at 200 lb/ac
	if w, why := terms.Window(p, 0); w == nil || math.Abs(float64(w.Max)-320) > 1e-9 {
		t.Errorf("%v, %s", w, why)
	}
}
