package check_test

import (
	"strings"
	"testing"

	"rxsplit/label"
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
	for _, key := range []string{"boom.nozzles", "spreader.swath"} {
		a.Terms.OddJob = append(a.Terms.OddJob, label.Problem{Severity: label.Warning, Key: key, Text: "is odd"})
	}
	a, err := check.Grade(p, a.Terms)
	if err != nil {
		t.Fatal(err)
	}
	told := map[string][2]bool{}
	for _, f := range a.Findings {
		told[strings.TrimSpace(f.Rule()+" "+f.Field)] = [2]bool{f.Concerns(boom), f.Concerns(blend)}
	}
	for rule, want := range map[string][2]bool{
		"above": {false, false}, "below": {false, false},
		"carrier": {false, true}, "compatible": {false, true},
		"job-file boom.nozzles": {true, false}, "job-file spreader.swath": {true, true},
	} {
		if got, found := told[rule]; !found || got != want {
			t.Errorf("%s: found %v, concerns boom and blend %v, want %v", rule, found, got, want)
		}
	}
}
