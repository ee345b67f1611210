package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// spreader returns the sheet of the dry layers, for the spreader.
func (c *crew) spreader() rx.Sheet {
	d := c.begin(rx.SpreaderSheet, "Spreader sheet", "")
	d.loaded()
	if s := c.job.Spreader; s != nil {
		d.massFlows(*s)
		d.change(*s)
		d.fallback(*s)
	} else {
		d.noSpreader()
	}
	d.staticCatch()
	d.recalibrate()
	d.pattern()
	d.add(sign("Spreader operator"))
	return d.end()
}

// dryLayers returns the layers that the spreader loads.
func (c *crew) dryLayers() []*rx.Layer {
	var list []*rx.Layer
	for i := range c.plan.Layers {
		if c.plan.Layers[i].Product == rx.Dry {
			list = append(list, &c.plan.Layers[i])
		}
	}
	return list
}

// loaded lists the layers and what belongs to each.
func (d *draft) loaded() {
	table := rx.Table{
		Head: []string{"layer", "holds", "zones", d.areaUnit(), d.dryUnit(), d.bulkUnit(), "trim"},
		Left: []bool{true, true, false, false, false, false, false},
	}
	for _, m := range d.streams() {
		holds, trim := "untreated", "0 %"
		if m.treated {
			holds, trim = "TREATED", blank
			if added, ok := m.trim(); ok {
				trim = "+" + percent(added)
			}
		}
		table.Rows = append(table.Rows, []string{m.name, holds, fmt.Sprint(m.zones), d.areaN(m.area), between(d.dryN(m.rates.Min), d.dryN(m.rates.Max)), d.bulkN(m.mass), trim})
	}
	s := rx.Section{Title: "What to load", Tables: []rx.Table{table}}
	s.Facts = d.columnFacts()
	if d.beside() {
		s.Cautions = append(s.Cautions, fmt.Sprintf("Never load column RX_RATE: it holds what was prescribed (%s), for comparison, not what is to be spread.", d.p.Fields[0].Counts()))
	}
	s.Notes = []string{"Load each layer's file with its own product and nothing else. Where a layer says 0 it must spread nothing: look that the machine shuts off."}
	if len(d.treated) > 0 {
		s.Notes = append(s.Notes, "Rates and weights are of untreated dry. The trim raises the rate for the weight of liquid and drying agent (blender sheet).")
	}
	if d.plan.Way.Name == rx.Base && len(d.dryLayers()) == 2 {
		s.Notes = append(s.Notes, d.basePasses())
	}
	s.Cautions = append(s.Cautions, d.dryConflicts()...)
	d.add(s)
}

// columnFacts says which column of a dry layer's file holds its rates, and what
// they count there: the file keeps the unit of the prescription.
func (d *draft) columnFacts() []rx.Fact {
	var facts []rx.Fact
	short := d.p.ShortNames()
	for i, f := range d.p.Fields {
		fact := rx.Fact{What: "Column to load", Value: f.Name, Note: f.Symbol + " of product"}
		if short[i] != f.Name {
			fact.Value = short[i]
			fact.Note = "in the shapefile, whose names hold ten bytes; " + f.Name + " in the GeoJSON; " + fact.Note
		}
		if f.Symbol != d.dryUnit() {
			fact.Note += ": set the machine to that unit; this sheet counts " + d.dryUnit()
		}
		facts = append(facts, fact)
	}
	return facts
}

// beside reports whether a layer holds the prescribed rates beside those that are
// to be spread.
func (d *draft) beside() bool {
	for _, l := range d.dryLayers() {
		if l.RxRate {
			return true
		}
	}
	return false
}

// dryConflicts says what speaks against the blend, where no blender sheet does.
func (d *draft) dryConflicts() []string {
	if len(d.treated) > 0 || !d.p.Blend() {
		return nil
	}
	return d.conflicts(equip.Compatibility(d.job.Blend))
}

func (d *draft) basePasses() string {
	if s := d.job.Spreader; s != nil && s.TwoBins() {
		return "Two bins, one pass: treated base in one, untreated top-up in the other. Mark the bins."
	}
	return "Two passes: the treated base, then the untreated top-up. Empty and clean the bin between them."
}

// change says how far the machine drives while a rate changes.
func (d *draft) change(s equip.Spreader) {
	section := rx.Section{Title: "Where rates change"}
	time, known := s.RateChange.Get()
	if known {
		section.Facts = []rx.Fact{{What: "One rate to the next", Value: d.length(s.ChangeDistance()), Note: num(float64(time/unit.Second), 1) + " s at " + d.speed(s.Speed.Usual)}}
	} else {
		d.lacks("how long a rate change takes", "job file, spreader.rate-change", "3 to 5 s are usual")
		low, high := equip.RateChangeDistance(s.Speed.Usual, equip.ShortRateChange), equip.RateChangeDistance(s.Speed.Usual, equip.LongRateChange)
		section.Facts = []rx.Fact{{What: "One rate to the next", Value: between(d.length(low), d.length(high)), Note: "3 to 5 s at " + d.speed(s.Speed.Usual)}}
		section.Notes = []string{"Transitions take 3 to 5 s. [UGA Cooperative Extension, Variable-Rate Fertilizer Application Considerations, 2024]"}
	}
	section.Notes = append(section.Notes, "Zones shorter than that, or narrower than a swath, can't be spread as drawn. Set the controller's look-ahead to the machine's own delay.")
	d.add(section)
}

// fallback says what the controller spreads where it has no rate.
func (d *draft) fallback(s equip.Spreader) {
	section := rx.Section{Title: "What the controller does on its own"}
	show := func(what, key string, rate unit.DryRate, known bool) {
		if !known {
			d.lacks("the rate that the controller spreads "+what, "job file, "+key, "look it up in the controller before the first pass")
			section.Facts = append(section.Facts, rx.Fact{What: "Rate " + what, Value: blank})
			return
		}
		section.Facts = append(section.Facts, rx.Fact{What: "Rate " + what, Value: d.dry(rate)})
		if rate > 0 {
			section.Cautions = append(section.Cautions, fmt.Sprintf("The controller spreads %s %s: set it to 0, so that nothing goes where the plan has nothing.", d.dry(rate), what))
		}
	}
	rate, known := s.DefaultRate.Get()
	show("outside every zone", "spreader.default-rate", rate, known)
	rate, known = s.LostRate.Get()
	show("if position is lost", "spreader.lost-rate", rate, known)
	d.add(section)
}
