package sheet

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// field returns the sheet of the whole plan, for whoever orders and answers for it.
func (c *crew) field() rx.Sheet {
	d := c.begin(rx.FieldSheet, "Field sheet", "")
	d.whole()
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
	low, high, treatedArea := d.onGround()
	s := rx.Section{Title: "The plan", Facts: []rx.Fact{
		{What: "Field as drawn", Value: d.area(d.p.Area()), Note: plural(len(d.p.Zones), "zone", "zones")},
		{What: "Gets stabilizer", Value: d.area(treatedArea), Note: between(d.rate(low), d.rate(high))},
		{What: "Label range", Value: between(d.rate(d.a.Range.Min), d.rate(d.a.Range.Max)), Note: d.label.Name},
		{What: "How", Value: w.Why},
		{What: "Passes", Value: fmt.Sprint(w.Passes)},
	}}
	if d.label.Registered != 0 || d.registration() != "" {
		s.Facts = append(s.Facts, rx.Fact{What: "EPA Reg. No.", Value: orBlank(d.registration())})
	}
	if len(w.LeftZones) > 0 {
		s.Facts = append(s.Facts, rx.Fact{What: "Left untreated", Value: d.area(w.LeftOff), Note: "zones " + zoneList(w.LeftZones)})
	}
	for _, f := range d.plan.Findings {
		if f.Severity > rx.Note {
			s.Cautions = append(s.Cautions, sentence(f.Text))
		}
	}
	s.Notes = d.lawNotes()
	if d.label.Registered == 0 {
		d.lacks("whether the product is a registered pesticide", "label profile, registered", "ask before anybody applies it")
	}
	d.add(s)
}

// zoneList names the first zones.
func zoneList(zones []int) string {
	const most = 12
	var words []string
	for _, z := range zones[:min(most, len(zones))] {
		words = append(words, fmt.Sprint(z))
	}
	text := strings.Join(words, ", ")
	if more := len(zones) - most; more > 0 {
		text += fmt.Sprintf(" and %d more (zones.csv)", more)
	}
	return text
}

// onGround returns the stabilizer rates of the plan and the ground that gets any.
func (c *crew) onGround() (low, high unit.LiquidRate, area unit.Area) {
	for i, s := range c.plan.Stabilizer {
		if s <= 0 {
			continue
		}
		if area == 0 || s < low {
			low = s
		}
		high = max(high, s)
		area += c.p.Zones[i].Area
	}
	for i := range c.plan.Layers {
		if l := &c.plan.Layers[i]; l.Product == rx.Liquid {
			area = l.Area
		}
	}
	return low, high, area
}

// ordered is a dry material and what the plan takes of it.
type ordered struct {
	name string
	mass unit.Mass
}

// materials adds up the dry of all layers by material.
func (c *crew) materials() []ordered {
	var list []ordered
	all := c.weighedDry()
	if c.p.Blend() {
		for i, m := range c.job.Blend.Split(all) {
			list = append(list, ordered{c.job.Blend[i].Name, m})
		}
		if len(list) != 1 {
			list = append(list, ordered{"dry, all together", all})
		}
		return list
	}
	for f, field := range c.p.Fields {
		name := "product of field " + field.Name
		if m := c.materialsOf(f); len(m) > 0 {
			name = m[0].Name
		}
		list = append(list, ordered{name, c.fieldMass(f)})
	}
	return append(list, ordered{"dry, all together", all})
}

// weighedDry adds up the dry of all layers, of treated ones as their batches are
// weighed.
func (c *crew) weighedDry() unit.Mass {
	var all unit.Mass
	for _, l := range c.dryLayers() {
		i := slices.IndexFunc(c.treated, func(t treated) bool { return t.layer == l })
		if i < 0 {
			all += l.Mass
			continue
		}
		t := &c.treated[i]
		all += l.Mass - t.mass + unit.Mass(t.portion.count)*t.portion.dry
	}
	return all
}

// fieldMass adds up one field's product over the dry layers.
func (c *crew) fieldMass(f int) unit.Mass {
	var mass unit.Mass
	for _, l := range c.dryLayers() {
		for k, column := range l.Columns {
			if column.Field != f {
				continue
			}
			for z, zone := range c.p.Zones {
				if zone.HasRate() {
					mass += c.columnRate(l, k, z).Over(zone.Area)
				}
			}
		}
	}
	return mass
}

// order lists what the plan takes in all; of treated layers, what their batches take.
func (d *draft) order() {
	table := rx.Table{Head: []string{"product", "in all", "", "that is", ""}, Left: []bool{true, false, true, false, true}}
	for _, m := range d.materials() {
		table.Rows = append(table.Rows, []string{m.name, d.bulkN(m.mass), d.bulkUnit(), d.massN(m.mass), d.massUnit()})
	}
	if len(d.job.Blend) == 0 {
		d.lacks("the materials of the blend", "job file, blend", "only the dry as a whole is totaled")
	}
	liquid, second, agent := d.liquids()
	table.Rows = append(table.Rows, []string{"stabilizer", d.canN(liquid), d.canUnit(), d.dropN(liquid), d.dropUnit()})
	if s := d.job.SecondLiquid; s != nil && len(d.treated) > 0 {
		table.Rows = append(table.Rows, []string{s.Name, d.canN(second), d.canUnit(), d.dropN(second), d.dropUnit()})
	}
	if len(d.treated) > 0 {
		table.Rows = append(table.Rows, []string{"drying agent", d.bulkN(agent), d.bulkUnit(), d.agentN(agent), d.massUnit()})
	}
	d.add(rx.Section{
		Title:  "To order",
		Tables: []rx.Table{table},
		Facts:  d.containerFacts(liquid),
		Notes:  []string{"Nothing is added for loss, lines and rests. Container sizes are examples; order what the supplier has."},
		Blanks: []string{"On hand, stabilizer: " + blank + " " + d.canUnit() + "; To order: " + blank},
	})
}

// liquids adds up stabilizer, further liquid and drying agent of the plan.
func (c *crew) liquids() (liquid, second unit.Volume, agent unit.Mass) {
	for i := range c.treated {
		one := c.treated[i].portion
		n := unit.Volume(one.count)
		liquid, second, agent = liquid+n*one.liquid, second+n*one.second, agent+unit.Mass(one.count)*one.agent
	}
	for i := range c.plan.Layers {
		if l := &c.plan.Layers[i]; l.Product == rx.Liquid {
			liquid += c.sprayed(l)
		}
	}
	return liquid, second, agent
}

// sprayed returns the stabilizer of the liquid layer: that of its tank fills, or what
// the layer holds where no boom is given.
func (c *crew) sprayed(l *rx.Layer) unit.Volume {
	if c.job.Boom == nil {
		return l.Volume
	}
	all, err := c.job.Boom.Fills(l.Area, l.Rate)
	if err != nil {
		return l.Volume
	}
	return unit.Volume(all.Count)*c.metered(all.Full).product + c.metered(all.Last).product
}

func containers(v, size unit.Volume) int {
	n := int(v / size)
	if v-size*unit.Volume(n) > 1e-9*size {
		n++
	}
	return n
}

// containerFacts counts what the stabilizer comes in: all small containers, or whole
// large ones and small ones for the rest.
func (d *draft) containerFacts(v unit.Volume) []rx.Fact {
	small, large := pick(d.show, 2.5*unit.Gallon, 10*unit.Liter), pick(d.show, 265*unit.Gallon, 1000*unit.Liter)
	smallText, largeText := pick(d.show, "2.5 gal", "10 L"), pick(d.show, "265 gal", "1000 L")
	facts := []rx.Fact{{What: "Stabilizer", Value: plural(containers(v, small), "container", "containers") + " of " + smallText}}
	whole := int(v/large + 1e-9)
	if whole == 0 {
		return facts
	}
	text := plural(whole, "container", "containers") + " of " + largeText
	if rest := containers(max(v-large*unit.Volume(whole), 0), small); rest > 0 {
		text += fmt.Sprintf(" and %d of %s", rest, smallText)
	}
	return append(facts, rx.Fact{What: "or", Value: text})
}

// season holds the sum of the season's passes against the label.
func (d *draft) season() {
	_, high, _ := d.onGround()
	sum := d.a.Terms.AlreadyApplied + high
	s := rx.Section{Title: "The season, the law, and going back in", Facts: []rx.Fact{
		{What: "Already applied", Value: d.rate(d.a.Terms.AlreadyApplied), Note: "as the job says; nothing said counts as none"},
		{What: "With this pass, at most", Value: d.rate(sum)},
	}}
	if most, ok := d.label.MostPerSeason(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Season maximum", Value: d.rate(most), Note: "by the label profile; left after this pass: " + d.rate(max(most-sum, 0))})
		if (rx.Range[unit.LiquidRate]{Max: most}).Over(sum) {
			s.Cautions = append(s.Cautions, "The season's sum passes the label's maximum. Do not apply.")
		}
	} else {
		d.lacks("the season maximum", "label profile, season-max", "add up all passes of the season by hand and compare them with the label")
		s.Facts = append(s.Facts, rx.Fact{What: "Season maximum", Value: blank})
	}
	s.Facts = append(s.Facts,
		rx.Fact{What: "Restricted-entry interval", Value: d.interval()},
		rx.Fact{What: "PPE", Value: d.ppe()},
	)
	s.Blanks = []string{"Applied, from: " + blank + " to: " + blank + "; Nobody goes in before: " + blank}
	d.add(s)
}

// moreCautions are those that the whole plan needs once.
func (d *draft) moreCautions() {
	s := rx.Section{Title: "What else to know", Cautions: []string{
		"A nitrification inhibitor does not protect urea on the surface from volatilization: that is another mechanism.",
		"A yield response is not guaranteed.",
	}}
	if i := slices.IndexFunc(d.p.Zones, func(z rx.Zone) bool { return !z.HasRate() }); i >= 0 {
		s.Cautions = append(s.Cautions, "Some zones have no rate: the machine may spread its default rate there. Give them a rate, or 0.")
	}
	if len(d.treated) > 0 {
		s.Cautions = append(s.Cautions, "Treated dry goes where the stabilizer may go, and nowhere else: mind setbacks, roads and ditches at the edge of the swath.")
	}
	d.add(s)
}
