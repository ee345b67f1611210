package split

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
)

var planLiquid = rx.NewRule[allLiquid]("plan-max-liquid", rx.AboutPlan, rx.EveryPlan)

// allLiquid is what a ton of the fullest layer takes up, and how much it may.
type allLiquid struct {
	Layer   string
	Loading rx.Dose
	Further unit.Loading
	Name    string // of the further liquid
	All     unit.Loading
	Limit   unit.Loading
	TooMuch bool
}

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
	d := allLiquid{fullest.Name, t.terms.Dose(fullest.Loading), further, t.terms.Job.SecondLiquid.Name, fullest.Loading + further, most, false}
	severity := rx.Note
	if (rx.Range[unit.Loading]{Max: most}).Over(d.All) {
		severity, d.TooMuch = rx.Error, true
	}
	return planLiquid.Find(severity, d), true
}
