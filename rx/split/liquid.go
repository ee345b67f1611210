package split

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

var planLiquid = rx.NewRule[allLiquid]("plan-max-liquid", rx.AboutPlan, rx.EveryPlan)

// What has to be met of further liquids before a way may be taken. Its words follow "if".
var (
	notGraded  = rx.NewRule[ungraded]("not-graded", rx.AboutLabel, rx.NoPlan)
	liquidDose = rx.NewRule[dosedOtherwise]("liquid-dose", rx.AboutPlan, rx.NoPlan)
	leftOut    = rx.NewRule[furtherLiquid]("liquid-left-out", rx.AboutPlan, rx.NoPlan)
	askMix     = rx.NewRule[furtherLiquid]("tank-mix/asked", rx.AboutLabel, rx.NoPlan)
)

// What is found of them in a plan.
var (
	offFurther = rx.NewRule[furtherLiquid]("plan-off-label/liquid", rx.AboutPlan, rx.EveryPlan)
	keptIn     = rx.NewRule[furtherLiquid]("keep-out/liquid on the dry", rx.AboutPlan, rx.EveryPlan)
)

// allLiquid is what a ton of the fullest layer takes up, and how much it may.
type allLiquid struct {
	Layer   string
	Loading rx.Dose
	Bare    bool // it has no stabilizer
	Further unit.Loading
	Names   []string // of the further liquids
	All     unit.Loading
	Limit   unit.Loading
	TooMuch bool
}

// liquidPerTon holds all liquid of the plan's fullest treated layer, further ones
// counted, against what a ton takes up by the labels. Without a further liquid there is
// nothing to tell: the window of every load ends there.
func (t *Task) liquidPerTon(plan *rx.Plan) (f rx.Finding, some bool) {
	var d allLiquid
	bounded := false
	for _, l := range plan.Layers {
		if !l.Treated || len(l.Further) == 0 {
			continue
		}
		further := unit.Loading(0)
		for _, one := range l.Further {
			further += one.Loading
		}
		if most, ok := t.terms.For(l.Load(0, l.Dry, nil)).MostLiquid(); l.Loading+further > d.All {
			bounded = ok
			d = allLiquid{Layer: l.Name, Loading: t.terms.Dose(l.Loading), Bare: l.Loading == 0, Further: further, All: l.Loading + further, Limit: most}
		}
	}
	if !bounded || d.All == 0 {
		return f, false
	}
	for _, l := range t.terms.FurtherOn(equip.OnBlend) {
		d.Names = append(d.Names, l.Name)
	}
	severity := rx.Note
	if (rx.Range[unit.Loading]{Max: d.Limit}).Over(d.All) {
		severity, d.TooMuch = rx.Error, true
	}
	return planLiquid.Find(severity, d), true
}

// ungraded is a liquid that no label is held against, and what lands of it.
type ungraded struct {
	Name  string
	Rates rx.Range[unit.LiquidRate]
}

// dosedOtherwise is a further liquid of which a way takes another amount than is meant:
// that of its intended rate, or of its fixed loading on all of the dry.
type dosedOtherwise struct {
	Name         string
	Takes, Meant unit.Volume
	Rates        rx.Range[unit.LiquidRate] // on the ground
}

// furtherLiquid is a liquid that is meant.
type furtherLiquid struct{ Name string }

// furtherConditions lists what has to be met of the further liquids.
func (t *Task) furtherConditions(w rx.Way) (out []rx.Finding) {
	for k, l := range t.terms.Further {
		amount := w.Further[k]
		if amount.Rate.Max == 0 {
			out = append(out, leftOut.Find(rx.Warning, furtherLiquid{l.Name}))
			continue
		}
		if l.Label == nil {
			out = append(out, notGraded.Find(rx.Warning, ungraded{l.Name, amount.Rate}))
		}
		if may, _ := t.terms.TankMix(l); l.On == equip.OnBoom && may == label.Unsaid {
			out = append(out, askMix.Find(rx.Warning, furtherLiquid{l.Name}))
		}
		meant := unit.VolumeOver(l.Intended, t.p.TreatedArea()-w.LeftOff)
		if l.Loading > 0 {
			meant = unit.Uptake(l.Loading, t.p.CarrierMass())
		}
		if off := math.Abs(float64(amount.Volume/meant) - 1); l.On == equip.OnBlend && off > float64(likeIntended)*(1+1e-9) {
			out = append(out, liquidDose.Find(rx.Warning, dosedOtherwise{l.Name, amount.Volume, meant, amount.Rate}))
		}
	}
	return out
}

// inspectFurther looks at what a plan does with the further liquids.
func (t *Task) inspectFurther(plan *rx.Plan) (out []rx.Finding) {
	for k, l := range t.terms.Further {
		if r, _ := t.terms.Pass(l); l.Label != nil {
			f := offFurther.Find(rx.Error, furtherLiquid{l.Name})
			if f.Where(t.p, func(i int) bool { return plan.Further[k][i] > 0 && !r.Contains(plan.Further[k][i]) }) {
				out = append(out, f)
			}
		}
		if l.On == equip.OnBlend && plan.Way.Sprayed > 0 && t.reachesKeepOut() != "" {
			f := keptIn.Find(rx.Warning, furtherLiquid{l.Name})
			f.Area = t.kept.area
			out = append(out, f)
		}
	}
	return out
}
