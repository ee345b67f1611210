package rx_test

import (
	"testing"

	"rxsplit/rx"
)

// One answer is for all that its rule finds; a note of a rule in doubt needs none.
func TestAccept(t *testing.T) {
	doubted := rx.NewRule[rx.Nothing]("test-doubt", rx.AboutFile, rx.EveryPlan).InDoubt()
	other := rx.NewRule[rx.Nothing]("test-other", rx.AboutFile, rx.EveryPlan).InDoubt()
	plain := rx.NewRule[rx.Nothing]("test-plain", rx.AboutFile, rx.EveryPlan)
	first, second := doubted.Find(rx.Warning, rx.Nothing{}), doubted.Find(rx.Error, rx.Nothing{})
	first.Zones, second.Zones = []int{1}, []int{2, 3}
	open := other.Find(rx.Warning, rx.Nothing{})
	list := []rx.Finding{plain.Find(rx.Error, rx.Nothing{}), first, doubted.Find(rx.Note, rx.Nothing{}), second, open}
	accepted, left, idle := rx.Accept(list, []rx.Answer{{"test-doubt", "so"}, {"test-plain", "why"}})
	if len(accepted) != 2 || !accepted[0].Equal(first) || !accepted[1].Equal(second) || accepted[1].Reason != "so" {
		t.Errorf("accepted %+v", accepted)
	}
	if len(left) != 1 || !left[0].Equal(open) {
		t.Errorf("open %+v", left)
	}
	if len(idle) != 1 || idle[0].Rule != "test-plain" {
		t.Errorf("idle %+v", idle)
	}
	plan := rx.Plan{Accepted: accepted}
	if plan.Reason(second) != "so" || plan.Reason(open) != "" {
		t.Errorf("got %q, %q", plan.Reason(second), plan.Reason(open))
	}
	rx.DoubtsFirst(list)
	if !list[0].Equal(first) || !list[2].Equal(open) || list[3].Rule() != "test-plain" {
		t.Errorf("order %+v", list)
	}
}
