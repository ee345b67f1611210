package check_test

import (
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// blend is a blend of materials, by name.
func blend(names ...string) *equip.Job {
	j := &equip.Job{}
	for _, name := range names {
		j.Blend = append(j.Blend, equip.Material{Name: name, Share: 1 / unit.Ratio(len(names))})
	}
	return j
}

func tested(j *equip.Job) *equip.Job {
	j.BlendTested = true
	return j
}

func boomAt(volume unit.LiquidRate, width unit.Length) *equip.Job {
	return &equip.Job{Boom: &equip.Boom{Volume: volume, Width: width}, Spreader: spreader()}
}

func secondLiquid(l unit.Loading) *equip.Job {
	return &equip.Job{FurtherLiquids: []equip.Liquid{{Name: "another", Loading: label.Know(l)}}}
}

// Each rule on how to apply, on both sides of what it asks, at 320 fl oz/ton.
func TestHowToOnBothSides(t *testing.T) {
	const carriers = "carriers: {allowed: [urea], forbidden: [map]}\n"
	const volumes = "spray-volume: {min: 5 gal/ac, max: 20 gal/ac}\n"
	none := rx.Severity(99)
	for _, c := range []struct {
		name, rule, more string
		job              *equip.Job
		want             rx.Severity
	}{
		{"most liquid a ton", "max-liquid", "max-liquid: 2.5 gal/ton\n", nil, none}, // 320 fl oz
		{"a little less", "max-liquid", "max-liquid: 2.49 gal/ton\n", nil, rx.Error},
		{"both liquids, 320 and 64", "max-liquid", "max-liquid: 3 gal/ton\n", secondLiquid(64), none}, // 384 fl oz
		{"both liquids, a little more", "max-liquid", "max-liquid: 3 gal/ton\n", secondLiquid(64.1), rx.Error},
		{"own range", "loading-range", "loading: {min: 320 fl oz/ton, max: 330 fl oz/ton}\n", nil, none},
		{"own range, upper end", "loading-range", "loading: {min: 300 fl oz/ton, max: 320 fl oz/ton}\n", nil, none},
		{"under its own range", "loading-range", "loading: {min: 321 fl oz/ton, max: 400 fl oz/ton}\n", nil, rx.Error},
		{"over its own range", "loading-range", "loading: {min: 100 fl oz/ton, max: 319 fl oz/ton}\n", nil, rx.Error},
		{"allowed carrier", "carrier", carriers, blend("urea"), none},
		{"carrier that is not spoken of", "carrier", carriers, blend("urea", "dap"), rx.Warning},
		{"forbidden carrier", "carrier", carriers, blend("urea", "map"), rx.Error},
		{"materials that go together", "compatible", "", blend("urea", "map"), none},
		{"materials to use at once", "compatible", "", blend("urea", "potash"), rx.Warning},
		{"materials that need a test", "compatible", "", blend("urea", "triple superphosphate"), rx.Error},
		{"materials that were tested", "compatible", "", tested(blend("urea", "triple superphosphate")), rx.Warning},
		{"no test helps", "compatible", "", tested(blend("urea", "ammonium nitrate")), rx.Error},
		{"liquid on an oxidizer", "compatible", "", tested(blend("potassium nitrate")), rx.Error},
		{"solvent on nitrate", "compatible", "base: solvent\n", tested(blend("calcium nitrate")), rx.Error},
		{"nobody knows what on nitrate", "compatible", "", blend("CAN"), rx.Warning},
		{"water on nitrate", "compatible", "base: water\n", blend("CAN"), none},
		{"least spray volume", "spray-volume", volumes, boomAt(5*unit.GallonPerAcre, 70), none},
		{"most spray volume", "spray-volume", volumes, boomAt(20*unit.GallonPerAcre, 70), none},
		{"too little", "spray-volume", volumes, boomAt(4.9*unit.GallonPerAcre, 70), rx.Warning},
		{"too much", "spray-volume", volumes, boomAt(20.1*unit.GallonPerAcre, 70), rx.Warning},
		{"boom as wide as the swath, but for a hand", "boom-swath", "", boomAt(10*unit.GallonPerAcre, 70.6), none}, // within 1 % of 70 ft
		{"boom a foot wider", "boom-swath", "", boomAt(10*unit.GallonPerAcre, 71), rx.Warning},
		{"boom a foot narrower", "boom-swath", "", boomAt(10*unit.GallonPerAcre, 69), rx.Warning},
	} {
		t.Run(c.name, func(t *testing.T) {
			terms := rxtest.Terms(rxtest.Label(t, c.more))
			terms.Loading, terms.Job, terms.Further = 320*unit.FluidOuncePerTon, c.job, rxtest.FurtherOf(c.job)
			a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
			if why := ran(t, a, c.rule); why != "" {
				t.Fatalf("%s did not look: %s", c.rule, why)
			}
			f, ok := found(a, c.rule)
			if ok != (c.want != none) {
				t.Fatalf("found: %v %+v", ok, f)
			}
			if ok && worst(a, c.rule) != c.want {
				t.Errorf("got %v, want %v", worst(a, c.rule), c.want)
			}
		})
	}
}

// What a label says of the blend is not held against a liquid that goes into the boom's tank.
func TestHowToLeavesOutTheTank(t *testing.T) {
	for _, on := range []equip.Carriage{equip.OnBlend, equip.OnBoom} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Further = []rx.JobLiquid{{Name: "another", On: on, Label: rxtest.Label(t, "min-dry-rate: 150 lb/ac\nloading: {min: 1 fl oz/ton, max: 2 fl oz/ton}\n"), Intended: 30}}
		a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
		for _, rule := range []string{"min-dry-rate", "loading-range"} {
			if _, some := found(a, rule); some != (on == equip.OnBlend) {
				t.Errorf("%s, on the %v: found %v", rule, on, some)
			}
		}
	}
}

// The finding says what both liquids make, and the dry rates on label at such a loading
// are none.
func TestMostLiquidOfBoth(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "max-liquid: 3 gal/ton\n"))
	terms.Loading, terms.Further = 380, rxtest.Further(64)
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
	f, _ := found(a, "max-liquid")
	checkWords(t, said(f).Text, "a loading of 380 fl oz/ton and 64 fl oz/ton of another make 444 fl oz/ton, more than a ton takes up by the label, 384 fl oz/ton")
	checkWords(t, a.WhyNoRate, "380 fl oz/ton would load more than the label allows")
	if a.OnLabel != (rx.Range[unit.DryRate]{}) {
		t.Errorf("on label: %v", a.OnLabel)
	}
}

// The dry rates that are called on label count the season and the smallest impregnated
// rate: 320 fl oz/ton put 20 to 32 fl oz/ac on 125 to 200 lb/ac.
func TestOnLabelCountsEveryLimit(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\nmin-dry-rate: 140 lb/ac\n"))
	terms.Loading, terms.AlreadyApplied = 320, 28
	a := rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms)
	near(t, "lowest", float64(a.OnLabel.Min), 140, 1e-12)
	near(t, "highest", float64(a.OnLabel.Max), 200, 1e-12)
}

// What is applied already is named where there is any.
func TestSeasonNamesWhatIsApplied(t *testing.T) {
	for applied, want := range map[unit.LiquidRate]string{
		0:  "would reach up to 48 fl oz/ac this season, more than the label's 40 fl oz/ac.",
		10: "would reach up to 58 fl oz/ac this season with the 10 fl oz/ac already applied, more than the label's 40 fl oz/ac.",
	} {
		terms := rxtest.Terms(rxtest.Label(t, "season-max: 40 fl oz/ac\n"))
		terms.Loading, terms.AlreadyApplied = 320, applied
		f, _ := found(rxtest.Grade(t, rxtest.Plain(rxtest.FourGrounds()...), terms), "season-max")
		checkWords(t, said(f).Text, want)
	}
}

// Where a layer says what zones have had, the most that a season comes to is told with what
// that very zone has had: 320 fl oz/ton put 40 on 250 lb/ac, and 16 on 100.
func TestSeasonNamesWhatTheZoneHasHad(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 40 fl oz/ac\n"))
	terms.Loading, terms.AlreadyApplied, terms.Already = 320, 35, []unit.LiquidRate{35, 10}
	f, _ := found(rxtest.Grade(t, rxtest.Plain(grounds(10, 100, 10, 250)...), terms), "season-max")
	checkWords(t, said(f).Text, "2 zones (20.00 ac) would reach up to 51 fl oz/ac this season with the 35 fl oz/ac already applied")
	terms.AlreadyApplied, terms.Already = 25, []unit.LiquidRate{25, 10}
	f, _ = found(rxtest.Grade(t, rxtest.Plain(grounds(10, 100, 10, 250)...), terms), "season-max")
	checkWords(t, said(f).Text, "would reach up to 50 fl oz/ac this season with the 10 fl oz/ac already applied")
}

func worst(a *rx.Assessment, rule string) rx.Severity {
	return rx.Worst(a.Findings, func(f rx.Finding) bool { return f.Rule() == rule })
}

// Ground that gets no dry is not below the smallest impregnated dry rate.
func TestLeastDryRateLeavesOutBareGround(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "min-dry-rate: 150 lb/ac\n"))
	terms.Loading = 320
	a := rxtest.Grade(t, rxtest.Plain(grounds(7, 0, 10, 149, 20, 150, 5, 140)...), terms)
	f, ok := found(a, "min-dry-rate")
	if !ok {
		t.Fatal("nothing is found")
	}
	numbers(t, "zones", f.Zones, 2, 4)
	near(t, "acres", float64(f.Area), 15, 1e-12)
	checkWords(t, said(f).Got, "140 ")
}
