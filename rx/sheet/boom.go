package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// boom returns the sheet of the liquid layer, for the sprayer.
func (c *crew) boom(l *rx.Layer) rx.Sheet {
	d := c.begin(rx.BoomSheet, "Boom sheet", l.Name)
	d.liquid(l)
	if b := c.job.Boom; b != nil {
		mix, known := d.mixDensity(*b, l)
		fits := b.Fits(mix)
		d.nozzles(*b, fits, mix, known)
		if !fits[0].Holds {
			d.noNozzle(*b, l, fits, mix)
		}
		d.flows(*b)
		d.fills(*b, l)
		d.catch(b.Spacing, b)
	} else {
		d.noBoom(l)
		d.catch(0, nil)
	}
	d.wind()
	d.filling()
	d.cleaning()
	d.add(sign("Boom operator"))
	return d.end()
}

// liquid says what goes on the ground.
func (d *draft) liquid(l *rx.Layer) {
	s := rx.Section{Title: "What goes on", Facts: []rx.Fact{
		{What: "Stabilizer", Value: d.label.Name, Note: d.rate(l.Rate) + ", the same everywhere"},
		{What: "Label range", Value: between(d.rate(d.a.Range.Min), d.rate(d.a.Range.Max))},
		{What: "Ground to spray", Value: d.area(l.Area), Note: plural(l.Zones, "piece", "pieces")},
		{What: "Column to load", Value: "STAB_RATE", Note: "stabilizer, " + d.rateUnit() + "; or MIX_RATE, the whole mix, " + d.sprayUnit() + ": never one for the other"},
		{What: "Stabilizer, in all", Value: d.drop(d.sprayed(l)), Note: d.can(d.sprayed(l))},
	}}
	s.Facts = append(s.Facts, d.registrationFact()...)
	if b := d.job.Boom; b != nil {
		s.Facts = append(s.Facts, rx.Fact{What: "Spray volume", Value: d.spray(b.Volume), Note: "of the whole mix, stabilizer included"})
		s.Cautions = append(s.Cautions, d.volumeCaution(b.Volume)...)
	}
	for _, f := range d.plan.Findings {
		if f.Rule == "keep-out" {
			s.Cautions = append(s.Cautions, sentence(f.Text)+" See that the boom shuts off there.")
		}
	}
	s.Notes = d.lawNotes()
	if v, ok := d.label.SprayVolumes(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Label's spray volume", Value: between(d.spray(v.Min), d.spray(v.Max))})
	} else {
		d.lacks("the label's spray volume", "label profile, spray-volume", "compare the boom's volume with the label")
	}
	d.add(s)
}

func (d *draft) volumeCaution(volume unit.LiquidRate) []string {
	v, ok := d.label.SprayVolumes()
	if !ok || rx.Range[unit.LiquidRate](v).Contains(volume) {
		return nil
	}
	return []string{fmt.Sprintf("The boom's volume, %s, is outside the spray volumes of the label, %s. Change it before you spray.", d.spray(volume), between(d.spray(v.Min), d.spray(v.Max)))}
}

// mixDensity returns the density of the mix; that of water where the stabilizer's is
// not known.
func (d *draft) mixDensity(b equip.Boom, l *rx.Layer) (unit.Density, bool) {
	_, ok := d.label.LiquidDensity()
	if !ok {
		d.lacks("the density of the stabilizer", "label profile, density", "pressures are worked out as for water; a heavier mix needs a little more")
	}
	return d.mixAt(l)(b.Volume), ok
}

// mixAt gives the density that the mix has at a spray volume.
func (c *crew) mixAt(l *rx.Layer) func(volume unit.LiquidRate) unit.Density {
	density, ok := c.label.LiquidDensity()
	return func(volume unit.LiquidRate) unit.Density {
		if !ok || volume < l.Rate {
			return equip.WaterDensity
		}
		return equip.MixDensity(volume, l.Rate, density)
	}
}

// flows gives what the whole boom puts out.
func (d *draft) flows(b equip.Boom) {
	table := rx.Table{
		Head: []string{"speed " + unit.SpeedSymbol(d.s), "one nozzle " + d.flowUnit(), "boom " + d.flowUnit()},
		Left: []bool{false, false, false},
	}
	for _, at := range apart(b.Speed) {
		v := speedsOf(b.Speed)[at]
		table.Rows = append(table.Rows, []string{d.speedN(v), d.flowN(b.NozzleFlow(v)), num(b.Flow(v).In(d.s), 2)})
	}
	d.add(rx.Section{
		Title:  "Flow of the mix",
		Facts:  []rx.Fact{{What: "Boom", Value: fmt.Sprintf("%d nozzles", b.NozzleCount()), Note: d.length(b.Width) + " wide, " + d.spacing(b.Spacing) + " apart"}},
		Tables: []rx.Table{table},
		Blanks: []string{"Pump and flow meter can give the boom's flow at the highest speed: [  ]"},
	})
}

// noBoom leaves room for what a boom's figures would decide.
func (d *draft) noBoom(l *rx.Layer) {
	d.lacks("the boom", "job file, boom", "nozzles, pressures, flow and tank fills are not worked out; the formulas stand below")
	flow := pick(d.show, "gal/min a nozzle = gal/ac x mph x inches apart / 5940 [UF/IFAS EDIS WG013; Univ. Missouri G1270]",
		"L/min a nozzle = L/ha x km/h x m apart / 600 [UF/IFAS EDIS WG013; Univ. Missouri G1270, in metric units]")
	d.add(rx.Section{Title: "Nozzles and tank, by hand", Notes: []string{
		flow,
		"Pressure = pressure in the table x (wanted flow / flow in the table) squared; on a mix of specific gravity SG, look up wanted flow x square root of SG.",
		"Area of a full tank = tank / spray volume. Stabilizer in it = that area x " + d.rate(l.Rate) + ". Round it toward the inside of the label range: down near its most, up near its least. Water = tank - stabilizer: the stabilizer is part of the volume.",
	}, Blanks: []string{
		"Tank: " + blank + " " + d.canUnit() + " / " + blank + " " + d.sprayUnit() + " = " + blank + " " + d.areaUnit(),
		"Full tanks: " + blank + "; Stabilizer in each: " + blank + " " + d.dropUnit() + "; Last tank: " + blank + " " + d.areaUnit(),
		"Nozzle: " + blank + "; Pressure at the usual speed: " + blank + " " + unit.PressureSymbol(d.s),
	}})
}

// wind keeps the spray on the field. What wind, droplets and buffers may be is for the
// label to say: no figure stands here but what is written in by hand.
func (d *draft) wind() {
	d.add(rx.Section{
		Title: "Wind, drift and the label's own limits",
		Cautions: []string{
			"The label's limits on wind, temperature, droplet size, boom height, buffers and rain come first. Write them in below, and do not spray outside them.",
			"Stop when the wind rises, gusts, or blows toward people, neighbors' crops, bees, wells or surface water; and do not spray in a temperature inversion (still air, smoke or dust that hangs).",
			"Where the label says nothing, local rules and the licensed applicator decide; silence of the label is no leave.",
		},
		Blanks: []string{
			"By the label, wind: " + blank + " to " + blank + "; Droplets: " + blank + "; Boom height: " + blank + "; Buffer: " + blank,
			"At the start, wind: " + blank + " from: " + blank + "; Air: " + blank + "; Time: " + blank,
			"At the end, wind: " + blank + " from: " + blank + "; Air: " + blank + "; Time: " + blank,
		},
	})
}

// filling gives the order of filling a tank; common practice, no source.
func (d *draft) filling() {
	d.add(rx.Section{Title: "Filling a tank", Steps: []string{
		"PPE on: " + d.ppe() + ".",
		"Tank, screens and nozzles clean; half of the water in, agitation on.",
		"Measure the stabilizer of this fill and pour it in; rinse the measure into the tank.",
		"The rest of the water, agitation still on. Spray within the day.",
		"Write the fill into the log. For the last fill take the figures of its own line: never a full tank for a part of the field.",
	}, Notes: []string{"The label's own mixing order comes first; this one is common practice, no source. Keep an air gap to the water supply."}})
}

func (d *draft) cleaning() {
	d.add(rx.Section{Title: "Rinsing", Notes: []string{
		"Rinse tank, boom and screens, and spray the rinse water on the labeled field inside the label's rates. " + sentence(d.cleanUp()),
		"Empty containers: rinse three times into the tank, or as the label says (common practice, no source).",
	}})
}
