package sheet

import (
	"fmt"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

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
		if m := c.a.Terms.MaterialsOf(c.p, f); len(m) > 0 {
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
		all += l.Mass - t.mass + t.portion.Total().Dry
	}
	return all
}

// fieldMass adds up one field's product over the dry layers, of products side by side.
func (c *crew) fieldMass(f int) unit.Mass {
	var mass unit.Mass
	for _, l := range c.dryLayers() {
		for _, column := range l.Columns {
			if column.Field == f {
				mass += column.Spread.Mass
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
		all := c.treated[i].portion.Total()
		liquid, second, agent = liquid+all.Liquid, second+all.Second, agent+all.AgentInAll()
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
	_, metered, err := c.a.Terms.Fills(*c.job.Boom, l.Area, l.Rate)
	if err != nil {
		return l.Volume
	}
	return metered.Total().Product
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
