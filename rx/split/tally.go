package split

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// tally adds what a way takes beside its layers: nutrient, batches, fills, time and
// cost.
func (t *Task) tally(w *rx.Way) {
	if grade, ok := t.blendGrade(); ok {
		w.NKnown = true
		w.NAdded, w.NRemoved = w.DryAdded*unit.Mass(grade.N), w.DryRemoved*unit.Mass(grade.N)
	}
	if !w.Possible() {
		return
	}
	job := t.terms.Job
	if w.Sprayed > 0 {
		t.tallyBoom(w, job)
	}
	if len(w.Loads) > 0 {
		t.tallyBlender(w)
	}
	w.Cost = t.cost(*w)
}

func (t *Task) tallyBoom(w *rx.Way, job *equip.Job) {
	w.Metered = unit.VolumeOver(w.Rate.Max, w.Sprayed)
	tank := t.further(w, equip.OnBoom)
	for _, f := range tank {
		f.Metered = f.Volume
	}
	if job == nil || job.Boom == nil {
		return
	}
	if fills, metered, err := t.terms.Fills(*job.Boom, w.Sprayed, w.Rate.Max); err == nil {
		all := metered.Total()
		w.Metered = all.Product
		w.Fills = fills.Number()
		for j, f := range tank {
			f.Metered = all.Further[j]
		}
	}
}

// nozzlesHold reports whether a size on hand holds the boom's volume over its speeds.
func (t *Task) nozzlesHold(boom equip.Boom, rate unit.LiquidRate) bool {
	fits := boom.Fits(t.terms.MixDensity(boom.Volume, rate))
	return len(fits) > 0 && fits[0].Holds
}

// further lists what a way takes of the liquids that go on with one thing.
func (t *Task) further(w *rx.Way, on equip.Carriage) (list []*rx.FurtherAmount) {
	for k, l := range t.terms.Further {
		if l.On == on {
			list = append(list, &w.Further[k])
		}
	}
	return list
}

func (t *Task) tallyBlender(w *rx.Way) {
	blend := t.further(w, equip.OnBlend)
	for _, load := range w.Loads {
		batches, one, ok := t.terms.Batches(load)
		all := one.Total()
		w.Metered += all.Liquid
		for j, f := range all.Further {
			blend[j].Metered += f.Liquid
		}
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
func (t *Task) cost(w rx.Way) *rx.Cost {
	if t.terms.Job == nil || t.terms.Job.Prices == (equip.Prices{}) {
		return nil
	}
	prices := t.terms.Job.Prices
	area := t.p.DryArea()
	b := bill{cost: &rx.Cost{Area: area}, s: t.terms.Units}
	t.stabilizer(&b, w)
	addPrice(&b, "dry spreading", prices.DrySpreading, float64(area), b.ground(area))
	for i := range b.cost.Items {
		b.cost.Items[i].Plain = b.cost.Items[i].What == "dry spreading"
	}
	if w.Sprayed > 0 {
		addPrice(&b, "wet boom", prices.WetBoom, float64(w.Sprayed), b.ground(w.Sprayed))
		t.priceFurther(&b, w, equip.OnBoom)
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
	b.cost.PerAcre = b.cost.High / float64(area)
	return b.cost
}

// blending prices what the batches of the impregnated loads take.
func (t *Task) blending(b *bill, w rx.Way) {
	prices := t.terms.Job.Prices
	var all rx.Portion
	for _, load := range w.Loads {
		_, one, _ := t.terms.Batches(load)
		sum := one.Total()
		all.Dry += sum.Dry
		all.Agent += sum.AgentInAll()
	}
	addPrice(b, "impregnating", prices.Blending, float64(all.Dry/unit.Ton), b.bulk(all.Dry))
	t.priceFurther(b, w, equip.OnBlend)
	addPrice(b, "drying agent", prices.DryingAgent, float64(all.Agent/unit.Ton), b.weight(all.Agent))
}

// BlendCost returns what the batches of an impregnated load cost, in dollars, as they are weighed
// and metered: stabilizer, further liquids on the blend, impregnating and drying agent. What
// nobody priced counts nothing.
func BlendCost(terms rx.Terms, load rx.Load) float64 {
	if terms.Job == nil {
		return 0
	}
	t, b := &Task{terms: terms}, bill{cost: &rx.Cost{}, s: terms.Units}
	w := rx.Way{Loads: []rx.Load{load}, Further: make([]rx.FurtherAmount, len(terms.Further))}
	t.tallyBlender(&w)
	t.stabilizer(&b, w)
	t.blending(&b, w)
	return b.cost.High
}

// stabilizer prices what batches and fills take of it.
func (t *Task) stabilizer(b *bill, w rx.Way) {
	addPrice(b, "stabilizer", t.terms.Job.Prices.Stabilizer, float64(w.Metered/unit.Gallon), b.liquid(w.Metered))
}

// priceFurther prices the further liquids that go on with one thing.
func (t *Task) priceFurther(b *bill, w rx.Way, on equip.Carriage) {
	for k, l := range t.terms.Further {
		if l.On == on {
			addPrice(b, l.Name, l.Price, float64(w.Further[k].Metered/unit.Gallon), b.liquid(w.Further[k].Metered))
		}
	}
}

// extraPasses prices passes that spread every acre again, and then what all passes drive
// beyond the ground that they are for. Passes of loads spread each acre once: all of them
// together spread the field once, and only the driving comes on top. Where no machine is
// known, that is at most the whole field for each pass but the first.
func (t *Task) extraPasses(b *bill, w rx.Way, area unit.Area) {
	price := t.terms.Job.Prices.ExtraPass
	more := unit.Area(w.Passes - 1)
	for k, l := range t.terms.Further {
		if w.Further[k].Rate.Max == 0 {
			b.cost.NotCounted = append(b.cost.NotCounted, l.Name+", which this way does not put on")
		}
	}
	if more > 0 && w.Stacked {
		addPrice(b, "extra pass", price, float64(area*more), b.ground(area*more))
	}
	low := b.cost.Low
	drive := func(what string, beyond unit.Area, plain bool) {
		_, known := price.Get()
		switch {
		case !(beyond > 0):
		case known:
			addPrice(b, what, price, float64(beyond), b.ground(beyond))
			b.cost.Items[len(b.cost.Items)-1].Plain = plain
		case !slices.Contains(b.cost.Missing, "extra pass"):
			b.cost.Missing = append(b.cost.Missing, "extra pass")
		}
	}
	switch {
	case w.Driving != nil:
		plain := min(w.Driving.Plain, w.Driving.Beyond())
		drive("driving beyond what is spread", plain, true)
		drive("beyond it in further passes", w.Driving.Beyond()-plain, false)
	case !w.Stacked:
		drive("driving over the field again, at most", area*more, false)
	}
	b.cost.Low = low
}

// bill adds up priced items.
type bill struct {
	cost *rx.Cost
	s    unit.System
}

// counted is how much of something is priced, in the unit that its price is per.
type counted struct {
	count  float64
	symbol string
}

func (b *bill) weight(m unit.Mass) counted { return counted{m.In(b.s), unit.Symbol[unit.Mass](b.s)} }

func (b *bill) ground(a unit.Area) counted { return counted{a.In(b.s), unit.Symbol[unit.Area](b.s)} }

func (b *bill) bulk(m unit.Mass) counted {
	if b.s == unit.Metric {
		return counted{float64(m / unit.MetricTon), "t"}
	}
	return counted{float64(m / unit.Ton), "ton"}
}

func (b *bill) liquid(v unit.Volume) counted {
	if b.s == unit.Metric {
		return counted{float64(v / unit.Liter), "L"}
	}
	return counted{float64(v / unit.Gallon), "gal"}
}

// addPrice adds an amount at a price per the unit that the amount counts: gallons, tons or
// acres; of is the same for people. It is told in as many digits as give the cost to the cent,
// with its price: whoever reads the bill can work it out again.
func addPrice[P ~float64](b *bill, what string, price label.Known[P], amount float64, of counted) {
	p, ok := price.Get()
	if !ok {
		b.cost.Missing = append(b.cost.Missing, what)
		return
	}
	item := rx.CostItem{What: what, Amount: float64(p) * amount}
	decimals, each := 2, float64(p)
	if of.count != 0 {
		each = item.Amount / of.count
	}
	for ; decimals < 6 && math.Abs(each)*math.Pow10(-decimals) > 0.01; decimals++ {
	}
	text := fmt.Sprintf("%.*f", decimals, of.count)
	for ; decimals > 2 && strings.HasSuffix(text, "0"); decimals-- {
		text = strings.TrimSuffix(text, "0")
	}
	item.Of = unit.Thousands(text) + " " + of.symbol
	item.At = unit.Digits(each, 6) + "/" + of.symbol
	b.cost.Items = append(b.cost.Items, item)
	b.cost.Low += item.Amount
	b.cost.High += item.Amount
}
