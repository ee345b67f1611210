package sheet

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// slip is something that nobody did, and by which factor everything then falls short.
type slip struct {
	text   string
	factor float64
}

// slips lists what is usually forgotten.
func (c *crew) slips(t *treated) []slip {
	list := []slip{{"as planned", 1}}
	added, weighed := t.added.Get()
	if weighed {
		list = append(list, slip{"setting not raised for weight", float64(equip.Unraised(1, added))})
	}
	f, known := c.falls(t)
	if !known {
		return list
	}
	usual := float64(equip.MeterDelivers(1, f.dry, f.usual))
	humid := float64(equip.MeterDelivers(1, f.dry, f.humid))
	list = append(list, slip{"meter not recalibrated", usual}, slip{"  the same, humid weather", humid})
	if weighed {
		short := float64(equip.Unraised(1, added))
		list = append(list, slip{"neither done", usual * short}, slip{"  the same, humid weather", humid * short})
	}
	return list
}

// careless shows what the verdicts become if nobody raises the setting or
// recalibrates the meter, zone by zone.
func (d *draft) careless(t *treated) {
	slips := d.slips(t)
	if len(slips) == 1 {
		return // what is missing is said where it is needed
	}
	table := rx.Table{
		Head: []string{"", "delivers", d.rateUnit(), "below", "within", "above"},
		Left: []bool{true, false, false, false, false, false},
	}
	for i, n := range d.land(t, slips) {
		slip := slips[i]
		table.Rows = append(table.Rows, []string{
			slip.text, num(100*slip.factor, 1) + " %", between(d.rateN(n.low), d.rateN(n.high)), d.areaN(n.below), d.areaN(n.within), d.areaN(n.above),
		})
	}
	d.add(rx.Section{
		Title:  "What the verdicts become if nobody does",
		Tables: []rx.Table{table},
		Notes:  []string{"In " + d.areaUnit() + " of this layer by the label range, " + between(d.rate(d.a.Range.Min), d.rate(d.a.Range.Max)) + ". The nutrients fall short by the same share."},
	})
}

// landed is what a layer puts on the ground, by verdict.
type landed struct {
	low, high            unit.LiquidRate
	below, within, above unit.Area
}

// land grades the zones of a layer once for each slip.
func (c *crew) land(t *treated, slips []slip) []landed {
	all := make([]landed, len(slips))
	c.eachZone(t, func(z rx.Zone, r unit.DryRate) {
		planned := unit.StabilizerRate(t.layer.Loading, r)
		for i, slip := range slips {
			all[i].add(c.a.Range, planned*unit.LiquidRate(slip.factor), z.Area)
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
