package split

import (
	"iter"
	"math"

	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Acres where the spreader can't deliver what the layers of a way ask for.
var (
	ratesUndelivered  = rx.NewRule[undelivered]("undeliverable/rate", rx.AboutEquipment, rx.NoPlan)
	groundUndelivered = rx.NewRule[rx.Nothing]("undeliverable/ground", rx.AboutEquipment, rx.NoPlan)
)

// undelivered is a layer's rates that the spreader can't spread, and what would land there.
type undelivered struct {
	Layer   string
	Asks    rx.Range[unit.DryRate]
	Can     rx.Range[unit.DryRate]
	Lands   rx.Range[unit.DryRate]
	Carries rx.Range[unit.LiquidRate] // of stabilizer, where the layer is treated; else 0
}

// laid is a dry layer's rates, a zone each: 0 where it spreads nothing.
type laid struct {
	part
	rates []unit.DryRate
}

// metered is a rate that the spreader has to meter in a zone.
type metered struct {
	asked, prescribed unit.DryRate
	carries           bool // the layer's load
}

// metered returns those of a layer in a zone: one of a blend or, of products side by side,
// which have bins of their own, one of each.
func (l laid) metered(p *rx.Prescription, zone int) iter.Seq[metered] {
	return func(yield func(metered) bool) {
		if p.Blend() {
			yield(metered{l.rates[zone], p.Zones[zone].Dry, l.load != nil})
			return
		}
		for f := 0; p.Zones[zone].HasRate() && f < len(p.Fields); f++ {
			m := metered{p.FieldRate(zone, f), p.FieldRate(zone, f), l.load != nil && f == l.field}
			if l.rate != nil {
				m.asked = l.rate(zone, f)
			}
			if !yield(m) {
				return
			}
		}
	}
}

// lay works out the rates of a way's dry layers.
func (t *Task) lay(parts []part) []laid {
	list := make([]laid, len(parts))
	for i, p := range parts {
		list[i] = laid{p, make([]unit.DryRate, len(t.p.Zones))}
		cores.Blocks(len(t.p.Zones), cores.Block, func(from, to int) {
			for z, zone := range t.p.Zones[from:to] {
				z += from
				if p.rate == nil {
					list[i].rates[z] = zone.Dry
				}
				for f := 0; p.rate != nil && zone.HasRate() && f < len(t.p.Fields); f++ {
					list[i].rates[z] += p.rate(z, f)
				}
				if math.IsNaN(float64(list[i].rates[z])) {
					list[i].rates[z] = 0
				}
			}
		})
	}
	return list
}

// deliver adds up the acres where the spreader can't deliver what a way's layers ask for:
// a rate outside its limits, or ground that is narrower than its swath or shorter than a
// change of rate takes. It returns the conditions: where treated dry is asked for, as the
// stabilizer goes with it, and where an untreated layer asks for a rate that nobody has
// prescribed. What is prescribed so itself, no way can mend; where it is spread untreated,
// the stabilizer lands as intended all the same.
func (t *Task) deliver(s *solution, layers []laid) (list []rx.Finding) {
	if t.terms.Job == nil || t.terms.Job.Spreader == nil {
		return nil
	}
	missed := make([]unit.Area, len(t.p.Zones))
	for _, l := range layers {
		if f := t.beyondLimits(l, missed); len(f.Zones) > 0 {
			list = append(list, f)
		}
	}
	if f := t.misdrawn(s.Stacked, layers, missed); f.Area > 0 {
		list = append(list, f)
	}
	for _, area := range missed {
		s.Undeliverable += area
	}
	return list
}

// beyondLimits finds zones where a layer asks for a rate that the spreader can't spread at
// its usual speed.
func (t *Task) beyondLimits(l laid, missed []unit.Area) rx.Finding {
	d := undelivered{Layer: l.name}
	f := ratesUndelivered.Find(rx.Warning, d)
	spreader := t.terms.Job.Spreader
	limits, _ := spreader.Rates.Get()
	d.Can = rx.Range[unit.DryRate](limits)
	for i, z := range t.p.Zones {
		told := false
		for m := range l.metered(t.p, i) {
			lands := spreader.Delivered(m.asked)
			if !(m.asked > 0) || lands == m.asked {
				continue
			}
			missed[i] = z.Area
			if !m.carries && max(m.asked-m.prescribed, m.prescribed-m.asked) <= 1e-9*m.prescribed {
				continue
			}
			d.Asks.Widen(m.asked, d.Asks.Max == 0)
			d.Lands.Widen(lands, d.Lands.Max == 0)
			if m.carries && l.load.Loading > 0 {
				d.Carries.Widen(unit.StabilizerRate(l.load.Loading, lands), d.Carries.Max == 0)
			}
			told = true
		}
		if told {
			f.Zones, f.Area = append(f.Zones, z.Number()), f.Area+z.Area
		}
	}
	f.Data = d
	return f
}

// misdrawn finds zones whose ground is too narrow or too short, as it is joined with
// neighbors of equal rate. Where layers are stacked the treated one is spread at one rate
// over all of them, and none of its ground is. Rates that a way changes only join more.
func (t *Task) misdrawn(stacked bool, layers []laid, missed []unit.Area) rx.Finding {
	f := groundUndelivered.Find(rx.Warning, rx.Nothing{})
	for i, area := range t.a.Misfit {
		if !(area > 0) {
			continue
		}
		treated := false
		for _, l := range layers {
			if l.rates[i] > 0 {
				missed[i] = max(missed[i], area)
				for m := range l.metered(t.p, i) {
					treated = treated || m.carries && m.asked > 0 && !stacked
				}
			}
		}
		if treated {
			f.Zones, f.Area = append(f.Zones, t.p.Zones[i].Number()), f.Area+area
		}
	}
	return f
}
