package check_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/tell"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %.10g, want %.10g", what, got, want)
	}
}

func numbers(t *testing.T, what string, got []int, want ...int) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: got %v, want %v", what, got, want)
		return
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%s: got %v, want %v", what, got, want)
			return
		}
	}
}

func found(a *rx.Assessment, rule string) (rx.Finding, bool) {
	for _, f := range a.Findings {
		if f.Rule() == rule {
			return f, true
		}
	}
	return rx.Finding{}, false
}

// The worked field: exact arithmetic of S = A·R/2000, by hand.
func TestFourZones(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320 * unit.FluidOuncePerTon
	p := rxtest.Plain(rxtest.FourGrounds()...)
	a := rxtest.Grade(t, p, terms)
	wantS := []float64{16, 28.8, 40, 48}
	wantV := []rx.Verdict{rx.Below, rx.Within, rx.Within, rx.Above}
	for i, z := range p.Zones {
		near(t, "S", float64(unit.StabilizerRate(a.Loading, z.Carrier)), wantS[i], 1e-12)
		if a.Verdicts[i] != wantV[i] {
			t.Errorf("zone %d: got %v, want %v", z.Number(), a.Verdicts[i], wantV[i])
		}
	}
	near(t, "below", float64(a.Shares[rx.Below].Area), 40, 1e-12)
	near(t, "within", float64(a.Shares[rx.Within].Area), 105, 1e-12)
	near(t, "above", float64(a.Shares[rx.Above].Area), 15, 1e-12)
	near(t, "dry lb", float64(a.Mass), 30550, 1e-9)
	near(t, "volume", float64(a.Volume), 4888, 1e-9)
	sum := 0.0
	for _, z := range p.Zones {
		sum += float64(unit.VolumeOver(unit.StabilizerRate(a.Loading, z.Carrier), z.Area))
	}
	near(t, "volume as the sum of a·S", sum, 4888, 1e-9)
	near(t, "mean S", float64(a.MeanRate), 30.55, 1e-12)
	near(t, "dry window", float64(a.OnLabel.Min), 125, 1e-12)
	near(t, "dry window", float64(a.OnLabel.Max), 250, 1e-12)
	if a.Window != nil {
		t.Errorf("300/100 is more than 40/20, yet one loading serves all: %v", *a.Window)
	}
	if !strings.Contains(a.WhyNoWindow, "3 to 1") || !strings.Contains(a.WhyNoWindow, "2 to 1") {
		t.Errorf("the reason names no ratio: %s", a.WhyNoWindow)
	}
}

// A loading that is worked out puts no zone off label by its rounding: 30 fl oz/ac over
// 170 lb/ac is 352.941... fl oz/ton, and over rates that span the whole label none but the
// exact one serves.
func TestRoundingPutsNothingOffLabel(t *testing.T) {
	one := rxtest.Label(t, "")
	one.Rate.Min, one.Rate.Max = 30, 30
	for _, c := range []struct {
		what  string
		terms rx.Terms
		rates []unit.DryRate
		want  float64
		off   unit.Area
	}{
		{"one rate", rxtest.Terms(one), []unit.DryRate{170}, 2000 * 30.0 / 170, 0},
		{"one rate, others beside it", rxtest.Terms(one), []unit.DryRate{160, 170, 180}, 2000 * 30.0 / 170, 2},
		{"the whole label", rxtest.Terms(rxtest.Label(t, "")), []unit.DryRate{113, 226}, 2000 * 30 / 169.5, 0},
		{"room for a meter", rxtest.Terms(rxtest.Label(t, "")), []unit.DryRate{150, 190}, 352.9, 0},
	} {
		var grounds []rxtest.Ground
		for _, r := range c.rates {
			grounds = append(grounds, rxtest.Ground{Acres: 1, Rate: r})
		}
		a := rxtest.Grade(t, rxtest.Plain(grounds...), c.terms)
		near(t, c.what+": loading", float64(a.Loading), c.want, 1e-6)
		near(t, c.what+": ac off label", float64(a.OffLabel()), float64(c.off), 0)
	}
}

// The mean of the field is on label while 55 of 160 acres are not.
func TestNeverGradesOnTheMean(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
	if a.Range.Under(a.MeanRate) || a.Range.Over(a.MeanRate) {
		t.Fatalf("the mean, %v, should be on label here", a.MeanRate)
	}
	near(t, "off label", float64(a.OffLabel()), 55, 1e-12)
	if !a.Flagged() {
		t.Error("nothing is flagged")
	}
}

// Both ends of the label are allowed, and rounding at them does not decide.
func TestEdges(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading = 320
	for _, c := range []struct {
		rate unit.DryRate
		want rx.Verdict
	}{
		{125, rx.Within}, {250, rx.Within},
		{125 * (1 - 0.9e-9), rx.Within}, {250 * (1 + 0.9e-9), rx.Within},
		{125 * (1 - 1.1e-9), rx.Below}, {250 * (1 + 1.1e-9), rx.Above},
		{124.999, rx.Below}, {250.001, rx.Above},
		{0, rx.NoDry}, {unit.DryRate(math.NaN()), rx.NoRate},
		{100, rx.Below}, {200, rx.Within}, {260, rx.Above},
	} {
		a := rxtest.Grade(t, rxtest.Plain(rxtest.Ground{Acres: 1, Rate: c.rate}), terms)
		if a.Verdicts[0] != c.want {
			t.Errorf("%v lb/ac: got %v, want %v", float64(c.rate), a.Verdicts[0], c.want)
		}
	}
}

// One loading serves a prescription if and only if Rmax/Rmin ≤ H/L, with a rate
// error e if Rmax(1+e)/(Rmin(1−e)) ≤ H/L. Exact arithmetic, by hand.
func TestWindow(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	for _, c := range []struct {
		low, high unit.DryRate
		e         unit.Ratio
		min, max  float64 // 0: none
	}{
		{120, 260, 0, 0, 0}, // 2.1667
		{150, 260, 0, 266.666667, 307.692308},
		{150, 260, 0.05, 280.701754, 293.040293}, // 1.91579
		{125, 250, 0, 320, 320},                  // a point
		{125, 250, 0.01, 0, 0},
		{200, 200, 0, 200, 400},
	} {
		p := rxtest.Plain(rxtest.Ground{Acres: 1, Rate: c.low}, rxtest.Ground{Acres: 1, Rate: c.high}, rxtest.Ground{Acres: 5, Rate: 0})
		w, why := terms.Window(p, c.e)
		switch {
		case c.min == 0 && w != nil:
			t.Errorf("%v to %v: got %v, want none", c.low, c.high, *w)
		case c.min == 0:
			if why == "" {
				t.Errorf("%v to %v: no reason", c.low, c.high)
			}
		case w == nil:
			t.Errorf("%v to %v: got none: %s", c.low, c.high, why)
		default:
			near(t, "lowest loading", float64(w.Min), c.min, 1e-6)
			near(t, "highest loading", float64(w.Max), c.max, 1e-6)
		}
	}
	// The loading that centers the prescription: equal ratio margin at both ends.
	center := unit.LoadingFor(unit.LiquidRate(math.Sqrt(20*40)), unit.DryRate(math.Sqrt(150*260)))
	near(t, "centering loading", float64(center), 286.446, 5e-4)
	near(t, "lowest S there", float64(unit.StabilizerRate(center, 150)), 21.483, 5e-4)
	near(t, "highest S there", float64(unit.StabilizerRate(center, 260)), 37.238, 5e-4)
}

// The how-to limits of a label bound every loading.
func TestWindowInsideHowTo(t *testing.T) {
	for _, c := range []struct {
		name, more string
		low, high  unit.DryRate
		min, max   float64
		why        string
	}{
		{"most liquid", "max-liquid: 2.25 gal/ton\n", 150, 260, 266.666667, 288, ""},
		{"most liquid too little", "max-liquid: 2 gal/ton\n", 150, 260, 0, 0, "takes up"},
		{"own range", "loading: {min: 270 fl oz/ton, max: 300 fl oz/ton}\n", 150, 260, 270, 300, ""},
		{"own range below", "loading: {min: 100 fl oz/ton, max: 200 fl oz/ton}\n", 150, 260, 0, 0, "at most"},
		{"own range above", "loading: {min: 310 fl oz/ton, max: 400 fl oz/ton}\n", 150, 260, 0, 0, "at least"},
		{"least dry", "min-dry-rate: 151 lb/ac\n", 150, 260, 0, 0, "smallest impregnated"},
		{"least dry at the edge", "min-dry-rate: 150 lb/ac\n", 150, 260, 266.666667, 307.692308, ""},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		w, why := terms.WindowFor(rx.Range[unit.DryRate]{Min: c.low, Max: c.high}, 0)
		if c.why != "" {
			if w != nil || !strings.Contains(why, c.why) {
				t.Errorf("%s: got %v, %q, want a reason with %q", c.name, w, why, c.why)
			}
			continue
		}
		if w == nil {
			t.Errorf("%s: no window: %s", c.name, why)
			continue
		}
		near(t, c.name, float64(w.Min), c.min, 1e-6)
		near(t, c.name, float64(w.Max), c.max, 1e-6)
	}
}

// The season maximum counts what is applied already: zones at 40 and 48 pass 80
// with 45 applied, the others do not. Verdicts per pass stay.
func TestSeason(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	terms.Loading, terms.AlreadyApplied = 320, 45
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
	f, ok := found(a, "season-max")
	if !ok {
		t.Fatal("nothing is found")
	}
	numbers(t, "season", f.Zones, 3, 4)
	near(t, "season acres", float64(f.Area), 60, 1e-12)
	near(t, "off label", float64(a.OffLabel()), 40+15+45, 1e-12) // below, above, and zone 3 by the season
	near(t, "by the season alone", float64(a.OverSeason.Area), 45, 1e-12)
	if s := a.OverSeason; s.Zones != 1 || s.Dry.Min != 250 || s.Dry.Max != 250 {
		t.Errorf("by the season alone: got %+v", s)
	}
	for i, want := range []struct{ passes, bySeason, off bool }{{false, false, true}, {false, false, false}, {true, true, true}, {true, false, true}} {
		if a.PassesSeason(i) != want.passes || a.OffBySeason(i) != want.bySeason || a.Off(i) != want.off {
			t.Errorf("zone %d: got %v, %v, %v; want %+v", i+1, a.PassesSeason(i), a.OffBySeason(i), a.Off(i), want)
		}
	}
	if f.Severity != rx.Error || a.Verdicts[2] != rx.Within {
		t.Errorf("got %v and verdict %v, want an error and within", f.Severity, a.Verdicts[2])
	}
	terms.AlreadyApplied = 32 // 48 + 32 is the maximum itself
	if _, ok := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "season-max"); ok {
		t.Error("the maximum itself is allowed")
	}
}

// What a file says to lie on the zones already is told, and doubted where it is less than half of
// the label's least: 45 fl oz/ac are 3.288 L/ha, by the definitions of the units.
func TestWhatLiesAlreadyIsTold(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	terms.Loading = 320
	for _, c := range []struct {
		already  []unit.LiquidRate
		severity rx.Severity
		words    []string
	}{
		{nil, 0, nil},
		{[]unit.LiquidRate{0, 30, 45, 30}, rx.Note, []string{"0 to 45 fl oz/ac were applied"}},
		{[]unit.LiquidRate{2.192, 2.192, 3.288, 2.192}, rx.Warning, []string{"2.2 to 3.3 fl oz/ac were applied", "in another unit, it seems", "20 fl oz/ac"}},
	} {
		terms.Already = c.already
		f, ok := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "season-so-far")
		if ok != (c.already != nil) || ok && f.Severity != c.severity {
			t.Errorf("%v: found %v, %v", c.already, ok, f.Severity)
		}
		if ok {
			checkWords(t, said(f).Text, c.words...)
		}
	}
}

// What the season comes to is told of the zone that gets the most, wherever it is in
// the file: 48 + 45.
func TestSeasonTellsTheHighest(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	terms.Loading, terms.AlreadyApplied = 320, 45
	f, _ := found(rxtest.Grade(t, rxtest.Plain(grounds(15, 300, 45, 250)...), terms), "season-max")
	numbers(t, "season", f.Zones, 1, 2)
	checkWords(t, said(f).Text, "would reach up to 93 fl oz/ac")
	checkWords(t, said(f).Got, "93 fl oz/ac")
}

// With a rate error of 5 %, tight are the zones with S from 20 to below 20/0.95,
// and from above 40/1.05 to 40.
func TestTight(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Loading, terms.RateError = 320, 0.05
	var grounds []rxtest.Ground
	want := map[int]bool{}
	for s := 15.0; s <= 48; s += 0.25 {
		grounds = append(grounds, rxtest.Ground{Acres: 1, Rate: unit.DryRate(s * 2000 / 320)})
		if s >= 20 && s < 20/0.95 || s > 40/1.05 && s <= 40 {
			want[len(grounds)-1] = true
		}
	}
	a := rxtest.Grade(t, rxtest.Plain(grounds...), terms)
	for i := range grounds {
		if a.Tight[i] != want[i] {
			t.Errorf("S = %v: tight is %v, want %v", unit.StabilizerRate(320, grounds[i].Rate), a.Tight[i], want[i])
		}
	}
	if f, ok := found(a, "tight"); !ok || len(f.Zones) != len(want) || f.Severity != rx.Warning {
		t.Errorf("finding: %+v", f)
	}
}

// What the law lets the tool say: above is an error, below a warning unless the
// label forbids it; the federal sentence stands only where the product is known to
// be registered.
func TestWording(t *testing.T) {
	for _, c := range []struct {
		name, more string
		below      rx.Severity
		federal    bool
	}{
		{"unknown", "", rx.Warning, false},
		{"registered", "registered: yes\nregistration: \"00000-000\"\n", rx.Warning, true},
		{"not registered", "registered: no\n", rx.Warning, false},
		{"below forbidden", "below-label: forbidden\n", rx.Error, false},
		{"below allowed", "below-label: allowed\n", rx.Warning, false},
	} {
		terms := rxtest.Terms(rxtest.Label(t, c.more))
		terms.Loading = 320
		a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
		below, _ := found(a, "below")
		above, _ := found(a, "above")
		if below.Severity != c.below || above.Severity != rx.Error {
			t.Errorf("%s: below is %v, above is %v", c.name, below.Severity, above.Severity)
		}
		asks := strings.Contains(said(below).Text, "look for the sentence in the label")
		if unknown := terms.Label.BelowLabel == label.Unsaid; asks != unknown || strings.Contains(said(below).Text, "FIFRA 2(ee)(1)") != (unknown && c.federal) {
			t.Errorf("%s: %s", c.name, said(below).Text)
		}
		if got := strings.Contains(said(above).Text, "violation of Federal law"); got != c.federal {
			t.Errorf("%s: federal sentence: %v, want %v", c.name, got, c.federal)
		}
		for _, f := range a.Findings {
			if strings.Contains(strings.ToLower(said(f).Text+said(f).Hint), "illegal") {
				t.Errorf("%s: %s", c.name, said(f).Text)
			}
		}
	}
}

// A broken how-to sentence is a failure of its own, apart from the verdict.
func TestHowTo(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "min-dry-rate: 101 lb/ac\nmax-liquid: 2 gal/ton\nloading: {min: 100 fl oz/ton, max: 300 fl oz/ton}\n"))
	terms.Loading = 320
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
	for _, rule := range []string{"min-dry-rate", "max-liquid", "loading-range"} {
		if f, ok := found(a, rule); !ok || f.Severity != rx.Error {
			t.Errorf("%s: %v %+v", rule, ok, f)
		}
	}
	f, _ := found(a, "min-dry-rate")
	numbers(t, "below the smallest dry rate", f.Zones, 1)
}

// No finding must not mean that nobody looked.
func TestEveryRuleRunsOrSaysWhyNot(t *testing.T) {
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), rxtest.Terms(rxtest.Label(t, "")))
	if len(a.Rules) != len(check.Rules()) {
		t.Fatalf("%d rules told, want %d", len(a.Rules), len(check.Rules()))
	}
	for _, r := range a.Rules {
		if r.Ran == (r.Why != "") {
			t.Errorf("rule %s: ran %v, why %q", r.Rule, r.Ran, r.Why)
		}
	}
}

// The loading is the one that puts the intended rate on the field as a whole,
// A = 2000·T·(treated acres)/(dry lb), rounded to what a plant can meter; ground at
// rate 0 does not count.
func TestFieldMeanLoading(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	grounds := append(rxtest.FourGrounds(), rxtest.Ground{Acres: 500, Rate: 0})
	a := rxtest.Grade(t, rxtest.Plain(grounds...), terms)
	near(t, "loading", float64(a.Loading), 314.2, 1e-9) // 2000·30·160/30550 = 314.239
	if a.LoadingFrom != "field-mean" {
		t.Errorf("from %q", a.LoadingFrom)
	}
	near(t, "mean", float64(a.Mean), 190.9375, 1e-9)
}

// Which terms no check begins with, by their flag, and the ends of those that it does.
func TestTermsThatAreRefused(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 200})
	further := func(rate unit.LiquidRate, graded bool) func(*rx.Terms) {
		l := rx.JobLiquid{Name: "aid", Intended: rate}
		if graded {
			l.Label = rxtest.Profile(t, "name: aid\nrate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\n")
		}
		return func(terms *rx.Terms) { terms.Further = []rx.JobLiquid{{Name: "dye", Intended: 99}, l} }
	}
	intended := func(rate unit.LiquidRate) func(*rx.Terms) { return func(terms *rx.Terms) { terms.Intended = rate } }
	rateError := func(share unit.Ratio) func(*rx.Terms) { return func(terms *rx.Terms) { terms.RateError = share } }
	for _, c := range []struct {
		what   string
		change func(*rx.Terms)
		want   string
	}{
		{"nothing", func(*rx.Terms) {}, ""},
		{"the label's least", intended(20), ""}, {"the label's most", intended(40), ""},
		{"less than its least", intended(19), "--stabilizer-rate: 19 fl oz/ac is outside the label range, 20 fl oz/ac to 40 fl oz/ac; give a rate that the label allows"},
		{"more than its most", intended(41), "--stabilizer-rate: 41 fl oz/ac is outside the label range, 20 fl oz/ac to 40 fl oz/ac; give a rate that the label allows"},
		{"a further liquid's least", further(2, true), ""}, {"a further liquid's most", further(8, true), ""}, {"one without a label", further(9, false), ""}, {"one of a fixed loading", further(0, true), ""},
		{"more of it", further(9, true), "further-liquids: aid: 9 fl oz/ac is outside its label range, 2 fl oz/ac to 8 fl oz/ac; give a rate that its label allows"},
		{"no rate error", rateError(0), ""}, {"nearly all", rateError(0.99), ""},
		{"all", rateError(1), "--rate-error: 100 % is no rate error; give a share from 0 % to less than 100 %, such as 5%"},
		{"less than none", rateError(-0.01), "--rate-error: -1 % is no rate error; give a share from 0 % to less than 100 %, such as 5%"},
		{"a loading below 0", func(terms *rx.Terms) { terms.Loading = -1 }, `--loading: -1 fl oz/ton is negative; such as --loading "320 fl oz/ton"`},
		{"less than nothing applied", func(terms *rx.Terms) { terms.AlreadyApplied = -1 }, "--already-applied: -1 fl oz/ac is negative; give what was applied this season before this pass"},
		{"metric", func(terms *rx.Terms) { terms.Units, terms.Intended = unit.Metric, 41 }, "--stabilizer-rate: 2,996 mL/ha is outside the label range, 1,462 mL/ha to 2,923 mL/ha; give a rate that the label allows"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		c.change(&terms)
		got := ""
		var told *check.TermsError
		if _, err := check.Grade(p, terms); errors.As(err, &told) {
			got = fmt.Sprintf("%s: %s; %s", told.Flag, told.What, told.Hint)
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

func TestNothingToTreat(t *testing.T) {
	had := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	had.Already = []unit.LiquidRate{12}
	if a := rxtest.Grade(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 0}), had); ran(t, a, "season-max") != "" {
		t.Error("what lies on bare ground was not looked at")
	} else if f, some := found(a, "season-so-far"); some {
		t.Errorf("of bare ground: %s", said(f).Text)
	}
	had.Already, had.Further = nil, rxtest.Further(60)
	if f, some := found(rxtest.Grade(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 0}), had), "not-graded"); some {
		t.Errorf("of bare ground: %s", said(f).Text)
	}
	if f, some := found(rxtest.Grade(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 0}, rxtest.Ground{Acres: 7, Rate: 100}), had), "not-graded"); !some || f.Area != 7 {
		t.Errorf("of a further liquid without a label: %t, %v ac", some, f.Area)
	}
	a := rxtest.Grade(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 0}), rxtest.Terms(rxtest.Label(t, "")))
	if a.Loading != 0 || a.Volume != 0 || a.Window != nil || a.Verdicts[0] != rx.NoDry {
		t.Errorf("%+v", a)
	}
}

// said are the words of a finding; none of what was not found.
func said(f rx.Finding) tell.Words {
	if f.Kind == nil {
		return tell.Words{}
	}
	return tell.Finding(f, unit.US)
}

// inMetric are the same in metric units.
func inMetric(f rx.Finding) tell.Words { return tell.Finding(f, unit.Metric) }
