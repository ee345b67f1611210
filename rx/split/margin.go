package split

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// edge is how near to an end of the label a planned rate may come before somebody
// should know: common practice, no source.
const edge = 0.005

var noMargin = rx.NewRule[onEdge]("no-margin", rx.AboutPlan, rx.EveryPlan)

// onEdge is a plan on an end of what one pass may put on the ground.
type onEdge struct {
	Rates, Pass rx.Range[unit.LiquidRate]
	Season      unit.LiquidRate // what the season maximum leaves, where that is the end; else 0
	Boom        bool
	OneRate     bool // the label has one, Label
	Label       unit.LiquidRate
}

// onEdge finds a plan that puts some ground on an end of what one pass may put there.
// A boom is off its rate by worn nozzles, pressure and speed as a spreader is by its own
// error. Where the label has one rate, nobody can keep off its ends with a boom.
func (t *task) onEdge(plan *rx.Plan) (rx.Finding, bool) {
	w := plan.Way.Rate
	r, _ := t.terms.PassRange()
	boom, oneRate := plan.Way.Sprayed > 0, t.a.Range.Min == t.a.Range.Max
	low, high := w.Min < r.Min*(1+edge), w.Max > r.Max*(1-edge)
	if !low && !high || boom && oneRate {
		return rx.Finding{}, false
	}
	d := onEdge{Rates: w, Pass: r, Boom: boom, OneRate: oneRate, Label: t.a.Range.Min}
	if high && r.Max < t.a.Range.Max {
		d.Season = r.Max
	}
	return noMargin.Find(rx.Warning, d), true
}
