package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// staticCatch gives what the standing machine should throw out, and the correction
// of the controller's factor.
func (d *draft) staticCatch() {
	s := rx.Section{Title: "Static catch"}
	if m := d.job.Spreader; m != nil {
		const turns = 30 * unit.Second
		table := rx.Table{Head: []string{"layer", "set to " + d.dryUnit(), "in 30 s, " + d.massUnit()}, Left: []bool{true, false, false}}
		for _, out := range d.streams() {
			added, _ := out.trim()
			rate := equip.RaisedSetting(out.mean(), added)
			flow := m.MassFlow(rate, m.Speed.Usual)
			table.Rows = append(table.Rows, []string{out.name, d.dryN(rate), num(unit.Mass(float64(flow)*float64(turns)).In(d.s), 1)})
		}
		s.Tables = []rx.Table{table}
		s.Facts = []rx.Fact{{What: "Simulated speed", Value: d.speed(m.Speed.Usual), Note: "swath " + d.length(m.Swath)}}
	}
	s.Steps = []string{
		"Fill with the product of the layer; for a treated layer with treated product. Spinners or air off, machine standing, a cart under the meter.",
		"Let the controller run at a simulated speed and the mean rate, for 30 s or longer.",
		"Weigh what came out. Caught rate = " + pick(d.show, "lb x 43,560 / (ft driven x ft of swath)", "kg x 10,000 / (m driven x m of swath)") + ".",
		"New factor = old factor x scale / counter. Do it again until both agree within 2 % (common practice, no source).",
	}
	s.Blanks = []string{
		"Caught: " + blank + " " + d.massUnit() + " over " + blank + " x " + blank + " " + unit.LengthSymbol(d.s) + " = " + blank + " " + d.dryUnit(),
		"Old factor: " + blank + " x scale " + blank + " / counter " + blank + " = new factor " + blank,
	}
	d.add(s)
}

// recalibrate gives the correction for the density that was weighed.
func (d *draft) recalibrate() {
	s := rx.Section{Title: "Density, as weighed"}
	s.Notes = []string{"A meter that goes by volume delivers set x real density / entered density. Enter the density that was weighed today, of the product in the bin; treated product is lighter."}
	if dry, ok := d.job.Blend.BulkDensity(); ok && d.p.Blend() {
		s.Facts = []rx.Fact{{What: "Dry, by the job file", Value: d.bulkDensity(dry)}}
		if len(d.treated) > 0 {
			usual, humid := equip.TreatedDensity(dry)
			s.Facts = append(s.Facts, rx.Fact{What: "Treated, to expect", Value: between(d.bulkDensity(usual.Min), d.bulkDensity(usual.Max)), Note: "humid down to " + d.bulkDensity(humid)})
		}
	}
	s.Blanks = []string{fmt.Sprintf("Weighed: %s %s; Entered in the controller: %s %s", blank, d.bulkDensityUnit(), blank, d.bulkDensityUnit())}
	d.add(s)
}
