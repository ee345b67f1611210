package split_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// Refit inside what the label says on how to impregnate, a label of 20 to 40 fl oz/ac;
// pounds by hand, an acre a zone unless said.
func TestRefitInsideTheLabel(t *testing.T) {
	for _, c := range []struct {
		name, more     string
		err            unit.Ratio
		grounds        []rxtest.Ground
		added, removed float64
	}{
		{"no limits", "", 0, pairs(1, 100, 1, 110), 0, 0},
		{"least dry rate", "min-dry-rate: 150 lb/ac\n", 0, pairs(1, 100, 1, 110), 90, 0},
		{"most liquid a ton: 2000·20/320", "max-liquid: 2.5 gal/ton\n", 0, pairs(1, 100, 1, 110), 25 + 15, 0},
		{"the stricter of both", "min-dry-rate: 150 lb/ac\nmax-liquid: 2.5 gal/ton\n", 0, pairs(1, 100, 1, 110), 90, 0},
		{"the stricter of both, other way round", "min-dry-rate: 110 lb/ac\nmax-liquid: 2.5 gal/ton\n", 0, pairs(1, 100, 1, 110), 25 + 15, 0},
		{"most of its own range: 2000·20/250", "loading: {min: 100 fl oz/ton, max: 250 fl oz/ton}\n", 0, pairs(1, 100, 1, 110), 60 + 50, 0},
		{"least of its own range: 2000·40/200", "loading: {min: 200 fl oz/ton, max: 400 fl oz/ton}\n", 0, pairs(1, 450, 1, 500), 0, 50 + 100},
		// The label's least loading puts 20 to 40 fl oz/ac on ground with 200 to 400 lb/ac: of
		// these, 250 to 400 may be impregnated.
		{"its least begins under the least dry rate", "min-dry-rate: 250 lb/ac\nloading: {min: 200 fl oz/ton, max: 400 fl oz/ton}\n", 0, pairs(1, 100, 1, 300, 1, 450), 150, 50},
		{"its least ends at the least dry rate", "min-dry-rate: 400 lb/ac\nloading: {min: 200 fl oz/ton, max: 400 fl oz/ton}\n", 0, pairs(1, 100, 1, 300), 300 + 100, 0},
		// Any band from 100 to 150 up costs 2000 lb: 20 ac lose what 10 ac gain.
		{"of equals the least net change", "", 0, pairs(20, 100, 10, 400, 1, 150), 1000, 1000},
		// The same where acres are equal as far as they are known: 380 to 760 and 510 to 1020 both cost 520 lb.
		{"of equals within what acres are known to", "", 0, pairs(1.000000004, 120, 1, 380, 1.000000004, 1020), 260, 260},
		{"nothing beats no change", "", 0, pairs(1, 100, 1, 150, 1, 199.9999999, 1, 200), 0, 0},
		// 40/1.05 over 20/0.95 is 1.809524, a graduation of 0.1 in 253.968 fl oz/ton less 1.808811.
		{"with a rate error", "", 0.05, pairs(1, 100, 5, 300), 300/1.808811 - 100, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := rxtest.Plain(c.grounds...)
			terms := rxtest.Terms(rxtest.Label(t, c.more))
			terms.RateError = c.err
			a := rxtest.Grade(t, p, terms)
			got := plan(t, p, a, rx.Refit)
			near(t, "added", float64(got.Way.DryAdded), c.added, max(1e-8, float64(c.err)*1e-4))
			near(t, "removed", float64(got.Way.DryRemoved), c.removed, 1e-8)
			onLabel(t, p, a, got)
			e := unit.LiquidRate(c.err)
			for i, s := range got.Stabilizer {
				if a.Range.Under(s*(1-e)) || a.Range.Over(s*(1+e)) {
					t.Errorf("zone %d gets %v, off label with the spreader's error", i+1, float64(s))
				}
			}
			pours(t, p, got)
		})
	}
}

// A label so narrow that a meter's step is more than all of it leaves no narrower band: a field of one rate keeps it.
func TestRefitNarrowerThanAStep(t *testing.T) {
	for rate := 400.0; rate < 500; rate += 1.7 {
		p := rxtest.Plain(pairs(1, rate)...)
		terms := rxtest.Terms(rxtest.Profile(t, "name: Narrow (invented)\nrate: {min: 20 fl oz/ac, max: 22.106 fl oz/ac}\n")) // 20/0.95 to 22.106/1.05, one ten-thousandth more
		terms.RateError = 0.05
		w := wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.Refit)
		if w.DryAdded != 0 || w.DryRemoved != 0 || !strings.Contains(w.Why, "no rate has to change") {
			t.Fatalf("%v lb/ac: %v added, %v removed, %s", rate, w.DryAdded, w.DryRemoved, w.Why)
		}
	}
}

func TestRefitWithoutRoom(t *testing.T) {
	// The label's least loading puts 40 fl oz/ac on 400 lb/ac.
	p, a := graded(t, "min-dry-rate: 401 lb/ac\nloading: {min: 200 fl oz/ton, max: 400 fl oz/ton}\n", pairs(1, 100, 1, 300))
	refused(t, p, a, rx.Refit, "leaves no dry rate")
}

// The least loading, 400 fl oz/ton, puts 40 fl oz/ac on 200 lb/ac. If what else a ton takes up is just
// the least of a further liquid there, that one rate is left, to the last bit: 200 lb/ac take a tenth of it.
// If it is a little less, none is.
func TestRefitToTheOneRateThatIsLeft(t *testing.T) {
	for least := 20; least < 300; least++ { // tenths of fl oz/ac
		refit := func(most float64) rx.Way {
			p := rxtest.Plain(pairs(1, 100, 1, 300)...)
			terms := rxtest.Terms(rxtest.Label(t, fmt.Sprintf("loading: {min: 400 fl oz/ton, max: 800 fl oz/ton}\nmax-liquid: %v fl oz/ton\n", most)))
			terms.Further = []rx.JobLiquid{{Name: "herbicide", Intended: unit.LiquidRate(least) / 10, On: equip.OnBlend,
				Label: rxtest.Profile(t, fmt.Sprintf("name: h\nrate: {min: %v fl oz/ac, max: 90 fl oz/ac}\n", float64(least)/10))}}
			return wayOf(split.For(p, rxtest.Grade(t, p, terms), nil).Ways(), rx.Refit)
		}
		w := refit(400 + float64(least))
		if w.State == rx.Impossible || math.Abs(float64(w.DryAdded)-100) > 1e-8 || math.Abs(float64(w.DryRemoved)-100) > 1e-8 {
			t.Fatalf("%d tenths: %s, %v added, %v removed, %s", least, w.State, w.DryAdded, w.DryRemoved, w.Why)
		}
		if w = refit(399.9 + float64(least)); w.State != rx.Impossible || !strings.Contains(w.Why, "leaves no dry rate") {
			t.Fatalf("%d tenths, and less than a ton takes up: %s, %s", least, w.State, w.Why)
		}
	}
}

// pours fails unless what a way says it takes is what its zones get, and what its
// layers hold.
func pours(t *testing.T, p *rx.Prescription, plan *rx.Plan) {
	t.Helper()
	var zones, layers unit.Volume
	for i, z := range p.Zones {
		zones += unit.VolumeOver(plan.Stabilizer[i], z.Area)
	}
	for _, l := range plan.Layers {
		layers += l.Volume
	}
	near(t, string(plan.Way.Name)+": stabilizer of the zones", float64(plan.Way.Stabilizer), float64(zones), 1e-9)
	near(t, string(plan.Way.Name)+": stabilizer of the layers", float64(plan.Way.Stabilizer), float64(layers), 1e-9)
}

// What ways take where zones are left off, and where there are more zones than a block
// of a sum has.
func TestWaysTakeWhatTheirZonesGet(t *testing.T) {
	many := make([]rxtest.Ground, 2*4096+7)
	for i := range many {
		many[i] = rxtest.Ground{Acres: 0.5, Rate: unit.DryRate(100 + i%200)}
	}
	for _, c := range []struct {
		name    string
		grounds []rxtest.Ground
	}{
		{"four zones and bare ground", append(rxtest.FourGrounds(), pairs(9, 0, 3, 90)...)},
		{"many zones", many},
	} {
		p := rxtest.Plain(c.grounds...)
		terms := rxtest.Terms(rxtest.Label(t, rxtest.HowTo))
		terms.LeaveOff = true
		a := rxtest.Grade(t, p, terms)
		for _, way := range []rx.WayName{rx.OneLoad, rx.Base, rx.Loads, rx.Refit} {
			got := plan(t, p, a, way)
			onLabel(t, p, a, got)
			pours(t, p, got)
			if way != rx.Refit {
				conserves(t, p, got)
			}
			var area unit.Area
			for _, l := range got.Layers {
				if l.Name != "dry-topup" { // it lies on the base
					area += l.Area
				}
			}
			if way != rx.Base || got.Way.LeftOff == 0 {
				near(t, string(way)+": acres of the layers", float64(area), float64(p.TreatedArea()), 1e-12)
			}
		}
	}
}

// A way that leaves zones off comes after those that don't, however few passes it has.
func TestRankWithZonesLeftOff(t *testing.T) {
	p := rxtest.Plain(rxtest.FourGrounds()...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.LeaveOff = true
	ways := split.For(p, rxtest.Grade(t, p, terms), nil).Ways()
	for i, w := range ways[1:] {
		if before := ways[i]; w.Possible() && w.LeftOff == 0 && before.LeftOff > 0 {
			t.Errorf("%s, which leaves %v off, comes before %s, which leaves none", before.Name, before.LeftOff, w.Name)
		}
	}
	if wayOf(ways, rx.OneLoad).LeftOff == 0 || wayOf(ways, rx.Refit).LeftOff > 0 || !wayOf(ways, rx.Refit).Possible() {
		t.Error("one load leaves none off here, or the refit some: nothing was put in order")
	}
}
