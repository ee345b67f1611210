package split

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// edge is how near to an end of the label a planned rate may come before somebody
// should know: common practice, no source.
const edge = 0.005

var noMargin = rx.NewRule[onEdge]("no-margin", rx.AboutPlan, rx.EveryPlan)

// onEdge is a liquid of a plan on an end of what one pass may put on the ground.
type onEdge struct {
	Name        string // of a further liquid; empty for the stabilizer
	Rates, Pass rx.Range[unit.LiquidRate]
	Season      unit.LiquidRate // what the season maximum leaves, where that is the end; else 0
	Boom        bool
	OneRate     bool // the label has one, Label
	Label       unit.LiquidRate
}

// onEdge finds liquids that a plan puts on some ground at an end of what one pass may put
// there. A boom is off its rate by worn nozzles, pressure and speed as a spreader is by its
// own error. Where the label has one rate, nobody can keep off its ends with a boom.
func (t *Task) onEdge(w rx.Way) (out []rx.Finding) {
	add := func(l rx.JobLiquid, rates rx.Range[unit.LiquidRate], boom bool) {
		full, graded := l.Range()
		pass, _ := t.terms.Pass(l)
		low, high := rates.Min < pass.Min*(1+edge), rates.Max > pass.Max*(1-edge)
		if !graded || rates.Max == 0 || !low && !high || boom && full.Min == full.Max {
			return
		}
		d := onEdge{Name: l.Further(), Rates: rates, Pass: pass, Boom: boom, OneRate: full.Min == full.Max, Label: full.Min}
		if high && pass.Max < full.Max {
			d.Season = pass.Max
		}
		out = append(out, noMargin.Find(rx.Warning, d))
	}
	add(t.terms.Stabilizer(), w.Rate, w.Sprayed > 0)
	for k, l := range t.terms.Further {
		add(l, w.Further[k].Rate, l.On == equip.OnBoom)
	}
	return out
}
