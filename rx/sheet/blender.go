package sheet

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// blender returns the sheet of one impregnated load, for the plant.
func (c *crew) blender(i int) rx.Sheet {
	t := &c.treated[i]
	title := "Blender sheet"
	if n := len(c.treated); n > 1 {
		title = fmt.Sprintf("Blender sheet, load %d of %d", i+1, n)
	}
	d := c.begin(rx.BlenderSheet, title, t.layer.Name)
	d.identity(t)
	d.compatibility(t)
	d.amounts(t)
	d.doses(t)
	d.mixing(t)
	d.halfBatches(t)
	d.log(t)
	d.settings(t)
	d.density(t)
	d.careless(t)
	d.delivery()
	d.trucks(t)
	d.leftover(t)
	d.add(sign("Blender operator"))
	return d.end()
}

// identity says what the load is: what a custom blend's statement needs, where the
// product is, or may be, a registered pesticide. [40 CFR 167.3, custom blender]
func (d *draft) identity(t *treated) {
	s := rx.Section{Title: "What this load is", Facts: []rx.Fact{
		{What: "Composition", Value: d.composition(t)},
		{What: "Treated with", Value: d.label.Name, Note: d.a.Terms.LoadingText(t.layer.Loading)},
		{What: "Dry product, untreated", Value: d.bulk(t.mass), Note: d.mass(t.mass) + " on " + d.area(t.area)},
	}}
	if added, ok := t.added.Get(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Treated, in all", Value: d.bulk(t.mass * unit.Mass(1+added)), Note: "with liquid and drying agent"})
	} else {
		s.Facts = append(s.Facts, rx.Fact{What: "Treated, in all", Value: blank, Note: "weigh it"})
	}
	if g, ok := t.treatedGrade(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Grade as treated", Value: gradeText(g), Note: "of what is spread, liquid and drying agent included"})
	}
	if second := d.job.SecondLiquid; second != nil {
		s.Facts = append(s.Facts, rx.Fact{What: "And with", Value: second.Name, Note: second.Loading.Text(d.s)})
	}
	if most, ok := d.label.MostLiquid(); ok {
		s.Facts = append(s.Facts, d.liquidFact(t, most))
	} else if d.job.SecondLiquid != nil {
		d.lacks("the most liquid that a ton takes up", "label profile, max-liquid", "compare both liquids together with the label")
	}
	s.Facts = append(s.Facts, d.windowFact(t))
	if least, ok := d.label.LeastDryRate(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Smallest impregnated rate", Value: d.dry(least), Note: "by the label"})
	}
	d.swapped(t, &s)
	d.customBlend(&s)
	d.add(s)
}

// composition lists the materials with grade and share, and the grade of the blend.
func (d *draft) composition(t *treated) string {
	if len(t.what) == 0 {
		d.lacks("the materials of the blend", "job file, blend", "write the composition in by hand; materials, compatibility and densities are not worked out")
		if t.field >= 0 {
			return "product of field " + d.p.Fields[t.field].Name + ": " + blank
		}
		return blank
	}
	text := ""
	for i, m := range t.what {
		if i > 0 {
			text += ", "
		}
		text += m.Name
		if g, ok := m.Grade.Get(); ok {
			text += " " + g.String()
		}
		if len(t.what) > 1 {
			text += " " + trim(m.Share.In(unit.US), 1) + " %"
		}
	}
	if g, ok := t.what.Grade(); ok && len(t.what) > 1 {
		text += " (together " + gradeText(g) + ")"
	}
	return text
}

// treatedGrade returns the grade of treated product: the nutrients of the dry in the
// weight of all of it. Known where both are.
func (t *treated) treatedGrade() (equip.Grade, bool) {
	g, ok := t.what.Grade()
	added, known := t.added.Get()
	return g.Scaled(1 / (1 + added)), ok && known
}

// gradeText prints a grade to a tenth of a percent.
func gradeText(g equip.Grade) string {
	part := func(r unit.Ratio) string { return trim(r.In(unit.US), 1) }
	text := part(g.N) + "-" + part(g.P2O5) + "-" + part(g.K2O)
	if g.S > 0 {
		text += "-" + part(g.S) + "S"
	}
	return text
}

// swapped warns of loads that look alike: what each would put on the ground of the
// others.
func (d *draft) swapped(t *treated, s *rx.Section) {
	for i := range d.treated {
		other := &d.treated[i]
		if other == t {
			continue
		}
		low, high := unit.StabilizerRate(t.layer.Loading, other.rates.Min), unit.StabilizerRate(t.layer.Loading, other.rates.Max)
		text := fmt.Sprintf("For layer %s alone: the loads look alike. Spread with layer %s, this one would put %s on the ground", t.layer.Name, other.layer.Name, between(d.rate(low), d.rate(high)))
		if window, why := d.a.Terms.DryWindow(t.layer.Loading); why != "" || window.Under(other.rates.Min) || window.Over(other.rates.Max) {
			text += ", off the label"
		}
		s.Cautions = append(s.Cautions, text+". Mark truck and ticket.")
	}
}

func (d *draft) customBlend(s *rx.Section) {
	if d.label.Registered == label.No {
		return
	}
	s.Facts = append(s.Facts,
		rx.Fact{What: "EPA Reg. No.", Value: orBlank(d.registration())},
		rx.Fact{What: "Not for inventory", Value: "made to this customer's order for this field"},
	)
	s.Blanks = append(s.Blanks, "Label copy attached, of each product: [  ]", "Statement of composition delivered with the blend: [  ]")
	if d.registration() == "" {
		d.lacks("the EPA Reg. No.", "label profile, registration", "copy it from the label in hand")
	}
	if d.label.IsRegistered() {
		s.Notes = append(s.Notes, "A custom blender, 40 CFR 167.3: a blend made to a customer's order, not held in inventory, for the customer's own land, from registered products whose labels do not forbid it, delivered with a copy of each end-use label and a statement of composition, and no other pesticide production at the place. Whether that holds here is for the plant to say; this sheet does not say it.")
		s.Notes = append(s.Notes, d.lawNotes()...)
		return
	}
	d.lacks("whether the product is a registered pesticide", "label profile, registered", "ask; if it is, the blend needs the registration number, the label copies and the statement of composition")
}
