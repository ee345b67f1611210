package check

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// spreaderLimits finds zones whose dry rate the spreader can't spread at its usual
// speed, what it puts down there instead, and what that does to the verdicts.
func spreaderLimits() Rule {
	return Rule{
		Name: "spreader-limits",
		Skip: func(p *rx.Prescription, a *rx.Assessment) string {
			if why := noSpreader(p, a); why != "" {
				return why
			}
			if _, ok := spreaderOf(a).Rates.Get(); !ok {
				return "the dry rates that the spreader can spread are not given (--job, spreader, rates)"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			spreader := *spreaderOf(a)
			limits, _ := spreader.Rates.Get()
			r := rx.Range[unit.DryRate](limits)
			under := outsideOf(p, func(d unit.DryRate) bool { return d > 0 && r.Under(d) }, spreader)
			over := outsideOf(p, r.Over, spreader)
			zones, area := selected(p, func(i int) bool { return under.in[i] || over.in[i] })
			if len(zones) == 0 {
				return nil
			}
			s := a.Terms.Units
			var text []string
			if len(under.zones) > 0 {
				text = append(text, under.text("less", r.Min, spreader, s)+" too much in all.")
			}
			if len(over.zones) > 0 {
				text = append(text, over.text("more", r.Max, spreader, s)+" too little in all.")
			}
			if a.Loading > 0 {
				text = append(text, changedVerdicts(p, a, spreader))
			}
			got := under.rates
			if len(under.zones) == 0 {
				got.Min = over.rates.Min
			}
			if len(over.zones) > 0 {
				got.Max = over.rates.Max
			}
			return []rx.Finding{{
				Rule: "spreader-limits", Severity: rx.Warning, About: rx.AboutEquipment, Zones: zones, Area: area,
				Got:  between(got.Min, got.Max, unit.Symbol[unit.DryRate](s), s),
				Want: between(r.Min, r.Max, unit.Symbol[unit.DryRate](s), s),
				Text: strings.Join(text, " "), Hint: limitsHint(spreader, r, s),
			}}
		},
	}
}

// outside is the zones on one side of the limits, of all products.
type outside struct {
	in    []bool // a zone each
	zones []int
	area  unit.Area
	rates rx.Range[unit.DryRate]
	off   unit.Mass // by how much what is spread misses what is asked for
}

func outsideOf(p *rx.Prescription, is func(unit.DryRate) bool, spreader equip.Spreader) outside {
	o := outside{in: make([]bool, len(p.Zones))}
	first := true
	for _, product := range products(p) {
		for i, z := range p.Zones {
			rate := product.rate(i)
			if !is(rate) { // a null is not
				continue
			}
			o.in[i] = true
			o.rates.Widen(rate, first)
			first = false
			off := spreader.Delivered(rate) - rate
			o.off += unit.MassOver(max(off, -off), z.Area)
		}
	}
	o.zones, o.area = selected(p, func(i int) bool { return o.in[i] })
	return o
}

func (o outside) text(side string, limit unit.DryRate, spreader equip.Spreader, s unit.System) string {
	return fmt.Sprintf("%s would get %s dry, and the spreader spreads no %s than %s at %s: %s",
		within(o.area, o.zones, s), between(o.rates.Min, o.rates.Max, unit.Symbol[unit.DryRate](s), s), side, limit.Brief(s), spreader.Speed.Usual.Brief(s), o.off.Brief(s))
}

// changedVerdicts tells which acres change their verdict if the blend is impregnated
// and the spreader spreads what it can.
func changedVerdicts(p *rx.Prescription, a *rx.Assessment, spreader equip.Spreader) string {
	var changed [len(a.Shares)][len(a.Shares)]unit.Area
	for i, z := range p.Zones {
		s := unit.StabilizerRate(a.Loading, spreader.Delivered(z.Carrier))
		changed[a.Verdicts[i]][verdict(z, s, a.Range)] += z.Area
	}
	var list []string
	for _, from := range rx.Verdicts() {
		for _, to := range rx.Verdicts() {
			if area := changed[from][to]; from != to && area > 0 {
				list = append(list, fmt.Sprintf("%s from %s to %s the label", rx.GroundText(area, a.Terms.Units), from, to))
			}
		}
	}
	text := "Impregnated at " + a.Loading.Brief(a.Terms.Units) + ", "
	if len(list) == 0 {
		return text + "no verdict changes by that."
	}
	return text + strings.Join(list, " and ") + " by that."
}

// limitsHint says how the limits move with the speed: what a spreader meters per
// minute stays, so its limits per acre go with one over the speed.
func limitsHint(spreader equip.Spreader, r rx.Range[unit.DryRate], s unit.System) string {
	at := func(speed unit.Speed) string {
		k := unit.DryRate(spreader.Speed.Usual / speed)
		return fmt.Sprintf("%s at %s", between(r.Min*k, r.Max*k, unit.Symbol[unit.DryRate](s), s), speed.Brief(s))
	}
	speed := spreader.Speed
	if speed.Low == speed.High {
		return "slower driving allows higher rates and faster driving lower ones, in proportion; or change the rates"
	}
	return fmt.Sprintf("the limits go with the speed: %s, %s; drive there at a speed that fits, or change the rates", at(speed.Low), at(speed.High))
}
