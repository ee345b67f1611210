package write

import (
	"testing"

	"rxsplit/rx"
)

// What a manifest says was accepted holds for the zones and the source that it names.
func TestAcceptedIsOfOneSource(t *testing.T) {
	doubt := rx.NewRule[rx.Nothing]("row-order", rx.AboutFile, rx.EveryPlan).InDoubt().Find(rx.Error, rx.Nothing{})
	doubt.Zones = []int{3}
	p := &rx.Prescription{Source: rx.Source{Files: []rx.SourceFile{{SHA256: "ab"}}}}
	plan := &rx.Plan{Accepted: []rx.Accepted{{Finding: doubt, Reason: "sorted by hand"}}}
	m := &Manifest{Accepted: acceptedOf(p, plan)}
	if wrong := CompareAccepted(m, p, plan); wrong != nil {
		t.Fatal(wrong)
	}
	for what, change := range map[string]func(*Accepted){
		"zones":  func(a *Accepted) { a.Zones = []int{4} },
		"source": func(a *Accepted) { a.Source = "cd" },
		"rule":   func(a *Accepted) { a.Rule = "rate-unit" },
		"reason": func(a *Accepted) { a.Reason = "" },
	} {
		m.Accepted = acceptedOf(p, plan)
		change(&m.Accepted[0])
		if CompareAccepted(m, p, plan) == nil {
			t.Errorf("%s: another one is not seen", what)
		}
	}
}
