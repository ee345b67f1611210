package sheet

import (
	"fmt"
	"slices"

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
	for _, l := range d.dryLayers() {
		holds, trim := "untreated", "0 %"
		if l.Treated {
			holds, trim = "TREATED", blank
			if added, ok := d.trim(l); ok {
				trim = "+" + percent(added)
			}
		}
		table.Rows = append(table.Rows, []string{l.Name, holds, fmt.Sprint(l.Zones), d.areaN(l.Area), between(d.dryN(l.Dry.Min), d.dryN(l.Dry.Max)), d.bulkN(l.Mass), trim})
	}
	s := rx.Section{Title: "What to load", Tables: []rx.Table{table}}
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

// trim returns what raises the rates of a treated layer.
func (d *draft) trim(l *rx.Layer) (unit.Ratio, bool) {
	i := slices.IndexFunc(d.treated, func(t treated) bool { return t.layer == l })
	if i < 0 {
		return 0, false
	}
	return d.treated[i].added.Get()
}

// massFlows gives what leaves the machine at its usual speed.
func (d *draft) massFlows(s equip.Spreader) {
	table := rx.Table{
		Head: []string{"layer", "", "rate " + d.dryUnit(), "set to", unit.MassFlowSymbol(d.s), unit.BulkFlowSymbol(d.s), ""},
		Left: []bool{true, true, false, false, false, false, true},
	}
	missed := false
	for _, l := range d.dryLayers() {
		density, known := d.layerDensity(l)
		added, _ := d.trim(l)
		for i, r := range threeRates(l.Dry, l.Mass, l.Area) {
			row := []string{"", r.name, d.dryN(r.rate), "", "", blank, ""}
			if i == 0 {
				row[0] = l.Name
			}
			set := equip.RaisedSetting(r.rate, added)
			flow := s.MassFlow(set, s.Speed.Usual)
			row[3], row[4] = d.dryN(set), num(flow.In(d.s), 1)
			if known {
				row[5] = num(equip.BulkFlow(flow, density).In(d.s), pick(d.show, 2, 3))
			}
			if got := s.Delivered(set); got != set {
				row[6], missed = "gives "+d.dryN(got), true
			}
			table.Rows = append(table.Rows, row)
		}
	}
	section := rx.Section{
		Title:  "Flow at the usual speed",
		Facts:  []rx.Fact{{What: "Spreader", Value: d.length(s.Swath) + " swath", Note: "at " + d.speed(s.Speed.Usual) + ", " + between(d.speed(s.Speed.Low), d.speed(s.Speed.High))}},
		Tables: []rx.Table{table},
		Notes:  []string{d.densityNote()},
	}
	if limits, ok := s.Rates.Get(); ok {
		section.Facts = append(section.Facts, rx.Fact{What: "It can spread", Value: between(d.dry(limits.Min), d.dry(limits.Max)), Note: "at the usual speed"})
	} else {
		d.lacks("the lowest and highest rate of the spreader", "job file, spreader.rates", "look that the rates of the table are within its reach")
	}
	if missed {
		section.Cautions = []string{"The spreader can't give some of these rates at the usual speed; the last column says what it gives instead. Change the speed, or have the plan made again."}
	}
	d.add(section)
}

// layerDensity returns the bulk density of what a layer spreads: for a treated one
// the usual figure after impregnation.
func (d *draft) layerDensity(l *rx.Layer) (unit.Density, bool) {
	for i := range d.treated {
		if d.treated[i].layer == l {
			f, ok := d.falls(&d.treated[i])
			return f.usual, ok
		}
	}
	if !d.p.Blend() {
		return 0, false // side by side: each product has its own
	}
	return d.job.Blend.BulkDensity()
}

func (d *draft) densityNote() string {
	if _, ok := d.job.Blend.BulkDensity(); !ok {
		d.lacks("the bulk density of the dry", "job file, blend density", "weigh a full measure; "+unit.BulkFlowSymbol(d.s)+" = "+unit.MassFlowSymbol(d.s)+" / density")
		return "Flow by room = flow by weight / bulk density."
	}
	if len(d.treated) > 0 {
		return "Room by the bulk density of the job file; of treated product by what is usual after impregnation. Weigh it: the blender sheet says how."
	}
	return "Room by the bulk density of the job file. Weigh a full measure and correct it."
}

func (d *draft) noSpreader() {
	d.lacks("the spreader", "job file, spreader", "flows, rate change and truck loads are not worked out; the formulas stand below")
	d.add(rx.Section{Title: "Flow, by hand", Notes: []string{
		pick(d.show, "lb/min = lb/ac x mph x swath in ft / 495", "kg/min = kg/ha x km/h x swath in m / 600"),
		pick(d.show, "ft3/min = lb/min / lb/ft3", "m3/min = kg/min / kg/m3"),
	}, Blanks: []string{"Swath: " + blank + "; Speed: " + blank + "; Rate: " + blank + "; Flow: " + blank}})
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
