package split

import (
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// treatedDensity returns the lowest bulk density that the blend may have once it
// is impregnated; unknown where that of the dry blend is.
func treatedDensity(job *equip.Job) label.Known[unit.Density] {
	dry, ok := job.Blend.BulkDensity()
	if !ok {
		return label.Known[unit.Density]{}
	}
	_, humid := equip.TreatedDensity(dry)
	return label.Know(humid)
}

// cost adds up a way's price; nil where no price is known. What the way needs and
// nobody priced is listed as missing.
func (t *task) cost(w rx.Way) *rx.Cost {
	if t.terms.Job == nil || t.terms.Job.Prices == (equip.Prices{}) {
		return nil
	}
	b := bill{cost: &rx.Cost{}}
	prices := t.terms.Job.Prices
	area := t.dryArea()
	addPrice(&b, "stabilizer", prices.Stabilizer, float64(w.Stabilizer/unit.Gallon))
	addPrice(&b, "dry spreading", prices.DrySpreading, float64(area))
	if w.Name == rx.WetBoom {
		addPrice(&b, "wet boom", prices.WetBoom, float64(area))
	} else {
		var treated unit.Mass
		for _, mass := range t.treatedMasses(w) {
			treated += mass
		}
		agent := t.terms.Label.DryingAgent.Or(equip.UsualDryingAgent)
		addPrice(&b, "impregnating", prices.Blending, float64(treated/unit.Ton))
		addPrice(&b, "drying agent", prices.DryingAgent, float64(w.Stabilizer.Weight(agent)/unit.Ton))
	}
	if w.Name == rx.Base && w.Passes > 1 {
		addPrice(&b, "extra pass", prices.ExtraPass, float64(area)*float64(w.Passes-1))
	}
	if change := w.NAdded - w.NRemoved; w.NKnown && w.DryAdded+w.DryRemoved > 0 {
		addPrice(&b, "N added less N removed", prices.Nitrogen, float64(change/unit.Ton))
	}
	b.cost.PerAcre = b.cost.Total / float64(area)
	return b.cost
}

// bill adds up priced items.
type bill struct{ cost *rx.Cost }

// addPrice adds an amount at a price per the unit that the amount counts: gallons,
// tons or acres.
func addPrice[P ~float64](b *bill, what string, price label.Known[P], amount float64) {
	p, ok := price.Get()
	if !ok {
		b.cost.Missing = append(b.cost.Missing, what)
		return
	}
	b.cost.Items = append(b.cost.Items, rx.CostItem{What: what, Amount: float64(p) * amount})
	b.cost.Total += float64(p) * amount
}
