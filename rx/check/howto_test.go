package check_test

import (
	"testing"

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
			terms.Loading, terms.Job = 320*unit.FluidOuncePerTon, c.job
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

func worst(a *rx.Assessment, rule string) rx.Severity {
	return rx.Worst(a.Findings, func(f rx.Finding) bool { return f.Rule == rule })
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
	checkWords(t, f.Got, "140 ")
}
