package split

import (
	"rxsplit/label"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

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
