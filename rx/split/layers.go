package split

import (
	"cmp"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// sourceLayer is the dry layer with the prescription's own rates, untreated. The
// source's cells stand as they are, except where they count nutrient.
func (t *Task) sourceLayer(name string) rx.Layer {
	nutrient := false
	for _, f := range t.p.Fields {
		nutrient = nutrient || f.Nutrient
	}
	if !nutrient {
		l := rx.Layer{Name: name, Product: rx.Dry}
		for i := range t.p.Fields {
			l.Columns = append(l.Columns, rx.RateColumn{Field: i})
		}
		t.total(&l, func(z int) unit.DryRate { return t.p.Zones[z].Dry })
		return l
	}
	return t.dryLayer(name, func(z, f int) unit.DryRate { return t.p.FieldRate(z, f) })
}

// dryLayer is a dry layer with rates of its own. rate gives the product rate of
// field f in zone z, 0 where another layer serves the zone; it is not asked for
// zones without a rate.
func (t *Task) dryLayer(name string, rate func(z, f int) unit.DryRate) rx.Layer {
	l := rx.Layer{Name: name, Product: rx.Dry, RxRate: true}
	sum := make([]unit.DryRate, len(t.p.Zones))
	for f := range t.p.Fields {
		rates := make([]unit.DryRate, len(t.p.Zones))
		for z, zone := range t.p.Zones {
			if zone.HasRate() {
				rates[z] = rate(z, f)
			} else {
				rates[z] = unit.DryRate(math.NaN())
			}
			sum[z] += rates[z]
		}
		l.Columns = append(l.Columns, rx.RateColumn{Field: f, Rates: rates})
	}
	t.total(&l, func(z int) unit.DryRate { return sum[z] })
	return l
}

// onZones gives what is prescribed to the zones for which keep is true, and 0 to others.
func (t *Task) onZones(keep func(rx.Zone) bool) func(z, f int) unit.DryRate {
	return func(z, f int) unit.DryRate {
		if !keep(t.p.Zones[z]) {
			return 0
		}
		return t.p.FieldRate(z, f)
	}
}

// carried is a layer that carries a load.
func (t *Task) carried(name string, rate func(z, f int) unit.DryRate, load rx.Load) part {
	return part{name: name, rate: rate, load: &load, carrier: load.Mass, field: t.p.CarrierField()}
}

// total sets what the layer amounts to; rate is that of all its fields together.
func (t *Task) total(l *rx.Layer, rate func(z int) unit.DryRate) {
	all := t.spread(rate)
	l.Zones, l.Area, l.Mass, l.Dry = all.Zones, all.Area, all.Mass, all.Dry
	if t.p.Blend() {
		return
	}
	for i := range l.Columns {
		c := &l.Columns[i]
		own := t.spread(func(z int) unit.DryRate { return c.Rate(t.p, z) })
		c.Spread = &own
	}
}

// spread adds up what rates amount to, leaving out those that are not above 0.
func (t *Task) spread(rate func(z int) unit.DryRate) (s rx.Spread) {
	var area, mass float64
	var blockArea, blockMass float64
	for i, z := range t.p.Zones {
		if r := rate(i); r > 0 {
			s.Dry.Widen(r, s.Zones == 0)
			s.Zones++
			blockArea += float64(z.Area)
			blockMass += float64(unit.MassOver(r, z.Area))
		}
		if i%4096 == 4095 {
			area, mass, blockArea, blockMass = area+blockArea, mass+blockMass, 0, 0
		}
	}
	s.Area, s.Mass = unit.Area(area+blockArea), unit.Mass(mass+blockMass)
	return s
}

// treated marks a layer as impregnated, if it is: the blend, or of products side by side
// that of one field.
func (t *Task) treated(l rx.Layer, p part) rx.Layer {
	if p.load == nil {
		return l
	}
	mass := cmp.Or(p.carrier, l.Mass)
	l.Treated, l.Loading = true, p.load.Loading
	l.Volume = unit.Uptake(l.Loading, mass)
	further := t.terms.FurtherOn(equip.OnBlend)
	for i, a := range p.load.Further {
		l.Further = append(l.Further, rx.LayerLiquid{Name: further[i].Name, Loading: a, Volume: unit.Uptake(a, mass)})
	}
	for _, c := range l.Columns {
		if c.Spread != nil && c.Field == p.field {
			c.Spread.Treated = true
		}
	}
	return l
}

// carrierRate returns the product rate of field f in zone z that goes with a
// carrier rate of r there: all fields of a blend in proportion, or the carrier
// alone.
func (t *Task) carrierRate(z, f int, r unit.DryRate) unit.DryRate {
	own := t.p.FieldRate(z, f)
	switch {
	case len(t.p.Fields) == 1:
		return r
	case t.p.Blend():
		return own * (r / t.p.Zones[z].Dry)
	case t.p.Fields[f].Carrier:
		return r
	}
	return own
}
