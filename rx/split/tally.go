package split

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// tally adds what a way takes beside its layers: nutrient, batches, fills, time,
// equipment that the job lacks, and cost.
func (t *task) tally(w *rx.Way) {
	if grade, ok := t.blendGrade(); ok {
		w.NKnown = true
		w.NAdded, w.NRemoved = w.DryAdded*unit.Mass(grade.N), w.DryRemoved*unit.Mass(grade.N)
	}
	if !w.Possible {
		return
	}
	job := t.terms.Job
	if w.Sprayed > 0 {
		t.tallyBoom(w, job)
	}
	if len(w.Loads) > 0 {
		t.tallyBlender(w)
	}
	if w.Stacked && job != nil && job.Spreader == nil {
		w.Needs = append(w.Needs, "a spreader with two bins, or a second pass")
	}
	w.Cost = t.cost(*w)
}

func (t *task) tallyBoom(w *rx.Way, job *equip.Job) {
	w.Metered = unit.VolumeOver(w.Rate.Max, w.Sprayed)
	if job == nil || job.Boom == nil {
		if job != nil {
			w.Needs = append(w.Needs, "a wet boom")
		}
		return
	}
	boom := *job.Boom
	if fills, metered, err := t.terms.Fills(boom, w.Sprayed, w.Rate.Max); err == nil {
		w.Metered = metered.Total().Product
		w.Fills = fills.Number()
	}
	density, _ := t.terms.Label.Density.Get()
	mix := equip.WaterDensity
	if density > 0 {
		mix = equip.MixDensity(boom.Volume, w.Rate.Max, density)
	}
	if fits := boom.Fits(mix); len(fits) == 0 || !fits[0].Holds {
		w.Needs = append(w.Needs, "nozzles that hold the volume over the whole speed range")
	}
}

func (t *task) tallyBlender(w *rx.Way) {
	job := t.terms.Job
	if job != nil && job.Blender == nil {
		w.Needs = append(w.Needs, "a blender that impregnates")
	}
	for i, load := range w.Loads {
		w.Why += t.byMeter(*w, i, load)
		batches, one, ok := t.terms.Batches(load)
		w.Metered += one.Total().Liquid
		if !ok {
			continue
		}
		w.Batches += batches.Count
		if minutes, ok := batches.Time.Get(); ok {
			w.Minutes += minutes
		}
	}
}

// cost adds up a way's price; nil where no price of what it takes is known. It prices
// what batches and fills take as they are weighed and metered, which is what the work
// sheets order. What the way needs and nobody priced is listed as missing; work that no
// price stands for as not counted. The boom is charged for the ground that it sprays;
// spreading and the cost by area go by all ground that gets dry, keep-outs included.
func (t *task) cost(w rx.Way) *rx.Cost {
	if t.terms.Job == nil || t.terms.Job.Prices == (equip.Prices{}) {
		return nil
	}
	prices := t.terms.Job.Prices
	area := t.dryArea()
	b := bill{cost: &rx.Cost{Area: area}, s: t.terms.Units}
	addPrice(&b, "stabilizer", prices.Stabilizer, float64(w.Metered/unit.Gallon), b.liquid(w.Metered))
	addPrice(&b, "dry spreading", prices.DrySpreading, float64(area), tell.Ground(area, b.s))
	if w.Sprayed > 0 {
		addPrice(&b, "wet boom", prices.WetBoom, float64(w.Sprayed), tell.Ground(w.Sprayed, b.s))
	}
	if len(w.Loads) > 0 {
		t.blending(&b, w)
	}
	t.extraPasses(&b, w, area)
	if change := w.NAdded - w.NRemoved; w.NKnown && w.DryAdded+w.DryRemoved > 0 {
		addPrice(&b, "N added less N removed", prices.Nitrogen, float64(change/unit.Ton), b.weight(change))
	}
	if len(b.cost.Items) == 0 {
		return nil
	}
	b.cost.PerAcre = b.cost.Total / float64(area)
	return b.cost
}

// blending prices what the batches of the impregnated loads take.
func (t *task) blending(b *bill, w rx.Way) {
	prices := t.terms.Job.Prices
	var all rx.Portion
	for _, load := range w.Loads {
		_, one, _ := t.terms.Batches(load)
		sum := one.Total()
		all.Dry += sum.Dry
		all.Agent += sum.AgentInAll()
		all.Second += sum.Second
	}
	addPrice(b, "impregnating", prices.Blending, float64(all.Dry/unit.Ton), b.bulk(all.Dry))
	if second := t.terms.Job.SecondLiquid; second != nil {
		addPrice(b, second.Name, prices.SecondLiquid, float64(all.Second/unit.Gallon), b.liquid(all.Second))
	}
	addPrice(b, "drying agent", prices.DryingAgent, float64(all.Agent/unit.Ton), b.weight(all.Agent))
}

// extraPasses prices passes that spread every acre again, and
// tells of passes that spread each acre once: a load's own pass goes over its zones
// alone, so that all of them together spread the field once, and only the driving past
// other loads' zones comes on top.
func (t *task) extraPasses(b *bill, w rx.Way, area unit.Area) {
	price := t.terms.Job.Prices.ExtraPass
	more := w.Passes - 1
	if len(w.Loads) == 0 && t.terms.Job.SecondLiquid != nil {
		b.cost.NotCounted = append(b.cost.NotCounted, t.terms.Job.SecondLiquid.Name+", which this way does not impregnate")
	}
	if more < 1 {
		return
	}
	if w.Stacked {
		addPrice(b, "extra pass", price, float64(area)*float64(more), tell.Ground(area*unit.Area(more), b.s))
		return
	}
	text := "driving over the field once more"
	if more > 1 {
		text = fmt.Sprintf("driving over the field %d times more", more)
	}
	if p, ok := price.Get(); ok {
		text += ", at most " + unit.Cents(unit.Money(float64(p)*float64(area)*float64(more))) + " at the price of an extra pass"
	}
	b.cost.NotCounted = append(b.cost.NotCounted, text)
}

// bill adds up priced items.
type bill struct {
	cost *rx.Cost
	s    unit.System
}

func (b *bill) weight(m unit.Mass) string {
	return fmt.Sprintf("%.2f %s", m.In(b.s), unit.Symbol[unit.Mass](b.s))
}

func (b *bill) bulk(m unit.Mass) string {
	if b.s == unit.Metric {
		return fmt.Sprintf("%.3f t", float64(m/unit.MetricTon))
	}
	return fmt.Sprintf("%.3f ton", float64(m/unit.Ton))
}

func (b *bill) liquid(v unit.Volume) string {
	if b.s == unit.Metric {
		return fmt.Sprintf("%.2f L", float64(v/unit.Liter))
	}
	return fmt.Sprintf("%.2f gal", float64(v/unit.Gallon))
}

// addPrice adds an amount at a price per the unit that the amount counts: gallons,
// tons or acres; of is the amount in words.
func addPrice[P ~float64](b *bill, what string, price label.Known[P], amount float64, of string) {
	p, ok := price.Get()
	if !ok {
		b.cost.Missing = append(b.cost.Missing, what)
		return
	}
	b.cost.Items = append(b.cost.Items, rx.CostItem{What: what, Of: of, Amount: float64(p) * amount})
	b.cost.Total += float64(p) * amount
}
