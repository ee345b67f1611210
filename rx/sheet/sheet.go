// Package sheet makes the work sheets of a plan: what the blend plant, the sprayer,
// the spreader and the field's office need on paper to do what the plan says.
//
// A sheet says what is not known, and leaves a blank to fill in; it guesses nothing
// in silence. Figures that people weigh or meter are rounded as a scale or a meter
// reads them, and totals are the sums of what is printed.
package sheet

import (
	"rxsplit/label"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// For returns the sheets of a plan, in the units of the assessment's terms: a
// blender sheet for each treated layer, a boom sheet for the liquid layer, a spreader
// sheet and a field sheet.
func For(p *rx.Prescription, a *rx.Assessment, plan *rx.Plan) []rx.Sheet {
	c := newCrew(p, a, plan)
	var sheets []rx.Sheet
	for i := range c.treated {
		sheets = append(sheets, c.blender(i))
	}
	for i := range plan.Layers {
		if plan.Layers[i].Product == rx.Liquid {
			sheets = append(sheets, c.boom(&plan.Layers[i]))
		}
	}
	return append(sheets, c.spreader(), c.field())
}

// crew is what the sheets are made from.
type crew struct {
	show
	p       *rx.Prescription
	a       *rx.Assessment
	plan    *rx.Plan
	label   *label.Profile
	job     equip.Job // empty if none is given
	treated []treated // the treated layers, in the plan's order
}

func newCrew(p *rx.Prescription, a *rx.Assessment, plan *rx.Plan) *crew {
	c := &crew{show: show{a.Terms.Units}, p: p, a: a, plan: plan, label: a.Terms.Label}
	if a.Terms.Job != nil {
		c.job = *a.Terms.Job
	}
	for i := range plan.Layers {
		if plan.Layers[i].Treated {
			c.treated = append(c.treated, c.treat(&plan.Layers[i]))
		}
	}
	return c
}

// registration returns the stabilizer's registration number, from the profile or
// else the job; empty if neither gives it.
func (c *crew) registration() string {
	if c.label.Registration != "" {
		return c.label.Registration
	}
	return c.job.Registration
}

// registrationFact is the line for the registration number, with room for one that the
// label has and nobody gave; none where nobody says that there is one.
func (c *crew) registrationFact() []rx.Fact {
	if c.label.Registered != label.Yes && c.registration() == "" {
		return nil
	}
	return []rx.Fact{{What: "EPA Reg. No.", Value: orBlank(c.registration())}}
}
