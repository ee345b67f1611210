package rx

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
)

// Window returns the loadings of the stabilizer that put every treated zone of p on label,
// the further liquids too; see [Terms.Windows]. Treated dry goes also where a boom would leave
// the stabilizer out for what the season has put there.
func (t Terms) Window(p *Prescription, e unit.Ratio) (*Range[unit.Loading], string) {
	lowest, highest, ok := p.CarrierRange()
	if !ok {
		return nil, "no zone has a dry rate above 0"
	}
	if t.Already != nil {
		t.AlreadyApplied = 0
		for i, z := range p.Zones {
			if z.Treated() {
				t.AlreadyApplied = max(t.AlreadyApplied, t.Already[i])
			}
		}
	}
	return t.WindowFor(Range[unit.DryRate]{Min: lowest, Max: highest}, e)
}

// WindowFor returns the first of [Terms.Windows], that of the stabilizer; nil, with what
// stands in the way, where there is none.
func (t Terms) WindowFor(dry Range[unit.DryRate], e unit.Ratio) (*Range[unit.Loading], string) {
	windows, why := t.Windows(dry, e)
	if windows == nil {
		return nil, why
	}
	return &windows[0], ""
}

// WindowEnds says what makes the low and the high end of [Terms.Window]: empty where it is the label's
// range of rates on the ground, at the lowest and the highest dry rate.
func (t Terms) WindowEnds(p *Prescription, e unit.Ratio) (low, high string) {
	w, _ := t.Window(p, e)
	if w == nil {
		return "", ""
	}
	lowest, highest, _ := p.CarrierRange()
	l := t.Stabilizer()
	pass, _ := t.Pass(l)
	if w.Min > unit.LoadingFor(pass.Min, lowest*unit.DryRate(1-e))*(1+leeway) {
		low = "the least of the label's own range per ton"
	}
	switch full := unit.LoadingFor(pass.Max, highest*unit.DryRate(1+e)); {
	case w.Max >= full*(1-leeway) && pass.Max < l.Label.Rate.Max:
		high = "what the season maximum leaves"
	case w.Max >= full*(1-leeway):
	case w.Max >= l.Bounds().Loading.Max*(1-leeway):
		high = "the most of the label's own range per ton"
	default:
		high = "the most liquid that a ton takes up"
	}
	return low, high
}

// Windows returns, of each liquid on the blend, the stabilizer first, the loadings that
// keep blend spread at any of the dry rates, above 0, on the liquid's label:
// 2000·L/Rmin ≤ A ≤ 2000·H/Rmax, with the spreader's rate error e, from 0 to below 1,
// taken off both ends, and inside what the label says on how to impregnate. Of what a ton
// takes up, each has what the least of the others leaves: where all are to have more,
// [Terms.Doses] divides it. A further liquid whose loading is fixed has that alone. The
// list is nil, with what stands in the way, where a liquid has no loading.
// [Terms.DryWindow] is the same seen from the loadings.
func (t Terms) Windows(dry Range[unit.DryRate], e unit.Ratio) ([]Range[unit.Loading], string) {
	liquids := t.onBlend()
	least := make([]unit.Loading, len(liquids))
	for k, l := range liquids {
		least[k] = t.least(k, l, dry, e)
	}
	windows := make([]Range[unit.Loading], len(liquids))
	for k, l := range liquids {
		if k == 0 && t.Sprayed {
			continue
		}
		w, why := t.window(l, dry, e, t.besides(k, least))
		if why != "" {
			return nil, l.named(why)
		}
		windows[k] = w
	}
	return windows, ""
}

// OwnWindow returns the loadings of one liquid of the blend, at k, by its own label alone,
// though the least of the others counts in what a ton takes up; nil where there is none.
func (t Terms) OwnWindow(k int, dry Range[unit.DryRate], e unit.Ratio) *Range[unit.Loading] {
	liquids := t.onBlend()
	least := make([]unit.Loading, len(liquids))
	for j, l := range liquids {
		least[j] = t.least(j, l, dry, e)
	}
	w, why := t.window(liquids[k], dry, e, t.besides(k, least))
	if why != "" {
		return nil
	}
	return &w
}

// least is the lowest loading of a liquid that keeps the dry rates on label: 2000·L/Rmin,
// or the least of its label's range per ton; the fixed one where there is one.
func (t Terms) least(k int, l JobLiquid, dry Range[unit.DryRate], e unit.Ratio) unit.Loading {
	switch {
	case k == 0 && t.Sprayed:
		return 0
	case l.Loading > 0 || l.Label == nil:
		return l.Loading
	}
	return max(unit.LoadingFor(l.Label.Rate.Min, dry.Min*(1-unit.DryRate(e))), l.Bounds().Loading.Min)
}

// window returns the loadings of one liquid beside others.
func (t Terms) window(l JobLiquid, dry Range[unit.DryRate], e unit.Ratio, others beside) (w Range[unit.Loading], why string) {
	if l.Label == nil {
		return t.withoutLabel(l, others)
	}
	pass, why := t.Pass(l)
	if why != "" {
		return w, why
	}
	low, high := pass.Min, pass.Max
	off := unit.DryRate(e)
	w = Range[unit.Loading]{
		Min: unit.LoadingFor(low, dry.Min*(1-off)),
		Max: unit.LoadingFor(high, dry.Max*(1+off)),
	}
	switch ratio, most := float64(dry.Max*(1+off)/(dry.Min*(1-off))), float64(high/low); {
	case ratio > most*(1+leeway) && low == high:
		return w, fmt.Sprintf("the dry rates go from %s to %s, and there is one rate alone, %s, that may go on: it takes one dry rate everywhere",
			dry.Min.Brief(t.Units), dry.Max.Brief(t.Units), low.Brief(t.Units))
	case ratio > most*(1+leeway):
		return w, t.tooWide(ratio, most, e, dry, Range[unit.LiquidRate]{Min: low, Max: high}, high < l.Label.Rate.Max*(1-leeway))
	}
	if why := l.whyNotDry(dry, t.Units); why != "" {
		return w, why
	}
	most := t.room(others)
	if w.Min > most*(1+leeway) {
		return w, fmt.Sprintf("the lowest dry rate, %s, needs %s to stay on label, and %s",
			dry.Min.Brief(t.Units), w.Min.Brief(t.Units), t.takesUp(others))
	}
	w.Max = min(w.Max, most)
	if why := t.insidePerTon(l, &w, others); why != "" {
		return w, why
	}
	w.Max = max(w.Min, w.Max) // the ends of a window that is a point may have crossed by rounding
	return w, t.atFixed(l, &w)
}

// withoutLabel is the window of a liquid that has no label: its fixed loading, or any.
func (t Terms) withoutLabel(l JobLiquid, others beside) (w Range[unit.Loading], why string) {
	w = Range[unit.Loading]{Min: l.Loading, Max: l.Loading}
	if l.Loading == 0 {
		w.Max = unit.Loading(math.Inf(1))
	}
	most := t.room(others)
	if most <= 0 || w.Min > most*(1+leeway) {
		return w, t.takesUp(others)
	}
	w.Max = max(w.Min, min(w.Max, most))
	return w, ""
}

// insidePerTon takes a window into what the label says of a ton, or says why it can't.
func (t Terms) insidePerTon(l JobLiquid, w *Range[unit.Loading], others beside) string {
	per := l.Bounds().Loading
	switch most := t.room(others); {
	case per.Under(per.Max):
		return fmt.Sprintf("the label asks for at least %s and allows at most %s", per.Min.Brief(t.Units), per.Max.Brief(t.Units))
	case most < per.Min*(1-leeway):
		return fmt.Sprintf("%s, and the label asks for at least %s of %s", t.takesUp(others), per.Min.Brief(t.Units), l.Name)
	case w.Min > per.Max*(1+leeway):
		return fmt.Sprintf("the lowest dry rate needs %s, the label allows at most %s", w.Min.Brief(t.Units), per.Max.Brief(t.Units))
	case w.Max < per.Min*(1-leeway):
		return fmt.Sprintf("the highest dry rate needs at most %s, the label asks for at least %s", w.Max.Brief(t.Units), per.Min.Brief(t.Units))
	}
	w.Min, w.Max = max(w.Min, per.Min), min(w.Max, per.Max)
	return ""
}

// atFixed narrows a window to the loading that the plant has fixed, where it has, or says
// why it can't.
func (t Terms) atFixed(l JobLiquid, w *Range[unit.Loading]) string {
	switch {
	case l.Loading == 0:
		return ""
	case !w.Contains(l.Loading):
		return fmt.Sprintf("the fixed loading of %s is outside the %s to %s that keep every rate on label",
			l.Loading.Brief(t.Units), w.Min.Brief(t.Units), w.Max.Brief(t.Units))
	}
	*w = Range[unit.Loading]{Min: l.Loading, Max: l.Loading}
	return ""
}

// Doses returns the loadings that a load of a mean dry rate should have, of the windows of
// its dry rates: of each liquid the nearest to its intended rate at the mean, or what the
// plant has fixed, as far as its window allows it; where all together are more than a ton
// takes up, each is brought down toward the lower end of its window, by the same share of
// its room.
func (t Terms) Doses(mean unit.DryRate, windows []Range[unit.Loading]) []unit.Loading {
	doses := make([]unit.Loading, len(windows))
	var all, least unit.Loading
	for k, l := range t.onBlend() {
		w := windows[k]
		if k == 0 && t.Loading > 0 && w.Contains(t.Loading) {
			l.Loading = t.Loading
		}
		if doses[k] = l.Loading; l.Loading == 0 {
			doses[k] = min(max(unit.LoadingFor(l.Intended, mean), w.Min), w.Max)
		}
		all, least = all+doses[k], least+w.Min
	}
	most, bounded := t.MostLiquid()
	if !bounded || all <= most*(1+leeway) {
		return doses
	}
	share := max(0, (most-least)/(all-least))
	for k, w := range windows {
		doses[k] = w.Min + unit.Loading((doses[k]-w.Min)*share)
	}
	return doses
}

// tooWide says by how much dry rates, which may be off by e, reach wider than the label's range,
// or what the season leaves of it, in as many digits as tell the two apart.
func (t Terms) tooWide(ratio, most float64, e unit.Ratio, dry Range[unit.DryRate], pass Range[unit.LiquidRate], season bool) string {
	digits, rate := 4, unit.DryRate.Brief
	for ; digits < 10 && fmt.Sprintf("%.*g", digits, ratio) == fmt.Sprintf("%.*g", digits, most); digits++ {
		rate = unit.DryRate.Text
	}
	off, what := "", "the label's range"
	if season {
		what = "the season leaves"
	}
	if e > 0 {
		off = ", each off by up to " + e.Brief(t.Units)
	}
	return fmt.Sprintf("dry rates span %.*g to 1 (%s to %s%s), %s %.*g to 1 (%s to %s)",
		digits, ratio, rate(dry.Min, t.Units), rate(dry.Max, t.Units), off, what, digits, most, pass.Min.Brief(t.Units), pass.Max.Brief(t.Units))
}

// Range is a closed range.
type Range[Q ~float64] struct{ Min, Max Q }

// Contains reports whether q is in the range, with both ends allowed and the
// relative leeway that rounding needs: L(1−1e-9) ≤ q ≤ H(1+1e-9).
func (r Range[Q]) Contains(q Q) bool { return !r.Under(q) && !r.Over(q) }

// Under reports whether q is below the range.
func (r Range[Q]) Under(q Q) bool { return q < r.Min*(1-leeway) }

// Over reports whether q is above the range.
func (r Range[Q]) Over(q Q) bool { return q > r.Max*(1+leeway) }

// leeway absorbs rounding at the ends of a range; it is far below what any
// scale or meter can tell.
const leeway = 1e-9

// and returns what two ranges have in common; upside down where that is nothing.
func (r Range[Q]) and(o Range[Q]) Range[Q] {
	return Range[Q]{Min: max(r.Min, o.Min), Max: min(r.Max, o.Max)}
}

// Widen takes a value into the range; the first one makes it.
func (r *Range[Q]) Widen(q Q, first bool) {
	if first {
		*r = Range[Q]{Min: q, Max: q}
	}
	r.Min, r.Max = min(r.Min, q), max(r.Max, q)
}
