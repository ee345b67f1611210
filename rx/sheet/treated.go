package sheet

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// treated is a layer that is impregnated, as its plant sees it.
type treated struct {
	layer   *rx.Layer
	field   int                         // of the product that is impregnated; -1 for a blend
	what    equip.Blend                 // the materials that are impregnated; none if they are not known
	mass    unit.Mass                   // of untreated product
	rates   rx.Range[unit.DryRate]      // of that product, above 0
	area    unit.Area                   // that gets it
	density label.Known[unit.Density]   // bulk, before the liquid
	added   label.Known[unit.Ratio]     // weight of liquids and drying agent over that of dry
	batches label.Known[*equip.Batches] // in the blender
	portion rx.Portion                  // one batch; all of it where the blender is not known
}

func (c *crew) treat(l *rx.Layer) treated {
	t := treated{layer: l, field: impregnatedField(l)}
	t.mass = unit.Mass(float64(l.Volume)/float64(l.Loading)) * unit.Ton
	t.what = c.a.Terms.MaterialsOf(c.p, t.field)
	c.eachZone(&t, func(z rx.Zone, r unit.DryRate) {
		t.area += z.Area
		t.rates.Widen(r, t.rates.Max == 0)
	})
	if d, ok := t.what.BulkDensity(); ok {
		t.density = label.Know(d)
	}
	t.added = c.a.Terms.AddedShare(l.Loading)
	batches, one, ok := c.a.Terms.Batches(t.load())
	if t.portion = one; ok {
		t.batches = label.Know(&batches)
	}
	return t
}

// load returns the layer as the blender takes it.
func (t *treated) load() rx.Load {
	return rx.Load{Loading: t.layer.Loading, Mass: t.mass, Rates: t.rates, Materials: t.what}
}

// impregnatedField returns which field's product carries the layer's stabilizer; -1
// for one blend.
func impregnatedField(l *rx.Layer) int {
	for _, c := range l.Columns {
		if c.Spread != nil && c.Spread.Treated {
			return c.Field
		}
	}
	return -1
}

// eachZone calls do with every zone that the treated layer serves, in file order,
// and the rate of the product that is impregnated there.
func (c *crew) eachZone(t *treated, do func(z rx.Zone, r unit.DryRate)) {
	for i, z := range c.p.Zones {
		if !z.HasRate() {
			continue
		}
		var r unit.DryRate
		for _, column := range t.layer.Columns {
			if t.field < 0 || column.Field == t.field {
				r += column.Rate(c.p, i)
			}
		}
		if r > 0 && !math.IsNaN(float64(r)) {
			do(z, r)
		}
	}
}
