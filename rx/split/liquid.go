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
		if keepOuts, _ := t.terms.KeptBy(); keepOuts && l.On == equip.OnBlend && plan.Way.Sprayed > 0 && t.reachesKeepOut() != "" {
			f := keptIn.Find(rx.Warning, furtherLiquid{l.Name})
			f.Area = t.kept.area
			out = append(out, f)
		}
	}
	return out
}

// mustNotImpregnate says why nothing may be sprayed on what the way would
// impregnate: the label of a liquid of its loads forbids a material, or materials don't go
// together. It is empty where nothing speaks against it, or the materials are not given.
func (t *Task) mustNotImpregnate(load rx.Load) string {
	materials, liquids := t.impregnated(), t.terms.FurtherOn(equip.OnBlend)
	if load.Loading > 0 {
		liquids = append(liquids, t.terms.Stabilizer())
	}
	for _, m := range materials {
		if load.Loading > 0 && t.terms.Label.Carriers.Of(m.Name) == label.Forbidden {
			return "the label forbids " + m.Name + " as a carrier"
		}
		for _, l := range t.terms.FurtherOn(equip.OnBlend) {
			if l.Label != nil && l.Label.Carriers.Of(m.Name) == label.Forbidden {
				return "the label of " + l.Name + " forbids " + m.Name + " as a carrier"
			}
		}
	}
	for _, c := range append(equip.Impregnability(materials, rx.BaseOf(liquids)), equip.Compatibility(materials)...) {
		if c.Block {
			return c.Text
		}
		if c.Stop && !t.terms.Job.BlendTested {
			return c.Text + " Say blend-tested in the job file once a test is confirmed."
		}
	}
	return ""
}

// impregnated lists the materials that the stabilizer would be sprayed on: the
// whole blend, or the one product that carries it where products are spread side
// by side and the job names their materials in the order of the rate fields.
func (t *Task) impregnated() equip.Blend { return t.terms.MaterialsOf(t.p, t.p.CarrierField()) }

// materialsOf lists the materials that a way impregnates: those of its loads or, where
// the job does not say which of them go into a load, all.
func (t *Task) materialsOf(w rx.Way) equip.Blend {
	if len(w.Loads) == 0 {
		return nil
	}
	if of := w.Loads[0].Materials; len(of) > 0 {
		return of
	}
	return t.terms.Materials()
}

// blendGrade returns the grade of what the stabilizer rides on: of the job's blend, of
// the one rate field, or of the carrier alone where products are spread side by side.
func (t *Task) blendGrade() (equip.Grade, bool) {
	if g, ok := t.impregnated().Grade(); ok {
		return g, true
	}
	var sum equip.Grade
	for _, f := range t.p.Fields {
		g, err := equip.ParseGrade(f.Grade)
		if f.Carrier {
			return g, err == nil
		}
		if err != nil {
			return equip.Grade{}, false
		}
		sum = sum.Plus(g.Scaled(f.Share))
	}
	return sum, t.p.Blend()
}
