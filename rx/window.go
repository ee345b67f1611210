package rx

import (
	"fmt"

	"rxsplit/label/unit"
)

// Window returns the loadings that put every treated zone of p on label; see
// [Terms.WindowFor].
func (t Terms) Window(p *Prescription, e unit.Ratio) (*Range[unit.Loading], string) {
	lowest, highest, ok := p.CarrierRange()
	if !ok {
		return nil, "no zone has a dry rate above 0"
	}
	return t.WindowFor(Range[unit.DryRate]{Min: lowest, Max: highest}, e)
}

// WindowFor returns the loadings that keep blend spread at any of the dry rates,
// above 0, on label: 2000·L/Rmin ≤ A ≤ 2000·H/Rmax, with the spreader's rate error
// e, from 0 to below 1, taken off both ends, and inside what the label says on how
// to impregnate, the further liquid counted. It is nil, with what stands in the way,
// where there is none. [Terms.DryWindow] is the same seen from the loading.
func (t Terms) WindowFor(dry Range[unit.DryRate], e unit.Ratio) (*Range[unit.Loading], string) {
	pass, why := t.PassRange()
	if why != "" {
		return nil, why
	}
	low, high := pass.Min, pass.Max
	off := unit.DryRate(e)
	w := Range[unit.Loading]{
		Min: unit.LoadingFor(low, dry.Min*(1-off)),
		Max: unit.LoadingFor(high, dry.Max*(1+off)),
	}
	switch ratio, most := float64(dry.Max*(1+off)/(dry.Min*(1-off))), float64(high/low); {
	case ratio > most*(1+leeway) && low == high:
		return nil, fmt.Sprintf("the dry rates go from %s to %s, and there is one rate alone, %s, that may go on: it takes one dry rate everywhere",
			dry.Min.Brief(t.Units), dry.Max.Brief(t.Units), low.Brief(t.Units))
	case ratio > most*(1+leeway):
		return nil, t.tooWide(ratio, most, dry, Range[unit.LiquidRate]{Min: low, Max: high})
	}
	if least, ok := t.Label.MinDryRate.Get(); ok && dry.Min < least*(1-leeway) {
		return nil, fmt.Sprintf("the lowest dry rate, %s, is below the smallest impregnated dry rate of the label, %s", dry.Min.Brief(t.Units), least.Brief(t.Units))
	}
	if most, ok := t.MostLoading(); ok && w.Min > most*(1+leeway) {
		return nil, fmt.Sprintf("the lowest dry rate, %s, needs %s to stay on label, and %s",
			dry.Min.Brief(t.Units), w.Min.Brief(t.Units), t.takesUp())
	} else if ok {
		w.Max = min(w.Max, most)
	}
	if per, ok := t.Label.Loading.Get(); ok {
		switch most, bounded := t.MostLoading(); {
		case bounded && most < per.Min*(1-leeway):
			return nil, fmt.Sprintf("%s, and the label asks for at least %s of stabilizer", t.takesUp(), per.Min.Brief(t.Units))
		case w.Min > per.Max*(1+leeway):
			return nil, fmt.Sprintf("the lowest dry rate needs %s, the label allows at most %s", w.Min.Brief(t.Units), per.Max.Brief(t.Units))
		case w.Max < per.Min*(1-leeway):
			return nil, fmt.Sprintf("the highest dry rate needs at most %s, the label asks for at least %s", w.Max.Brief(t.Units), per.Min.Brief(t.Units))
		}
		w.Min, w.Max = max(w.Min, per.Min), min(w.Max, per.Max)
	}
	w.Max = max(w.Min, w.Max) // the ends of a window that is a point may have crossed by rounding
	return &w, ""
}

// tooWide says by how much dry rates reach wider than the label's range, in as many digits
// as tell the two apart.
func (t Terms) tooWide(ratio, most float64, dry Range[unit.DryRate], pass Range[unit.LiquidRate]) string {
	digits, rate := 4, unit.DryRate.Brief
	for ; digits < 10 && fmt.Sprintf("%.*g", digits, ratio) == fmt.Sprintf("%.*g", digits, most); digits++ {
		rate = unit.DryRate.Text
	}
	return fmt.Sprintf("the highest dry rate is %.*g times the lowest (%s to %s), the label range allows %.*g times (%s to %s)",
		digits, ratio, rate(dry.Min, t.Units), rate(dry.Max, t.Units), digits, most, pass.Min.Brief(t.Units), pass.Max.Brief(t.Units))
}
