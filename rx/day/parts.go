package day

import (
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// parts gives the batches of a lot to its fields, one after the other, each by its share of the
// dry in whole steps of a scale, so that the parts add up to what is weighed.
func parts(works []Work, one rx.Portion) (list []rx.LotPart) {
	step := equip.ScaleStep(works[0].Terms.Units)
	batch := int(math.Round(float64(one.Dry / step)))
	all, sum := batch*one.Count, unit.Mass(0)
	for _, w := range works {
		sum += w.Load.Mass
	}
	at, upTo := 0, unit.Mass(0)
	for i, w := range works {
		upTo += w.Load.Mass
		end := int(math.Round(float64(all) * float64(upTo/sum)))
		if i == len(works)-1 {
			end = all
		}
		for at < end {
			n := min(end, (at/batch+1)*batch) - at
			list = append(list, rx.LotPart{Batch: at / batch, Field: w.Field, Dry: unit.Mass(n) * step})
			at += n
		}
	}
	return list
}

// HaulOf returns what trucks carry to the field of a work from a run, as it is spread: with what
// liquids and drying agents weigh, where that is known.
func HaulOf(w Work, run int, product string) rx.Haul {
	added, known := w.Terms.AddedShare(w.Load).Get()
	return Hauled(w.Terms, rx.Haul{Field: w.Field, Run: run, Product: product, Weight: w.Load.Mass * unit.Mass(1+added), Rough: !known})
}

// Whole has trucks carry whole batches of a lot, where it is one field's alone and a truck takes one: as its
// own cards have it.
func Whole(t rx.Terms, h rx.Haul, l rx.Lot) rx.Haul {
	if t.Job == nil || t.Job.Spreader == nil || !l.Batched {
		return h
	}
	batch := l.Portion.Dry * unit.Mass(1+t.AddedShare(l.Load).Or(0))
	if full, loads, last := t.Job.Spreader.Whole(l.Portion.Count, batch); full > 0 {
		h.Full, h.Loads, h.Last = full, loads, last
		h.Weight, h.Each = batch*unit.Mass(l.Portion.Count), batch*unit.Mass(full)
	}
	return h
}

// Untreated returns what trucks carry to a field of a product without liquid.
func Untreated(t rx.Terms, field int, product string, mass unit.Mass) rx.Haul {
	return Hauled(t, rx.Haul{Field: field, Run: -1, Product: product, Weight: mass})
}

// Hauled divides a weight among the trucks of the job, where it names some.
func Hauled(t rx.Terms, h rx.Haul) rx.Haul {
	if t.Job != nil && t.Job.Spreader != nil {
		h.Loads, h.Each, _ = t.Job.Spreader.Loads(h.Weight)
	}
	return h
}

// carried returns works with what is re-dosed for them: it is the same product.
func carried(works []Work, lots [][]rx.Lot) (list []Work) {
	for i, w := range works {
		for _, l := range lots[i] {
			if !l.AsIs() {
				w.Load.Mass += l.Load.Mass
			}
		}
		if w.Load.Mass > 0 {
			list = append(list, w)
		}
	}
	return list
}

// truckAsks asks where trucks that carry two fields of a run would take fewer loads: that is for a
// person to split. Fields that may not share batches share no truck either.
func truckAsks(works []Work) (asks []rx.RunAsk) {
	for _, g := range sharing(works) {
		all, ask := rx.Haul{}, rx.RunAsk{About: rx.AskTruck}
		for _, w := range g {
			h := HaulOf(w, 0, "")
			all.Weight, ask.Now, ask.Fields = all.Weight+h.Weight, ask.Now+h.Loads, append(ask.Fields, w.Field)
		}
		if ask.Then = Hauled(g[0].Terms, all).Loads; ask.Then < ask.Now {
			asks = append(asks, ask)
		}
	}
	return asks
}
