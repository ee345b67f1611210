package split_test

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/tell"
)

// condition returns what is said of a way's condition of a rule; empty if it has none.
func condition(w rx.Way, rule string) string {
	for _, c := range w.Conditions {
		if c.Rule() == rule {
			return tell.Text(c, unit.US)
		}
	}
	return ""
}

// full is a job that has all equipment, on a field of no shape.
const full = `blender: {batch: 3 ton}
spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, bins: 2}
boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["04", "05", "06"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}
prices: {stabilizer: 40 $/gal, drying-agent: 0.60 $/lb, blending: 12 $/ton, dry-spreading: 7.50 $/ac, wet-boom: 4 $/ac, extra-pass: 7.50 $/ac, nitrogen: 0.60 $/lb}
blend: [{name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}]
`

// drawn are terms on a field of a few rates.
func drawn(t *testing.T, r *rapid.T) (*rx.Prescription, *rx.Assessment) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, full)
	terms.RateError = unit.Ratio(rapid.SampledFrom([]float64{0, 1, 2.5, 5, 12}).Draw(r, "rate error")) * unit.Percent
	terms.LeaveOff = rapid.Bool().Draw(r, "leave off")
	terms.Intended = unit.LiquidRate(rapid.IntRange(20, 40).Draw(r, "intended"))
	if rapid.Bool().Draw(r, "metric") {
		terms.Units = unit.Metric
	}
	if rapid.Bool().Draw(r, "another liquid") {
		terms.Further = []rx.JobLiquid{{Name: "another", Intended: unit.LiquidRate(rapid.IntRange(2, 8).Draw(r, "of it")), On: equip.OnBlend, Label: other(t)}}
	}
	p := rxtest.Plain(grounds(r, 8)...)
	return p, rxtest.Grade(t, p, terms)
}

// other is the label of the other liquid.
func other(t *testing.T) *label.Profile {
	return rxtest.Profile(t, "name: x\nrate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\n")
}

// A way that is ready keeps every treated acre on label at rates off by the rate error,
// leaves none off, changes none, and brings what is intended. One that is conditional says
// why, one that is impossible too.
func TestReadyMeansOnLabelAtTheRateError(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p, a := drawn(t, r)
		e := unit.LiquidRate(a.Terms.RateError)
		for _, w := range split.For(p, a, nil).Ways() {
			switch w.State {
			case rx.Impossible:
				if w.Why == "" || len(w.Conditions) > 0 {
					r.Fatalf("%s is impossible: %q, %v", w.Name, w.Why, w.Conditions)
				}
				continue
			case rx.Conditional:
				if len(w.Conditions) == 0 {
					r.Fatalf("%s is conditional on nothing", w.Name)
				}
				continue
			}
			if len(w.Conditions) > 0 || w.LeftOff > 0 || w.DryAdded+w.DryRemoved > 0 {
				r.Fatalf("%s is ready, %v", w.Name, w)
			}
			for _, f := range w.Further {
				if its := (rx.Range[unit.LiquidRate]{Min: 2, Max: 8}); !its.Contains(f.Rate.Min*(1-e)) || !its.Contains(f.Rate.Max*(1+e)) {
					r.Fatalf("%s is ready with %s at %v, off by %v", w.Name, f.Name, f.Rate, a.Terms.RateError)
				}
			}
			if w.Sprayed > 0 {
				if !a.Range.Contains(w.Rate.Min*(1-e)) || !a.Range.Contains(w.Rate.Max*(1+e)) {
					r.Fatalf("%s is ready at %v", w.Name, w.Rate)
				}
				continue
			}
			ready, err := split.For(p, a, nil).Plan(w.Name)
			if err != nil {
				r.Fatal(err)
			}
			for i, z := range p.Zones {
				if s := ready.Stabilizer[i]; z.Treated() && (!a.Range.Contains(s*(1-e)) || !a.Range.Contains(s*(1+e))) {
					r.Fatalf("%s is ready, and zone %d gets %v, off by %v", w.Name, z.Number(), s, a.Terms.RateError)
				}
			}
			for _, l := range w.Loads {
				if mean := unit.StabilizerRate(l.Loading, unit.DryRate(float64(l.Mass)/float64(l.Area))); math.Abs(float64(mean/a.Terms.Intended-1)) > 0.02*(1+1e-9) {
					r.Fatalf("%s is ready, and a load brings %v", w.Name, mean)
				}
			}
		}
	})
}

// The room is the largest error: a little more leaves the label, a little less doesn't.
func TestRoomIsTheLargestError(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p, a := drawn(t, r)
		stays := func(w rx.Way, e float64) bool {
			for _, f := range w.Further {
				if its := (rx.Range[unit.LiquidRate]{Min: 2, Max: 8}); !its.Contains(f.Rate.Min*unit.LiquidRate(1-e)) || !its.Contains(f.Rate.Max*unit.LiquidRate(1+e)) {
					return false
				}
			}
			return a.Range.Contains(w.Rate.Min*unit.LiquidRate(1-e)) && a.Range.Contains(w.Rate.Max*unit.LiquidRate(1+e))
		}
		for _, w := range split.For(p, a, nil).Ways() {
			if room := float64(w.Room); w.Possible() && (!stays(w, room) || stays(w, room+1e-6)) {
				r.Fatalf("%s: room %v at %v", w.Name, room, w.Rate)
			}
		}
	})
}

// The order is what its sentence says, total, and does not hang on the order of records.
func TestOrderIsTotalAndStable(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p, a := drawn(t, r)
		ways := split.For(p, a, nil).Ways()
		_, priced := rx.Unpriced(ways)
		flag := func(bad bool) float64 {
			if bad {
				return 1
			}
			return 0
		}
		key := func(w rx.Way) []float64 {
			cost := 0.0
			if priced && w.Cost != nil {
				cost = math.Round(w.Cost.High * 100)
			}
			registry := slices.IndexFunc(equip.Ways(), func(o equip.Way) bool { return o.Name == w.Name })
			return []float64{
				-float64(w.State), flag(w.LeftOff > 0), flag(w.Room < a.Terms.RateError-1e-9), flag(w.DryAdded+w.DryRemoved > 0),
				cost, float64(w.Passes), float64(len(w.Loads)), math.Round(float64(w.Stabilizer / unit.Gallon)), float64(registry),
			}
		}
		for i := range ways[1:] {
			if slices.CompareFunc(key(ways[i]), key(ways[i+1]), cmp.Compare) >= 0 {
				r.Fatalf("%s %v before %s %v", ways[i].Name, key(ways[i]), ways[i+1].Name, key(ways[i+1]))
			}
		}
		q := *p
		q.Zones = slices.Clone(p.Zones)
		slices.Reverse(q.Zones)
		for i, w := range split.For(&q, rxtest.Grade(t, &q, a.Terms), nil).Ways() {
			if w.Name != ways[i].Name || w.State != ways[i].State || w.SameAs != ways[i].SameAs {
				r.Fatalf("%d: %s, of records in reverse %s", i, ways[i].Name, w.Name)
			}
		}
	})
}

func TestUpperCostIsNeverBelowTheLower(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p, a := drawn(t, r)
		if rapid.Bool().Draw(r, "no machine") {
			a.Terms.Job.Spreader, a.Terms.Job.Boom = nil, nil
		}
		for _, w := range split.For(p, a, nil).Ways() {
			if w.Cost == nil {
				continue
			}
			sum := 0.0
			for _, item := range w.Cost.Items {
				sum += item.Amount
			}
			if w.Cost.High < w.Cost.Low || math.Abs(sum-w.Cost.High) > 1e-6 {
				r.Fatalf("%s: %+v", w.Name, w.Cost)
			}
		}
	})
}

// What is printed as a loading, in the graduation of the plant's meter, is on label; where
// none is, that is a condition.
func TestNoPrintedDoseIsOffLabel(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p, a := drawn(t, r)
		for _, w := range split.For(p, a, nil).Ways() {
			for _, l := range w.Loads {
				for k, loading := range append([]unit.Loading{l.Loading}, l.Further...) {
					if loading == 0 {
						continue // the dry of a wet boom
					}
					read := a.Terms.Dose(loading).Read
					low, high := unit.StabilizerRate(read, l.Rates.Min), unit.StabilizerRate(read, l.Rates.Max)
					its := []rx.Range[unit.LiquidRate]{a.Range, {Min: 2, Max: 8}}[k]
					if on := its.Contains(low) && its.Contains(high); !on && condition(w, "not-metered") == "" {
						r.Fatalf("%s: %v puts %v to %v", w.Name, read, low, high)
					}
				}
				if l.Loading == 0 {
					continue
				}
				window, _ := a.Terms.WindowFor(l.Rates, 0)
				inward, ok := a.Terms.Inward(*window)
				if ok && (!window.Contains(inward.Min) || !window.Contains(inward.Max)) || ok != a.Terms.CanMeter(*window) {
					r.Fatalf("%v is printed as %v", *window, inward)
				}
			}
		}
	})
}

// One load that serves all is what loads and refit come to as well.
func TestWaysThatComeToTheSamePlan(t *testing.T) {
	p := rxtest.Plain(pairs(10, 160, 10, 200, 10, 240)...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, full)
	ways := split.For(p, rxtest.Grade(t, p, terms), nil).Ways()
	for way, want := range map[rx.WayName]rx.WayName{rx.WetBoom: "", rx.OneLoad: "", rx.Base: "", rx.Loads: rx.OneLoad, rx.Refit: rx.OneLoad} {
		if got := wayOf(ways, way).SameAs; got != want {
			t.Errorf("%s is the same as %q, want %q", way, got, want)
		}
	}
}

// Conditions by hand, at 20 to 40 fl oz/ac and 30 intended.
func TestConditions(t *testing.T) {
	without := func(key string) string {
		var kept []string
		for _, line := range strings.Split(full, "\n") {
			if !strings.HasPrefix(line, key+":") {
				kept = append(kept, line)
			}
		}
		return strings.Join(kept, "\n")
	}
	limits := strings.Replace(full, "bins: 2", "bins: 2, rates: {min: 60 lb/ac, max: 230 lb/ac}", 1)
	for _, c := range []struct {
		name    string
		grounds []rxtest.Ground
		job     string
		e       unit.Ratio
		way     rx.WayName
		rule    string
		want    string
	}{
		{"no boom", pairs(10, 160, 10, 200), without("boom"), 0, rx.WetBoom, "equipment", "there is a wet boom, which the job does not have"},
		{"no blender", pairs(10, 160, 10, 200), without("blender"), 0, rx.OneLoad, "equipment", "there is a blender that impregnates, which the job does not have"},
		{"no job", pairs(10, 160, 10, 200), "", 0, rx.OneLoad, "equipment", "there is a blender that impregnates, as no job says"},
		{"no bins", pairs(10, 160, 10, 200), without("spreader"), 0, rx.Base, "equipment", "there is a spreader with two bins, or that goes twice, which the job does not have"},
		// 40 lb/ac on top of 160 are spread as 60.
		{"top-up", pairs(10, 160, 10, 200), limits, 0, rx.Base, "undeliverable", "the spreader can be set to what dry-topup asks for on 10.00 ac, 40 lb/ac, where it spreads 60 to 230 lb/ac: there would land 60 lb/ac"},
		// 292.7 fl oz/ton, the mean rate being 205: 230 lb/ac carry 33.66.
		{"too much at once", pairs(10, 160, 10, 250), limits, 0, rx.OneLoad, "undeliverable", "the spreader can be set to what dry asks for on 10.00 ac, 250 lb/ac, where it spreads 60 to 230 lb/ac: there would land 230 lb/ac with 33.66 fl oz/ac of stabilizer"},
		{"as prescribed", pairs(10, 160, 10, 250), limits, 0, rx.WetBoom, "undeliverable", ""},
		// 160 to 300 lb/ac span 1.875, and 5 % leaves 1.8095. 260.9 fl oz/ton, for a mean of
		// 230, put 39.135 on 300: 40 is 2.21 % more.
		{"no room", pairs(10, 160, 10, 300), full, 5 * unit.Percent, rx.OneLoad, "less-room", "rates are off by 2.2 % at most, not by 5 %"},
		{"room", pairs(10, 160, 10, 200), full, 5 * unit.Percent, rx.OneLoad, "less-room", ""},
		// 250 to 266.6 fl oz/ton serve 160 to 300: 266.6 on 100 ac of 160 lb/ac put 21.33 there.
		{"less than intended", pairs(100, 160, 1, 300), full, 0, rx.OneLoad, "other-dose", "the ground may get 21.51 rather than 30 fl oz/ac on the mean"},
		// 250 fl oz/ton alone serve both; 4804.8 lb are weighed as 4805 and would take 600.625.
		{"batch", []rxtest.Ground{{Acres: 10.03, Rate: 160}, {Acres: 10, Rate: 320}}, full, 0, rx.OneLoad, "not-metered", "each batch gets 600.62 fl oz, finer than a meter that reads to 1 fl oz: no whole step is on label"},
		{"whole batch", pairs(10, 160, 10, 320), full, 0, rx.OneLoad, "not-metered", ""},
		{"changed", pairs(10, 100, 10, 240), full, 0, rx.Refit, "agronomist", "the agronomist agrees to other dry rates in 1 zone (10.00 ac): 200 lb added"},
		{"not graded", pairs(10, 160, 10, 200), full + "second-liquid: {name: another, loading: 40 fl oz/ton}\n", 0, rx.OneLoad, "not-graded", "another may land at 3.2 to 4 fl oz/ac: not graded, as no label of it is given"},
		{"not graded beside a boom", pairs(10, 160, 10, 200), full + "second-liquid: {name: another, loading: 40 fl oz/ton}\n", 0, rx.WetBoom, "not-graded", "another may land at 3.2 to 4 fl oz/ac: not graded, as no label of it is given"},
		{"not put down", pairs(10, 160, 10, 200), full + "further-liquids: [{name: another, rate: 4 fl oz/ac, on: boom}]\n", 0, rx.OneLoad, "liquid-left-out", "another goes on in a pass of its own, since this way doesn't put it down"},
		{"in one tank", pairs(10, 160, 10, 200), full + "further-liquids: [{name: another, rate: 4 fl oz/ac, on: boom}]\n", 0, rx.WetBoom, "tank-mix", "both labels let another into a tank with the stabilizer, which the profiles don't say"},
		// 40 fl oz/ton of all 3600 lb are 72 fl oz, of 3200 lb of base 64.
		{"another dose", pairs(10, 160, 10, 200), full + "second-liquid: {name: another, loading: 40 fl oz/ton}\n", 0, rx.Base, "liquid-dose", "64 fl oz of another are enough, of the 72 fl oz that are meant: 3.2 fl oz/ac land"},
	} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.RateError = c.e
		if c.job != "" {
			terms.Job = job(t, c.job)
			terms.Further = rxtest.FurtherOf(terms.Job)
		}
		p := rxtest.Plain(c.grounds...)
		w := wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), c.way)
		if got := condition(w, c.rule); got != c.want || (w.State == rx.Conditional) != (len(w.Conditions) > 0) {
			t.Errorf("%s: %s, only if %q, want %q", c.name, w.State, got, c.want)
		}
	}
}

// squares is a field of n by n squares of 100 m, those that are named at 100 lb/ac and the
// rest at 250: a load each.
func squares(t *testing.T, n int, low ...int) rx.Way {
	t.Helper()
	const east, north = 0.0011977, 0.0009004 // degrees of 100 m at 41.5 N
	l := &invent.Layer{Name: "squares", EPSG: 4326}
	for i := range n * n {
		x, y := -93+float64(i%n)*east, 41.5+float64(i/n)*north
		l.Shapes.Append(orb.MultiPolygon{{{{x, y}, {x + east, y}, {x + east, y + north}, {x, y + north}, {x, y}}}})
		rate := 250.0
		if slices.Contains(low, i) {
			rate = 100
		}
		l.Rates = append(l.Rates, rate)
	}
	p := rxtest.Read(t, l)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Job = job(t, full)
	return wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.Loads)
}

// A load of two far corners costs more than one of as many acres in a block, by what is
// driven between them alone.
func TestFarCornersCostMore(t *testing.T) {
	block, corners := squares(t, 8, 0, 1), squares(t, 8, 0, 63)
	if block.Driving == nil || corners.Driving == nil || !(corners.Driving.Length > block.Driving.Length) || !(corners.Cost.High > block.Cost.High+1) {
		t.Fatalf("corners %+v %+v, a block %+v %+v", corners.Driving, corners.Cost, block.Driving, block.Cost)
	}
	if math.Abs(corners.Cost.Low-block.Cost.Low) > 1 {
		t.Errorf("without the driving, corners cost %v, a block %v", corners.Cost.Low, block.Cost.Low)
	}
}

// Two squares of 100 m at a field's edge, by hand. The swath is 70 ft, 21.336 m: the block
// of 200 by 100 m takes 5 swaths of 200 m. All 64 take 38 of 800 m, and so do the others:
// the first 5 of these begin behind the block and are 600 m long. A turn is 20 s.
func TestDrivingByHand(t *testing.T) {
	w := squares(t, 8, 0, 1)
	if w.Driving.Turns != 4+37 {
		t.Errorf("%d turns, want 41", w.Driving.Turns)
	}
	meters := float64(w.Driving.Length / unit.Meter)
	if want := 5*200.0 + 38*800 - 4*200; meters < want-300 || meters > want+300 { // the fifth swath is partly beside the block
		t.Errorf("%.0f m, want about %.0f", meters, want)
	}
	if want := meters/(15*0.44704)/3600 + 41*20/3600.0; math.Abs(float64(w.Driving.Time/unit.Hour)-want) > 1e-6 {
		t.Errorf("%v h, want %v", float64(w.Driving.Time/unit.Hour), want)
	}
}
