package split

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// liquidPerTon holds all liquid of the plan's fullest treated layer, a further one
// counted, against what a ton takes up by the label. Without a further liquid there is
// nothing to tell: the window of every load ends there.
func (t *task) liquidPerTon(plan *rx.Plan) (rx.Finding, bool) {
	most, ok := t.terms.Label.MaxLiquid.Get()
	further := t.terms.FurtherLoading()
	if !ok || further == 0 {
		return rx.Finding{}, false
	}
	var fullest rx.Layer
	for _, l := range plan.Layers {
		if l.Treated && l.Loading > fullest.Loading {
			fullest = l
		}
	}
	if !fullest.Treated {
		return rx.Finding{}, false
	}
	s, all := t.terms.Units, fullest.Loading+further
	f := rx.Finding{
		Rule: "plan-max-liquid", Severity: rx.Note, About: rx.AboutPlan, Got: all.Text(s), Want: "at most " + most.Text(s),
		Text: fmt.Sprintf("layer %s has %s of stabilizer and %s of %s, %s together, of the %s that a ton takes up by the label.",
			fullest.Name, t.terms.LoadingText(fullest.Loading), further.Brief(s), t.terms.Job.SecondLiquid.Name, all.Brief(s), most.Brief(s)),
	}
	if (rx.Range[unit.Loading]{Max: most}).Over(all) {
		f.Severity, f.Hint = rx.Error, "lower the loading of one of the liquids, or take another way"
	}
	return f, true
}
