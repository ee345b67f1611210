package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// amounts lists what goes into a batch and into the whole load. Totals are the
// figures of a batch times their count.
func (d *draft) amounts(t *treated) {
	s := rx.Section{Title: "Batches"}
	batches, known := t.batches.Get()
	if known {
		s.Facts = append(s.Facts, rx.Fact{What: "Equal batches", Value: fmt.Sprint(batches.Count), Note: limitText(batches.Limit)})
		if time, ok := batches.Time.Get(); ok {
			s.Facts = append(s.Facts, rx.Fact{
				What: "Time in the blender", Value: d.minutes(time),
				Note: num(float64(unit.Hour)/(float64(time)/float64(batches.Count)), 1) + " batches an hour",
			})
		} else {
			d.lacks("how long a batch takes", "job file, blender.batch-time", "no time is worked out")
		}
		d.lacksDrum(t)
	} else {
		d.lacks("what the blender holds", "job file, blender", "divide the total into equal batches by hand; dose each by its weighed "+d.bulkUnit()+"s")
		s.Facts = append(s.Facts, rx.Fact{What: "Equal batches", Value: blank, Note: "of " + blank + " " + d.massUnit() + " of dry"})
	}
	s.Tables = append(s.Tables, d.amountsTable(t, known))
	made := t.portion.Total()
	if known && (num(made.Dry.In(d.s), 1) != num(t.mass.In(d.s), 1) || num(made.Liquid.In(d.s), 1) != num(t.layer.Volume.In(d.s), 1)) {
		s.Notes = append(s.Notes, fmt.Sprintf("The layer takes %s %s of dry and %s %s of stabilizer; the batches, each rounded as scale and meter read, make %s and %s.",
			num(t.mass.In(d.s), 1), d.massUnit(), num(t.layer.Volume.In(d.s), 1), d.dropUnit(), d.mass(made.Dry), d.drop(made.Liquid)))
	}
	if known {
		s.Notes = append(s.Notes, d.doseNote(t, t.portion))
	}
	s.Notes = append(s.Notes, d.agentNotes(t)...)
	d.add(s)
}

func limitText(l equip.Limit) string {
	if l == equip.ByDrum {
		return "the room in the drum decides, with treated product in humid weather"
	}
	return "the blender's weight decides"
}

func (d *draft) lacksDrum(t *treated) {
	if _, ok := d.job.Blender.Drum.Get(); !ok {
		d.lacks("the room in the drum", "job file, blender.drum", "batches go by weight alone; look that they fit")
	} else if _, ok := t.density.Get(); !ok {
		d.lacks("the bulk density of the blend", "job file, blend density", "batches go by weight alone; look that they fit the drum")
	}
}

func (d *draft) amountsTable(t *treated, known bool) rx.Table {
	one, n := t.portion, t.portion.Count
	table := rx.Table{
		Head: []string{"", "in", "1 " + d.bulkUnit(), "each batch", "in all"},
		Left: []bool{true, true, false, false, false},
	}
	if known {
		table.Head[4] = plural(n, "batch", "batches")
	}
	row := func(what, unit, per, each, all string) {
		if !known {
			each = blank
		}
		table.Rows = append(table.Rows, []string{what, unit, per, each, all})
	}
	mass := func(what string, per float64, m unit.Mass) {
		row(what, d.massUnit(), trim(per, 1), d.massN(m), d.massN(m*unit.Mass(n)))
	}
	perTon := d.bulkOne().In(d.s)
	for i, m := range t.what {
		mass(m.Name, float64(m.Share)*perTon, one.Materials[i])
	}
	if len(t.what) != 1 {
		mass("dry, all together", perTon, one.Dry)
	}
	agent := func(what string, per, each unit.Mass) {
		row(what, d.massUnit(), d.agentN(per), d.agentN(each), d.agentN(each*unit.Mass(n)))
	}
	first, further := d.agentPerTon(t)
	second := d.job.SecondLiquid
	agent("drying agent", first+further, one.AgentInAll())
	if second != nil {
		agent("  for stabilizer", first, one.Agent)
		agent("  for the other liquid", further, one.SecondAgent)
	}
	d.liquidRows(row, "stabilizer", t.layer.Loading, one.Liquid, n)
	if second != nil {
		d.liquidRows(row, second.Name, second.Loading, one.Second, n)
	}
	return table
}

func (d *draft) liquidRows(row func(what, unit, per, each, all string), what string, l unit.Loading, v unit.Volume, n int) {
	per, all := l.Of(d.bulkOne()), v*unit.Volume(n)
	row(what, d.dropUnit(), d.dropN(per), d.dropN(v), d.dropN(all))
	row("  the same", d.canUnit(), d.canN(per), d.canN(v), d.canN(all))
}

// agentPerTon returns the drying agent for one ton of dry, for the stabilizer and for
// the further liquid.
func (d *draft) agentPerTon(t *treated) (first, further unit.Mass) {
	per, _ := d.a.Terms.AgentPerLiquid()
	first = t.layer.Loading.Of(d.bulkOne()).Weight(per)
	if second := d.job.SecondLiquid; second != nil {
		further = second.Loading.Of(d.bulkOne()).Weight(equip.UsualDryingAgent)
	}
	return first, further
}

// agentNotes says how the drying agent was reckoned, and how plants round it.
func (d *draft) agentNotes(t *treated) []string {
	per, stated := d.a.Terms.AgentPerLiquid()
	text := "Drying agent: "
	switch {
	case stated:
		text += d.agentRate(per) + " of stabilizer, by the label profile."
	default:
		text += "diatomaceous earth or clay, " + d.agentRate(per) + " of stabilizer to start with (common practice for water-based liquids, no source)."
		d.lacks("how much drying agent", "label profile, drying-agent", d.agentRate(per)+" of liquid is taken, as is common practice without a source")
	}
	if second := d.job.SecondLiquid; second != nil {
		text += " " + d.agentRate(equip.UsualDryingAgent) + " of " + second.Name + " is in it too (common practice, no source)."
	}
	if _, known := t.batches.Get(); known {
		text += fmt.Sprintf(" Plants round a batch up to the next half %s: %s %s.", pick(d.show, "pound", "kilogram"), trim(halfUp(t.portion.AgentInAll().In(d.s)), 1), d.massUnit())
	}
	notes := []string{
		text + " More of it for fines, irregular granules, moist product, humid air and low rates; the batch must leave the blender dry to the hand.",
		fmt.Sprintf("Dose by the %s; the %s are rounded.", pick(d.show, "fluid ounces", "milliliters"), pick(d.show, "gallons", "liters")),
	}
	return append(notes, d.limeNotes(t)...)
}

func (d *draft) agentRate(per unit.Density) string {
	return pick(d.show, trim(float64(per/unit.PoundPerPint), 3)+" lb a pint", trim(per.In(unit.Metric), 3)+" kg a liter")
}
