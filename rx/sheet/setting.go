package sheet

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// namedRate is a dry rate that stands for others.
type namedRate struct {
	name string
	rate unit.DryRate
}

// threeRates returns the lowest, mean and highest rate; one where they are equal.
func threeRates(r rx.Range[unit.DryRate], mass unit.Mass, area unit.Area) []namedRate {
	if r.Max-r.Min <= 1e-9*r.Max {
		return []namedRate{{"every zone", r.Max}}
	}
	return []namedRate{{"lowest", r.Min}, {"mean", unit.DryRate(float64(mass) / float64(area))}, {"highest", r.Max}}
}

// setting gives the spreader setting that delivers the prescription with treated
// product, which weighs more for the same dry: R·(1+m/2000); and what reaches the
// ground if nobody raises it.
func (d *document) setting(t *treated) {
	added, known := t.added.Get()
	table := rx.Table{
		Head: []string{"", "dry " + d.dryUnit(), "set to", d.rateUnit(), "if not raised"},
		Left: []bool{true, false, false, false, false},
	}
	for _, r := range threeRates(t.rates, t.mass, t.area) {
		rate := unit.StabilizerRate(t.first().loading, r.rate)
		table.Rows = append(table.Rows, []string{r.name, d.dryN(r.rate), d.dryN(equip.RaisedSetting(r.rate, added)), d.rateN(rate), d.rateN(equip.Unraised(rate, added))})
	}
	d.write("The spreader's setting: treated product weighs more", values{
		"added weight known": known,
		"added to a ton":     num((d.bulkOne() * unit.Mass(added)).In(d.s), 1), "added share": percent(added),
	}, only(known, table)...)
}

// densities are the bulk densities that are reckoned with before and after impregnation.
type densities struct{ before, usual, humid unit.Density }

// meter says how impregnation lowers the bulk density, and the setting of a meter
// that goes by volume.
func (d *document) meter(t *treated) {
	before, known := t.density.Get()
	usual, humid := equip.TreatedDensity(before)
	d.write("The meter: treated product is lighter for its room", values{
		"density known": known, "density before": d.bulkDensity(before), "humid density": d.bulkDensity(humid),
		"usual densities": between(d.bulkDensity(usual.Min), d.bulkDensity(usual.Max)), "usual density": d.bulkDensity(usual.Middle()),
	}, only(known, d.meterTable(t, densities{before, usual.Middle(), humid}))...)
}

// meterTable gives, for a meter that stays set for the untreated density, what it
// delivers of a set rate, and what to set so that the raised rate comes out.
func (d *document) meterTable(t *treated, f densities) rx.Table {
	table := rx.Table{
		Title: "Meter still set for " + d.bulkDensity(f.before) + ", in " + d.dryUnit() + " of treated product",
		Head:  []string{"set", "delivers", "humid", "wanted", "set to", "humid"},
		Left:  make([]bool, 6),
	}
	added := t.added.Or(0)
	for _, r := range threeRates(t.rates, t.mass, t.area) {
		raised := equip.RaisedSetting(r.rate, added)
		table.Rows = append(table.Rows, []string{
			d.dryN(r.rate), d.dry2N(equip.MeterDelivers(r.rate, f.before, f.usual)), d.dry2N(equip.MeterDelivers(r.rate, f.before, f.humid)),
			d.dryN(raised), d.dryN(equip.MeterSetting(raised, f.before, f.usual)), d.dryN(equip.MeterSetting(raised, f.before, f.humid)),
		})
	}
	return table
}

// omission is something that nobody did, and by which factor everything then falls short.
type omission struct {
	text   string
	factor float64
}

// omissions lists what is usually forgotten, after what is planned.
func (t *treated) omissions() []omission {
	list := []omission{{"as planned", 1}}
	added, weighed := t.added.Get()
	short := float64(equip.Unraised(1, added))
	if weighed {
		list = append(list, omission{"setting not raised for weight", short})
	}
	before, known := t.density.Get()
	if !known {
		return list
	}
	density, least := equip.TreatedDensity(before)
	usual, humid := float64(equip.MeterDelivers(1, before, density.Middle())), float64(equip.MeterDelivers(1, before, least))
	list = append(list, omission{"meter not recalibrated", usual}, omission{"  the same, humid weather", humid})
	if weighed {
		list = append(list, omission{"neither done", usual * short}, omission{"  the same, humid weather", humid * short})
	}
	return list
}

// ifNobodyDoes shows what the verdicts of each liquid become if nobody raises the setting
// or recalibrates the meter, zone by zone.
func (d *document) ifNobodyDoes(t *treated) {
	omissions := t.omissions()
	if len(omissions) == 1 {
		return // what is missing is said where it is needed
	}
	var tables []rx.Table
	var graded []values
	for _, c := range t.liquids {
		label, ok := c.Range()
		if !ok {
			continue
		}
		of := ""
		if c.Further() != "" {
			of = " of " + c.Name
		}
		graded = append(graded, values{"of liquid": of, "liquid's range": between(d.rate(label.Min), d.rate(label.Max))})
		table := d.omitted(t, c, omissions)
		if len(t.liquids) > 1 {
			table.Title = c.Name
		}
		tables = append(tables, table)
	}
	if len(tables) > 0 {
		d.write("What the verdicts become if nobody does", values{"graded liquid": graded}, tables...)
	}
}

// omitted is the table of one liquid.
func (d *document) omitted(t *treated, c carried, omissions []omission) rx.Table {
	table := rx.Table{
		Head: []string{"", "delivers", d.rateUnit(), "below", "within", "above"},
		Left: []bool{true, false, false, false, false, false},
	}
	for i, n := range d.land(t, c, omissions) {
		o := omissions[i]
		table.Rows = append(table.Rows, []string{
			o.text, num(100*o.factor, 1) + " %", between(d.rateN(n.low), d.rateN(n.high)), d.areaN(n.below), d.areaN(n.within), d.areaN(n.above),
		})
	}
	return table
}

// landed is what a layer puts on the ground, by verdict.
type landed struct {
	low, high            unit.LiquidRate
	below, within, above unit.Area
}

// land grades a liquid in the zones of a layer once for each omission.
func (in *inputs) land(t *treated, c carried, omissions []omission) []landed {
	all := make([]landed, len(omissions))
	label, _ := c.Range()
	in.eachZone(t, func(z rx.Zone, r unit.DryRate) {
		planned := unit.StabilizerRate(c.loading, r)
		for i, o := range omissions {
			all[i].add(label, planned*unit.LiquidRate(o.factor), z.Area)
		}
	})
	return all
}

func (n *landed) add(label rx.Range[unit.LiquidRate], rate unit.LiquidRate, area unit.Area) {
	if n.high == 0 || rate < n.low {
		n.low = rate
	}
	n.high = max(n.high, rate)
	switch {
	case label.Under(rate):
		n.below += area
	case label.Over(rate):
		n.above += area
	default:
		n.within += area
	}
}
