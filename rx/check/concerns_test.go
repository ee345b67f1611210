package check_test

import (
	"testing"

	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// What is found about the blend as it is, or about impregnating it, is not told of a wet
// boom's plan; what is found about the boom is not told of a plan without one.
func TestWhatConcernsPlans(t *testing.T) {
	p := rxtest.Plain(rxtest.FourGrounds()...)
	nitrate := equip.Material{Name: "ammonium nitrate"}
	boom := rx.Work{Prescription: p, Plan: &rx.Plan{Layers: []rx.Layer{{Product: rx.Dry}, {Product: rx.Liquid}}}}
	boom.Terms.Job = &equip.Job{Blend: equip.Blend{nitrate}}
	blend := boom
	blend.Plan = &rx.Plan{Layers: []rx.Layer{{Product: rx.Dry, Treated: true}}, Materials: equip.Blend{nitrate}}
	a := rxtest.Grade(t, p, rxtest.Terms(rxtest.Label(t, "carriers: {forbidden: [ammonium nitrate]}\n")))
	a.Terms.Job = boom.Terms.Job
	a, err := check.Grade(p, a.Terms)
	if err != nil {
		t.Fatal(err)
	}
	told := map[string][2]bool{}
	for _, f := range a.Findings {
		told[f.Rule()] = [2]bool{f.Concerns(boom), f.Concerns(blend)}
	}
	for rule, want := range map[string][2]bool{
		"above": {false, false}, "below": {false, false},
		"carrier": {false, true}, "compatible": {false, true},
	} {
		if got, found := told[rule]; !found || got != want {
			t.Errorf("%s: found %v, concerns boom and blend %v, want %v", rule, found, got, want)
		}
	}
}
