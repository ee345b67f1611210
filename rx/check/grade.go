// Package check holds a prescription against a label as one impregnated blend: a
// verdict for each zone, the loadings that would serve all of them, and what is
// found by a list of rules.
package check

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Grade gives each zone its verdict at the loading that the plant has fixed or,
// where none is, at the one that puts the intended rate on the field as a whole:
// A = 2000·T·(treated acres)/(dry lb).
//
// The error says what about the terms can't be: an intended rate that the label
// does not allow, say.
func Grade(p *rx.Prescription, terms rx.Terms) (*rx.Assessment, error) {
	a := &rx.Assessment{Terms: terms, Range: rx.Range[unit.LiquidRate](terms.Label.Rate)}
	if err := checkTerms(a); err != nil {
		return nil, err
	}
	treated := p.TreatedArea()
	a.Mass = p.CarrierMass()
	if treated > 0 {
		a.Mean = unit.DryRate(float64(a.Mass) / float64(treated))
	}
	a.Window, a.WhyNoWindow = terms.Window(p, 0)
	chooseLoading(p, a)
	if a.Loading > 0 {
		a.OnLabel, a.WhyNoRate = terms.DryWindow(a.Loading)
	}
	judge(p, a)
	if treated > 0 {
		a.MeanRate = unit.LiquidRate(float64(a.Volume) / float64(treated))
	}
	for _, rule := range Rules() {
		why := rule.lacks(p, a)
		if why == "" {
			a.Findings = append(a.Findings, rule.find(p, a)...)
		}
		a.Rules = append(a.Rules, rx.RuleRun{Rule: rule.Rule(), Ran: why == "", Why: why})
	}
	return a, nil
}

// TermsError says which of the user's terms can't be.
type TermsError struct {
	Flag string
	What string
	Hint string
}

func (e *TermsError) Error() string { return e.Flag + ": " + e.What }

func checkTerms(a *rx.Assessment) error {
	t := a.Terms
	switch {
	case !a.Range.Contains(t.Intended):
		return &TermsError{
			Flag: "--stabilizer-rate", What: fmt.Sprintf("%s is outside the label range, %s to %s", t.Intended.Brief(t.Units), a.Range.Min.Brief(t.Units), a.Range.Max.Brief(t.Units)),
			Hint: "give a rate that the label allows",
		}
	case t.RateError < 0 || t.RateError >= 1:
		return &TermsError{Flag: "--rate-error", What: t.RateError.String() + " is no rate error", Hint: "give a share from 0 % to less than 100 %, such as 5%"}
	case t.Loading < 0:
		return &TermsError{Flag: "--loading", What: t.Loading.Brief(t.Units) + " is negative", Hint: "such as --loading \"320 fl oz/ton\""}
	case t.AlreadyApplied < 0:
		return &TermsError{Flag: "--already-applied", What: t.AlreadyApplied.Brief(t.Units) + " is negative", Hint: "give what was applied this season before this pass"}
	}
	return nil
}

func chooseLoading(p *rx.Prescription, a *rx.Assessment) {
	terms := a.Terms
	if terms.Loading > 0 {
		a.Loading, a.LoadingFrom = terms.Loading, "given"
		return
	}
	a.LoadingFrom = "field-mean"
	if a.Mean > 0 {
		exact := unit.LoadingFor(terms.Intended, a.Mean)
		a.Loading = terms.RoundLoading(exact, keepsOnLabel(p, terms, exact))
	}
}

// keepsOnLabel returns the loadings that keep on label what an exact one puts there, so
// that no zone leaves the label by its rounding alone; nil if it puts none there.
func keepsOnLabel(p *rx.Prescription, terms rx.Terms, exact unit.Loading) *rx.Range[unit.Loading] {
	on, why := terms.DryWindow(exact)
	if why != "" {
		return nil
	}
	var dry rx.Range[unit.DryRate]
	first := true
	for _, z := range p.Zones {
		if z.Treated() && on.Contains(z.Carrier) {
			dry.Widen(z.Carrier, first)
			first = false
		}
	}
	if first {
		return nil
	}
	window, _ := terms.WindowFor(dry, 0)
	return window
}

// judge gives each zone its verdict and adds up what each verdict amounts to.
func judge(p *rx.Prescription, a *rx.Assessment) {
	a.Verdicts = make([]rx.Verdict, len(p.Zones))
	a.Tight = make([]bool, len(p.Zones))
	first := true
	most, limited := a.Terms.Label.SeasonMax.Get()
	season := rx.Range[unit.LiquidRate]{Max: most}
	if limited {
		a.Season = make([]bool, len(p.Zones))
	}
	for i, z := range p.Zones {
		s := unit.StabilizerRate(a.Loading, z.Carrier)
		v := verdict(z, s, a.Range)
		a.Verdicts[i] = v
		a.Tight[i] = v == rx.Within && leaves(s, a.Range, a.Terms.RateError)
		count(&a.Shares[v], z, s)
		if limited {
			a.Season[i] = z.Treated() && season.Over(a.Terms.AlreadyApplied+s)
		}
		if a.OffBySeason(i) {
			count(&a.OverSeason, z, s)
		}
		if z.Treated() {
			a.Stabilizer.Widen(s, first)
			first = false
		}
	}
	a.Volume = unit.Uptake(a.Loading, a.Mass)
}

// count adds a zone, which would get s, to a share.
func count(share *rx.Share, z rx.Zone, s unit.LiquidRate) {
	share.Zones++
	share.Area += z.Area
	if z.HasRate() {
		share.Dry.Widen(z.Carrier, share.Zones == 1)
		share.Stabilizer.Widen(s, share.Zones == 1)
	}
}

func verdict(z rx.Zone, s unit.LiquidRate, label rx.Range[unit.LiquidRate]) rx.Verdict {
	switch {
	case !z.HasRate():
		return rx.NoRate
	case !z.Treated():
		return rx.NoDry
	case label.Under(s):
		return rx.Below
	case label.Over(s):
		return rx.Above
	}
	return rx.Within
}

// leaves reports whether a rate that is on label leaves it when the spreader is
// off by ±t: S(1−t) < L or S(1+t) > H.
func leaves(s unit.LiquidRate, label rx.Range[unit.LiquidRate], t unit.Ratio) bool {
	if t == 0 {
		return false
	}
	e := unit.LiquidRate(t)
	return label.Under(s*(1-e)) || label.Over(s*(1+e))
}
