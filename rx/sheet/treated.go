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
	field   int                       // of the product that is impregnated; -1 for a blend
	what    equip.Blend               // the materials that are impregnated; none if they are not known
	mass    unit.Mass                 // of untreated product
	rates   rx.Range[unit.DryRate]    // of that product, above 0
	area    unit.Area                 // that gets it
	density label.Known[unit.Density] // bulk, before the liquid
	added   label.Known[unit.Ratio]   // weight of liquids and drying agent over that of dry
	batches equip.Batches             // in the blender; none where that is not known
	batched bool                      // whether the blender is known
	portion rx.Portion                // one batch; all of it where the blender is not known
	liquids []carried                 // that it carries, the stabilizer first if that is among them
}

func (in *inputs) treat(l *rx.Layer) treated {
	t := treated{layer: l, field: impregnatedField(l), liquids: in.carries(l)}
	t.mass = unit.Mass(float64(t.first().volume)/float64(t.first().loading)) * unit.Ton
	t.what = in.a.Terms.MaterialsOf(in.p, t.field)
	in.eachZone(&t, func(z rx.Zone, r unit.DryRate) {
		t.area += z.Area
		t.rates.Widen(r, t.rates.Max == 0)
	})
	if d, ok := t.what.BulkDensity(); ok {
		t.density = label.Know(d)
	}
	t.added = in.a.Terms.AddedShare(t.load())
	t.batches, t.portion, t.batched = in.a.Terms.Batches(t.load())
	return t
}

// load returns the layer as the blender takes it.
func (t *treated) load() rx.Load {
	return t.layer.Load(t.mass, t.rates, t.what)
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
func (in *inputs) eachZone(t *treated, do func(z rx.Zone, r unit.DryRate)) {
	for i, z := range in.p.Zones {
		if !z.HasRate() {
			continue
		}
		var r unit.DryRate
		for _, column := range t.layer.Columns {
			if t.field < 0 || column.Field == t.field {
				r += column.Rate(in.p, i)
			}
		}
		if r > 0 && !math.IsNaN(float64(r)) {
			do(z, r)
		}
	}
}

// windowText prints the dry rates that stay on label at the loadings of a layer, and those
// of the layer itself. The ends of the former are rounded inward, so that what is printed
// is on label too; both have as many decimals as it takes for the layer's rates to be
// inside as printed. Where no rate is on label it says why.
func (in *inputs) windowText(t *treated) (window, own, why string) {
	r, why := in.a.Terms.DryWindow(t.load().Loadings()...)
	text := func(low, high float64, decimals int) string {
		return between(trim(low, decimals)+" "+in.dryUnit(), trim(high, decimals)+" "+in.dryUnit())
	}
	low, high := t.rates.Min.In(in.s), t.rates.Max.In(in.s)
	for decimals := 1; decimals <= 3; decimals++ {
		least, most := inward(r.Min.In(in.s), r.Max.In(in.s), decimals)
		window, own = text(least, most, decimals), text(low, high, decimals)
		if steps := math.Pow10(decimals); least <= math.Round(low*steps)/steps && math.Round(high*steps)/steps <= most {
			return window, own, why
		}
	}
	return text(r.Min.In(in.s), r.Max.In(in.s), 1), text(low, high, 1), why // a window that is a point
}
