package check

import (
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// What is found of further liquids alone.
var (
	notGraded = rx.NewRule[ungraded]("not-graded/as one blend", rx.AboutLabel, rx.EveryPlan)
	tankMix   = rx.NewRule[mixed]("tank-mix", rx.AboutLabel, rx.LiquidPlans)
)

// furtherRules are the rules of a job that has further liquids.
func furtherRules() []Rule {
	return []Rule{{notGraded.Kind, nil, findNotGraded}, {tankMix.Kind, nil, findTankMix}}
}

// ungraded is what lands of a liquid that nobody gave a label for.
type ungraded struct {
	Name    string
	Loading unit.Loading // 0 for the boom's tank
	Rates   rx.Range[unit.LiquidRate]
}

func findNotGraded(p *rx.Prescription, a *rx.Assessment) (out []rx.Finding) {
	for i := range a.Further {
		g := &a.Further[i]
		f := notGraded.Find(rx.Warning, ungraded{g.Liquid.Name, g.Loading, g.Stabilizer})
		f.Area = g.Shares[rx.NotGraded].Area
		if g.Liquid.Label == nil && f.Area > 0 {
			out = append(out, f)
		}
	}
	return out
}

// mixed are liquids that are to go into one tank, and whose labels don't say that they may.
type mixed struct {
	Name   string
	Unsaid []string // whose labels say nothing of it, or that have none
}

// findTankMix tells of liquids for the boom's tank that a label neither allows nor forbids
// there. What a label forbids, the way refuses.
func findTankMix(_ *rx.Prescription, a *rx.Assessment) (out []rx.Finding) {
	for _, l := range a.Terms.FurtherOn(equip.OnBoom) {
		if may, unsaid := a.Terms.TankMix(l); may == label.Unsaid {
			out = append(out, tankMix.Find(rx.Warning, mixed{l.Name, unsaid}))
		}
	}
	return out
}
