package sheet

import (
	"slices"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// stream is what one meter of the spreader turns out: a layer of one blend, or one
// product of a layer where products are spread side by side.
type stream struct {
	layer   *rx.Layer
	name    string
	zones   int
	rates   rx.Range[unit.DryRate] // above 0
	mass    unit.Mass              // of untreated dry
	area    unit.Area
	treated bool
	added   label.Known[unit.Ratio]   // of a treated stream; none for an untreated one
	density label.Known[unit.Density] // bulk; of a treated stream what is usual
}

// trim returns by how much the rates are raised, and whether that is known.
func (s stream) trim() (unit.Ratio, bool) {
	if !s.treated {
		return 0, true
	}
	return s.added.Get()
}

// mean returns the area-weighted mean rate.
func (s stream) mean() unit.DryRate { return unit.DryRate(float64(s.mass) / float64(s.area)) }

// streams lists what the spreader turns out, in the order of the layers; a layer that
// spreads nothing has none.
func (c *crew) streams() []stream {
	var list []stream
	for i := range c.plan.Layers {
		l := &c.plan.Layers[i]
		if l.Product != rx.Dry {
			continue
		}
		if !l.SideBySide() {
			list = append(list, c.finish(stream{layer: l, name: l.Name, zones: l.Zones, rates: l.Dry, mass: l.Mass, area: l.Area}, -1))
			continue
		}
		for _, column := range l.Columns {
			own := column.Spread
			name := l.Name + " " + c.p.Fields[column.Field].Name
			list = append(list, c.finish(stream{layer: l, name: name, zones: own.Zones, rates: own.Dry, mass: own.Mass, area: own.Area}, column.Field))
		}
	}
	return slices.DeleteFunc(list, func(s stream) bool { return s.area == 0 })
}

// finish adds what is known of a stream's product, that of a field or, for -1, of the
// blend.
func (c *crew) finish(s stream, field int) stream {
	if d, ok := c.a.Terms.MaterialsOf(c.p, field).BulkDensity(); ok {
		s.density = label.Know(d)
	}
	if i := slices.IndexFunc(c.treated, func(t treated) bool { return t.layer == s.layer && t.field == field }); i >= 0 {
		s.treated, s.added = true, c.treated[i].added
		if d, ok := s.density.Get(); ok {
			usual, _ := equip.TreatedDensity(d)
			s.density = label.Know(usual.Middle())
		}
	}
	return s
}
