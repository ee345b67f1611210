package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// falls are the bulk densities that are reckoned with after impregnation.
type falls struct {
	dry, usual, humid unit.Density
	text              string // the usual ones
}

func (c *crew) falls(t *treated) (falls, bool) {
	dry, ok := t.density.Get()
	if !ok {
		return falls{}, false
	}
	usual, humid := equip.TreatedDensity(dry)
	return falls{dry, usual.Middle(), humid, between(c.bulkDensity(usual.Min), c.bulkDensity(usual.Max))}, true
}

// density says how impregnation lowers the bulk density, and the setting of a meter
// that goes by volume.
func (d *draft) density(t *treated) {
	s := rx.Section{Title: "The meter: treated product is lighter for its room"}
	s.Cautions = []string{"Recalibrate the spreader with the treated product. Weigh a full measure of it; the figures below are only what to expect."}
	s.Blanks = []string{fmt.Sprintf("Treated product weighed: %s %s in %s %s = %s %s", blank, d.massUnit(), blank, pick(d.show, "ft3", "m3"), blank, d.bulkDensityUnit())}
	f, known := d.falls(t)
	if !known {
		d.lacks("the bulk density of the dry", "job file, blend density", "no meter setting is worked out")
		s.Notes = []string{"New setting of a meter that goes by volume = setting x density before / density after. Usually the density falls by " + d.fallText() + " (common practice, no source)."}
		d.add(s)
		return
	}
	s.Facts = []rx.Fact{
		{What: "Before", Value: d.bulkDensity(f.dry), Note: "of the blend, from the job file"},
		{What: "After, usually", Value: f.text, Note: "reckoned with " + d.bulkDensity(f.usual)},
		{What: "After, humid weather", Value: "down to " + d.bulkDensity(f.humid)},
	}
	s.Tables = []rx.Table{d.meterTable(t, f)}
	s.Notes = []string{
		"Falls of " + d.fallText() + " are common practice, no source.",
		"Best: enter the weighed density in the controller and leave the rates as the section above has them. Only where the density can't be changed, set the meter to the figures of this table. Never do both.",
	}
	d.add(s)
}

func (d *draft) fallText() string {
	return pick(d.show, "4 to 5 lb/ft3, up to 8 in humid weather", "64 to 80 kg/m3, up to 128 in humid weather")
}

// meterTable gives, for a meter that stays set for the untreated density, what it
// delivers of a set rate, and what to set so that the raised rate comes out.
func (d *draft) meterTable(t *treated, f falls) rx.Table {
	table := rx.Table{
		Title: "Meter still set for " + d.bulkDensity(f.dry) + ", in " + d.dryUnit() + " of treated product",
		Head:  []string{"set", "delivers", "humid", "wanted", "set to", "humid"},
		Left:  make([]bool, 6),
	}
	added := t.added.Or(0)
	for _, r := range t.threeRates() {
		raised := equip.RaisedSetting(r.rate, added)
		table.Rows = append(table.Rows, []string{
			d.dryN(r.rate), d.dry2N(equip.MeterDelivers(r.rate, f.dry, f.usual)), d.dry2N(equip.MeterDelivers(r.rate, f.dry, f.humid)),
			d.dryN(raised), d.dryN(equip.MeterSetting(raised, f.dry, f.usual)), d.dryN(equip.MeterSetting(raised, f.dry, f.humid)),
		})
	}
	return table
}
