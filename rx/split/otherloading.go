package split

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// otherLoadings finds loads of a way that are dosed otherwise than the plant has fixed,
// and says what speaks against that there.
func (t *task) otherLoadings(w rx.Way) []rx.Finding {
	fixed, s := t.terms.Loading, t.terms.Units
	if fixed == 0 {
		return nil
	}
	var out []rx.Finding
	for i, load := range w.Loads {
		if load.Loading == fixed {
			continue
		}
		who := "this way"
		if len(w.Loads) > 1 {
			who = fmt.Sprintf("load %d of this way", i+1)
		}
		out = append(out, rx.Finding{
			Rule: "loading-changed", Severity: rx.Warning, About: rx.AboutPlan, Got: t.terms.LoadingText(load.Loading), Want: fixed.Text(s),
			Text: fmt.Sprintf("%s doses at %s, not at the %s that the plant has fixed: %s.", who, t.terms.LoadingText(load.Loading), fixed.Text(s), t.whyNot(fixed, load.Rates)),
			Hint: "tell the plant before it blends",
		})
	}
	return out
}

// whyNot says why blend that is spread at the dry rates is not given a loading.
func (t *task) whyNot(l unit.Loading, dry rx.Range[unit.DryRate]) string {
	s := t.terms.Units
	pass, _ := t.terms.PassRange()
	exact := func(r unit.LiquidRate) string {
		return fmt.Sprintf("%.5g %s", r.In(s), unit.Symbol[unit.LiquidRate](s))
	}
	low, high := unit.StabilizerRate(l, dry.Min), unit.StabilizerRate(l, dry.Max)
	if why := t.terms.WhyNotLoading(l); why != "" {
		return "that would " + why
	}
	switch {
	case t.a.Range.Over(high):
		return fmt.Sprintf("that would put up to %s where it spreads %s, more than the label's %s", exact(high), dry.Max.Brief(s), t.a.Range.Max.Brief(s))
	case pass.Over(high):
		return fmt.Sprintf("that would put up to %s where it spreads %s, more than the %s that the season maximum leaves", exact(high), dry.Max.Brief(s), pass.Max.Brief(s))
	case pass.Under(low):
		return fmt.Sprintf("that would put as little as %s where it spreads %s, less than the label's %s", exact(low), dry.Min.Brief(s), pass.Min.Brief(s))
	}
	return fmt.Sprintf("on label as prescribed, that leaves no room for the spreader's rate error of %s", t.terms.RateError)
}
