package sheet

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// tooFar is by how much a counter may be off before somebody looks for the reason;
// common practice, no source.
const tooFar = 5 * unit.Percent

// reconcile says what the counters should read after the pass.
func (d *draft) reconcile() {
	table := rx.Table{
		Head: []string{"layer", "counter", "should read", "from", "to", "reads"},
		Left: []bool{true, true, false, false, false, false},
	}
	const line = "________"
	row := func(layer, what string, v float64, decimals int) {
		e := float64(tooFar)
		table.Rows = append(table.Rows, []string{layer, what, num(v, decimals), num(v*(1-e), decimals), num(v*(1+e), decimals), line})
	}
	for _, m := range d.streams() {
		row(m.name, d.areaUnit(), m.area.In(d.s), 2)
		if !m.treated {
			row("", d.massUnit()+" of dry", m.mass.In(d.s), 0)
			continue
		}
		if added, ok := m.trim(); ok {
			row("", d.massUnit()+" of treated dry", (m.mass * unit.Mass(1+added)).In(d.s), 0)
		} else {
			table.Rows = append(table.Rows, []string{"", d.massUnit() + " of treated dry", line, line, line, line})
		}
		row("", d.canUnit()+" of stabilizer in it", float64(m.layer.Volume/d.canOne()), 2)
	}
	for i := range d.plan.Layers {
		l := &d.plan.Layers[i]
		if l.Product != rx.Liquid {
			continue
		}
		row(l.Name, d.areaUnit(), l.Area.In(d.s), 2)
		row("", d.canUnit()+" of stabilizer", float64(d.sprayed(l)/d.canOne()), 2)
		if l.Mix > 0 {
			row("", d.canUnit()+" of mix", float64(l.Mix.Over(l.Area)/d.canOne()), 1)
		}
	}
	d.add(rx.Section{
		Title:  "After the pass: what the counters should read",
		Tables: []rx.Table{table},
		Notes: []string{
			"Beyond " + percent(tooFar) + " either way, find out why before the next field: calibration, trim, density, a missed or doubled strip, a batch dosed twice.",
			"Compare with the scale tickets and the batch or fill log too, not with the controller alone.",
		},
	})
}

// breakEven sets what the stabilizer costs against the price of the crop: cost ÷
// price per bushel. It promises nothing.
func (d *draft) breakEven() {
	cost := d.plan.Way.Cost
	if cost == nil {
		return
	}
	table := rx.Table{Head: []string{"", "of", "$", "$/" + d.areaUnit() + " spread"}, Left: []bool{true, false, false, false}}
	by := cost.Area.In(d.s)
	const spread = "dry spreading"
	extra := cost.Total
	for _, item := range cost.Items {
		table.Rows = append(table.Rows, []string{item.What, item.Of, num(item.Amount, 2), num(item.Amount/by, 2)})
		if item.What == spread {
			extra -= item.Amount
		}
	}
	table.Total = []string{"in all", "", num(cost.Total, 2), num(cost.Total/by, 2)}
	s := rx.Section{Title: "What it costs, and what would pay for it", Tables: []rx.Table{table}, Notes: d.costNotes(cost)}
	for _, what := range cost.Missing {
		d.lacks("the price of "+what, "job file, prices", "it is not in the cost")
	}
	s.Facts = []rx.Fact{{What: "Without " + spread, Value: money(extra), Note: money(extra/by) + "/" + d.areaUnit() + " spread"}}
	bushels, known := d.job.Prices.BreakEven(unit.Money(extra))
	switch {
	case extra < 0:
		s.Notes = append(s.Notes, "There is nothing to pay back: the N that is left out is priced above what the way costs. What that N would have brought is not counted.")
	case known && !math.IsNaN(by):
		price, _ := d.job.Prices.Crop.Get()
		onGround := d.plan.StabilizerGround(d.p.Zones) // where alone a response can be
		note := num(bushels, 0) + " bu at " + price.Text(d.s)
		if num(onGround.In(d.s), 2) != num(by, 2) {
			note += ", on the " + d.area(onGround) + " that get stabilizer"
		}
		s.Facts = append(s.Facts, rx.Fact{What: "Break-even", Value: num(bushels/onGround.In(d.s), 2) + " bu/" + d.areaUnit(), Note: note})
		s.Notes = append(s.Notes, "Cost over price: what the crop would have to bring more to pay for it. No promise that it will.")
	default:
		d.lacks("the price of the crop", "job file, prices.crop", "no break-even is worked out")
	}
	d.add(s)
}

// costNotes says which amounts are priced, and what is not counted.
func (d *draft) costNotes(cost *rx.Cost) []string {
	notes := []string{
		"Priced is what these sheets order: batches or fills as they are weighed and metered, not the unrounded figures of the layers.",
		fmt.Sprintf("By the %s spread: the %s that get dry, whether or not they get stabilizer.", pick(d.show, "acre", "hectare"), d.area(cost.Area)),
	}
	if more, some := d.halvesCost(); some {
		notes = append(notes, more)
	}
	if len(cost.Missing) > 0 {
		notes = append(notes, "Not in it, for want of a price: "+strings.Join(cost.Missing, ", ")+".")
	}
	for _, what := range cost.NotCounted {
		notes = append(notes, "Not counted: "+what+".")
	}
	return notes
}

// halvesCost says what stabilizer half batches would cost more or less than full ones,
// where they are dosed another sum.
func (d *draft) halvesCost() (string, bool) {
	price, priced := d.job.Prices.Stabilizer.Get()
	var more unit.Volume
	for i := range d.treated {
		t := &d.treated[i]
		if _, half, ok := d.a.Terms.HalfBatches(t.load()); ok {
			more += half.Total().Liquid - t.portion.Total().Liquid
		}
	}
	if !priced || math.Abs(float64(more)) < 1e-6 {
		return "", false
	}
	word := "more"
	if more < 0 {
		word, more = "less", -more
	}
	return fmt.Sprintf("Half batches would take %s %s of stabilizer, %s: each is rounded by itself.", d.drop(more), word, money(float64(price)*float64(more/unit.Gallon))), true
}
