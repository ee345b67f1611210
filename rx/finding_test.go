package rx_test

import (
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Findings are equal when their data are: of one kind, about the same zones, with the same
// quantities.
func TestFindingsAreEqualByData(t *testing.T) {
	type data struct {
		Rates rx.Range[unit.LiquidRate]
		Names []string
	}
	rule := rx.NewRule[data]("one", rx.AboutLabel, rx.EveryPlan)
	other := rx.NewRule[data]("another", rx.AboutLabel, rx.EveryPlan)
	with := func(r rx.Rule[data], change func(*rx.Finding, *data)) rx.Finding {
		d := data{rx.Range[unit.LiquidRate]{Min: 20, Max: 40}, []string{"urea", "potash"}}
		f := r.Find(rx.Warning, d)
		f.Zones, f.Area, f.Place, f.Field = []int{1, 2}, 40, &orb.Point{-93, 42}, "RATE"
		change(&f, &d)
		f.Data = d
		return f
	}
	same := func(*rx.Finding, *data) {}
	f := with(rule, same)
	if !f.Equal(with(rule, same)) {
		t.Error("a finding differs from itself")
	}
	for name, g := range map[string]rx.Finding{
		"rule":     with(other, same),
		"severity": with(rule, func(f *rx.Finding, _ *data) { f.Severity = rx.Note }),
		"zones":    with(rule, func(f *rx.Finding, _ *data) { f.Zones = []int{1, 3} }),
		"area":     with(rule, func(f *rx.Finding, _ *data) { f.Area = 41 }),
		"place":    with(rule, func(f *rx.Finding, _ *data) { f.Place = &orb.Point{-93, 43} }),
		"no place": with(rule, func(f *rx.Finding, _ *data) { f.Place = nil }),
		"field":    with(rule, func(f *rx.Finding, _ *data) { f.Field = "N" }),
		"rates":    with(rule, func(_ *rx.Finding, d *data) { d.Rates.Max = 41 }),
		"names":    with(rule, func(_ *rx.Finding, d *data) { d.Names = []string{"urea"} }),
	} {
		if f.Equal(g) || g.Equal(f) {
			t.Errorf("another %s: equal", name)
		}
	}
}

// A rule says itself for which plans its findings matter.
func TestFindingsConcernPlans(t *testing.T) {
	boom := rx.Work{Plan: &rx.Plan{Layers: []rx.Layer{{Product: rx.Dry}, {Product: rx.Liquid}}}}
	blend := rx.Work{Plan: &rx.Plan{Layers: []rx.Layer{{Product: rx.Dry, Treated: true}}}}
	for name, c := range map[string]struct {
		concerns           func(rx.Nothing, rx.Work) bool
		ofBoom, impregnate bool
	}{
		"every":   {rx.EveryPlan[rx.Nothing], true, true},
		"none":    {rx.NoPlan[rx.Nothing], false, false},
		"liquid":  {rx.LiquidPlans[rx.Nothing], true, false},
		"treated": {rx.TreatedPlans[rx.Nothing], false, true},
	} {
		f := rx.NewRule("rule", rx.AboutLabel, c.concerns).Find(rx.Error, rx.Nothing{})
		if got := f.Concerns(boom); got != c.ofBoom {
			t.Errorf("%s: concerns a wet boom: %v", name, got)
		}
		if got := f.Concerns(blend); got != c.impregnate {
			t.Errorf("%s: concerns an impregnated blend: %v", name, got)
		}
	}
}

func TestKeysNameRules(t *testing.T) {
	k := rx.NewRule[rx.Nothing]("keep-out/of the blend", rx.AboutPlan, rx.NoPlan)
	if k.Rule() != "keep-out" || k.Key() != "keep-out/of the blend" || k.About() != rx.AboutPlan {
		t.Errorf("got %q, %q, %q", k.Rule(), k.Key(), k.About())
	}
}
