package sheet

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// massFlows gives what leaves the machine at its usual speed.
func (d *draft) massFlows(s equip.Spreader) {
	table := rx.Table{
		Head: []string{"layer", "", "rate " + d.dryUnit(), "set to", unit.MassFlowSymbol(d.s), unit.BulkFlowSymbol(d.s), ""},
		Left: []bool{true, true, false, false, false, false, true},
	}
	missed := false
	for _, m := range d.streams() {
		density, known := m.density.Get()
		added, _ := m.trim()
		for i, r := range threeRates(m.rates, m.mass, m.area) {
			row := []string{"", r.name, d.dryN(r.rate), "", "", blank, ""}
			if i == 0 {
				row[0] = m.name
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
	speeds := "at " + d.speed(s.Speed.Usual)
	if s.Speed.Low < s.Speed.High {
		speeds += ", " + between(d.speed(s.Speed.Low), d.speed(s.Speed.High))
	}
	section := rx.Section{
		Title:  "Flow at the usual speed",
		Facts:  []rx.Fact{{What: "Spreader", Value: d.length(s.Swath) + " swath", Note: speeds}},
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
