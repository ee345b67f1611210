package split_test

import (
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/tell"
)

func told(p *rx.Plan, rule string) (rx.Finding, bool) {
	for _, f := range p.Findings {
		if f.Rule() == rule {
			return f, true
		}
	}
	return rx.Finding{}, false
}

// Every impregnated way leaves room for the further liquid: 3 gal are 384 fl oz, 64 of
// another leave 320 for the stabilizer, and the plan says what both make.
func TestFurtherLiquidTakesRoom(t *testing.T) {
	const second = "second-liquid: {name: another, loading: 64 fl oz/ton}\n"
	for _, c := range []struct {
		way       rx.WayName
		grounds   []rxtest.Ground
		alone     unit.Loading // of the fullest layer without the further liquid
		both      unit.Loading
		treatedBy string
	}{
		{rx.OneLoad, pairs(10, 130, 10, 170), 384, 320, "dry"}, // intended 30 on 150 lb/ac: 400
		{rx.Base, pairs(10, 130, 10, 270), 384, 320, "dry-base"},
		{rx.Loads, pairs(10, 130, 10, 300), 384, 320, "dry-1"},
		{rx.Refit, pairs(10, 110, 10, 160), 384, 320, "dry"}, // 20 fl oz/ac need 125 lb/ac at 320
	} {
		for _, more := range []string{"", second} {
			terms := rxtest.Terms(rxtest.Label(t, "max-liquid: 3 gal/ton\n"))
			terms.Job = job(t, more+"boom: {width: 70 ft, spacing: 20 in, volume: 15 gal/ac, tank: 500 gal, nozzles: [\"04\"], pressure: {min: 15 psi, max: 60 psi}, speed: {low: 5 mph, usual: 6 mph, high: 7 mph}}\n")
			terms.Further = rxtest.FurtherOf(terms.Job)
			p := rxtest.Plain(c.grounds...)
			got := plan(t, p, rxtest.Grade(t, p, terms), c.way)
			want := c.alone
			if more != "" {
				want = c.both
			}
			most := unit.Loading(0)
			for _, l := range got.Layers {
				most = max(most, l.Loading)
			}
			near(t, string(c.way), float64(most), float64(want), 1e-9)
			f, ok := told(got, "plan-max-liquid")
			if ok != (more != "") {
				t.Errorf("%s, %q: told is %v", c.way, more, ok)
			}
			words := "layer " + c.treatedBy + " has 320 fl oz/ton of stabilizer and 64 fl oz/ton of another, 384 fl oz/ton together, of the 384 fl oz/ton that a ton takes up by the label."
			if ok && (f.Severity != rx.Note || said(f).Text != words) {
				t.Errorf("%s: got %v %s", c.way, f.Severity, said(f).Text)
			}
		}
	}
}

// Where the further liquid leaves no room, no impregnated way is possible, and each says
// why; a loading that the plant has fixed is not kept either.
func TestFurtherLiquidLeavesNoRoom(t *testing.T) {
	for loading, words := range map[unit.Loading]string{150: "150 fl oz/ton of it another", 384: "another alone, 384 fl oz/ton", 400: "another alone, 400 fl oz/ton"} {
		terms := rxtest.Terms(rxtest.Label(t, "max-liquid: 3 gal/ton\n"))
		terms.Loading = 300
		terms.Job = job(t, "second-liquid: {name: another, loading: "+loading.Text(unit.US)+"}\n")
		terms.Further = rxtest.FurtherOf(terms.Job)
		p := rxtest.Plain(pairs(10, 130, 10, 170)...) // 307.7 fl oz/ton at least
		for _, w := range split.For(p, rxtest.Grade(t, p, terms), nil).Ways() {
			switch {
			case w.Name == rx.WetBoom || w.Name == rx.Refit && loading == 150: // which may raise the dry rates
				if !w.Possible() {
					t.Errorf("%v: %s: %s", float64(loading), w.Name, w.Why)
				}
			case w.Possible() || !strings.Contains(w.Why, map[bool]string{true: "leaves no dry rate", false: words}[w.Name == rx.Refit]):
				t.Errorf("%v: %s: possible is %v: %s", float64(loading), w.Name, w.Possible(), w.Why)
			}
		}
	}
}

// A boom on an end of what a pass may put down is told of, as a spreader is; the season
// counts as an end, and a label of one rate has no other.
func TestNoMarginOfABoom(t *testing.T) {
	p := rxtest.Read(t, rxtest.Strip(pairs(10, 150, 10, 300)...))
	for _, c := range []struct {
		rate, applied unit.LiquidRate
		words         string // empty: nothing is told
	}{
		{30, 0, ""},
		{20, 0, "the boom puts 20 fl oz/ac on the ground, on an end of the label's range: a nozzle, a pressure or a speed"},
		{20.11, 0, ""},
		{40, 0, "the boom puts 40 fl oz/ac on the ground, on an end of the label's range"},
		{39.79, 0, ""},
		{32, 28, "the boom puts 32 fl oz/ac on the ground, on the most that the season maximum leaves, 32 fl oz/ac"},
		{31.8, 28, ""},
	} {
		terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\n"))
		terms.Intended, terms.AlreadyApplied = c.rate, c.applied
		f, ok := told(plan(t, p, rxtest.Grade(t, p, terms), rx.WetBoom), "no-margin")
		if ok != (c.words != "") || !strings.Contains(said(f).Text, c.words) || ok && f.Severity != rx.Warning {
			t.Errorf("%v beside %v: %v %s", float64(c.rate), float64(c.applied), ok, said(f).Text)
		}
	}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Label.Rate.Min, terms.Label.Rate.Max, terms.Intended = 30, 30, 30
	if f, ok := told(plan(t, p, rxtest.Grade(t, p, terms), rx.WetBoom), "no-margin"); ok {
		t.Errorf("one rate: %s", said(f).Text)
	}
}

// A further liquid on an end of its own label is told of by its name. By hand: 30 fl oz/ton
// put 3 to 4.5 fl oz/ac on 200 to 300 lb/ac.
func TestNoMarginOfAFurtherLiquid(t *testing.T) {
	p := rxtest.Plain(pairs(10, 200, 10, 300)...)
	for rate, words := range map[string]string{
		"{min: 3 fl oz/ac, max: 7 fl oz/ac}":    "another: some ground gets 3 fl oz/ac, on an end of the label's range",
		"{min: 2 fl oz/ac, max: 4.51 fl oz/ac}": "another: some ground gets 4.5 fl oz/ac, on an end of the label's range",
		"{min: 2 fl oz/ac, max: 7 fl oz/ac}":    "",
	} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Further = rxtest.Further(30)
		terms.Further[0].Label = rxtest.Profile(t, "name: x\nrate: "+rate+"\n")
		f, ok := told(plan(t, p, rxtest.Grade(t, p, terms), rx.OneLoad), "no-margin")
		if ok != (words != "") || ok && !strings.Contains(said(f).Text, words) {
			t.Errorf("%s: %v %s", rate, ok, said(f).Text)
		}
	}
}

// A spreader at the season's end is told of too: 320 fl oz/ton put 32 fl oz/ac on 200.
func TestNoMarginOfTheSeason(t *testing.T) {
	p := rxtest.Plain(pairs(10, 150, 10, 200)...)
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\n"))
	terms.Loading, terms.AlreadyApplied = 320, 28
	f, _ := told(plan(t, p, rxtest.Grade(t, p, terms), rx.OneLoad), "no-margin")
	if !strings.Contains(said(f).Text, "on the most that the season maximum leaves, 32 fl oz/ac") {
		t.Errorf("got %q", said(f).Text)
	}
}

// A refit tells what it changes: the rates as they become, and nothing where none does,
// be the band reckoned from the lowest rate or from the highest.
func TestRefitTellsWhatChanges(t *testing.T) {
	for _, c := range []struct {
		name      string
		grounds   []rxtest.Ground
		err       unit.Ratio
		why, note string
	}{
		{"nothing", pairs(10, 160, 10, 240), 0, "no rate has to change", "every zone keeps its prescribed dry rate"},
		// 40/20 less 15 % at each end is 1.478, and 241/1.478 = 163.03 is below 165; in binary it comes back as less than 241
		{"nothing, with a rate error", pairs(10, 165, 10, 241), 0.15, "no rate has to change", "every zone keeps its prescribed dry rate"},
		{"nothing, odd rates", pairs(10, 170.1, 7, 181.3, 10, 243.7), 0.15, "no rate has to change", "every zone keeps its prescribed dry rate"},
		{"the lowest", pairs(1, 100, 10, 180, 10, 240), 0, "rates brought into 120 to 240 lb/ac", "another dry rate than prescribed in 1 zone (1.00 ac): 20 lb added"},
		{"the highest", pairs(10, 100, 10, 180, 1, 240), 0, "rates brought into 100 to 200 lb/ac", "another dry rate than prescribed in 1 zone (1.00 ac): 40 lb removed"},
	} {
		p := rxtest.Plain(c.grounds...)
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.RateError = c.err
		got := plan(t, p, rxtest.Grade(t, p, terms), rx.Refit)
		f, _ := told(got, "refit")
		if !strings.Contains(got.Way.Why, c.why) || !strings.Contains(said(f).Text, c.note) {
			t.Errorf("%s: got %q, %q", c.name, got.Way.Why, said(f).Text)
		}
	}
}

// said are the words of a finding; none of what was not found.
func said(f rx.Finding) tell.Words {
	if f.Kind == nil {
		return tell.Words{}
	}
	return tell.Finding(f, unit.US)
}
