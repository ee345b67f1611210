package sheet

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// field returns the sheet of the whole plan, for whoever orders and answers for it.
func (c *crew) field() rx.Sheet {
	d := c.begin(rx.FieldSheet, "Field sheet", "")
	d.whole()
	d.refitted()
	d.order()
	d.season()
	d.moreCautions()
	d.reconcile()
	d.breakEven()
	d.add(rx.Section{Title: "Released by", Blanks: []string{"Agronomist: " + blank + "; Licensed applicator: " + blank + "; License No.: " + blank, "Date and time: " + blank}})
	return d.end()
}

// whole says what the plan does with the field.
func (d *draft) whole() {
	w := d.plan.Way
	rates, area := d.onGround(), d.plan.StabilizerGround(d.p.Zones)
	s := rx.Section{Title: "The plan", Facts: []rx.Fact{
		{What: "Field as drawn", Value: d.area(d.p.Area()), Note: plural(len(d.p.Zones), "zone", "zones")},
		{What: "Gets stabilizer", Value: d.area(area), Note: between(d.rate(rates.Min), d.rate(rates.Max))},
		{What: "Label range", Value: between(d.rate(d.a.Range.Min), d.rate(d.a.Range.Max)), Note: d.label.Name},
		{What: "How", Value: w.Why},
		{What: "Passes", Value: fmt.Sprint(w.Passes)},
	}}
	s.Facts = append(s.Facts, d.registrationFact()...)
	if len(w.LeftZones) > 0 {
		s.Facts = append(s.Facts, rx.Fact{What: "Left untreated", Value: d.area(w.LeftOff), Note: plural(len(w.LeftZones), "zone", "zones") + ": " + zoneList(w.LeftZones, "zones.csv, where "+d.dryColumn()+" is above 0 and "+d.onGroundColumn()+" is 0")})
	}
	if f, some := d.noRates(); some {
		s.Facts = append(s.Facts, f)
	}
	for _, f := range d.plan.Findings {
		if f.Rule == "keep-out" && f.Area > 0 {
			s.Facts = append(s.Facts, rx.Fact{What: "In keep-outs", Value: d.area(f.Area), Note: "gets dry, but no stabilizer"})
		}
	}
	for _, f := range d.plan.Findings {
		if f.Severity > rx.Note {
			s.Cautions = append(s.Cautions, sentence(f.Text))
		}
	}
	s.Notes = d.lawNotes()
	if d.label.Registered == label.Unknown {
		d.lacks("whether the product is a registered pesticide", "label profile, registered", "ask before anybody applies it")
	}
	d.add(s)
}

// onGround returns the stabilizer rates that the plan puts on ground that gets any.
func (c *crew) onGround() (rates rx.Range[unit.LiquidRate]) {
	for _, s := range c.plan.Stabilizer {
		if s > 0 {
			rates.Widen(s, rates.Max == 0)
		}
	}
	return rates
}
