// Package check holds a prescription against a label as one impregnated blend: a
// verdict for each zone, the loadings that would serve all of them, and what is
// found by a list of rules.
package check

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// Grade gives each zone its verdict at the loading that the plant has fixed or,
// where none is, at the one that puts the intended rate on the field as a whole:
// A = 2000·T·(treated acres)/(dry lb).
//
// The error says what about the terms can't be: an intended rate that the label
// does not allow, say.
func Grade(p *rx.Prescription, terms rx.Terms) (*rx.Assessment, error) { return Again(p, terms, nil) }

// Again does what [Grade] does where a prescription was graded before, at other terms: what it is to the
// same machine is not measured anew. was is what came of it; nil where it was not graded yet.
func Again(p *rx.Prescription, terms rx.Terms, was *rx.Assessment) (*rx.Assessment, error) {
	a := &rx.Assessment{Terms: terms}
	if err := checkTerms(terms); err != nil {
		return nil, err
	}
	a.Mass = p.CarrierMass()
	if treated := p.TreatedArea(); treated > 0 {
		a.Mean = unit.DryRate(float64(a.Mass) / float64(treated))
	}
	a.Window, a.WhyNoWindow = terms.Window(p, 0)
	gradeAll(p, a)
	rules := rules()
	if len(terms.Further) > 0 {
		rules = append(rules, furtherRules()...)
	}
	for _, rule := range rules {
		if rule.ofGround() && was != nil && sameSpreader(was.Terms.Job, terms.Job) {
			again(a, was, rule)
			continue
		}
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

// again takes over what a rule found before.
func again(a, was *rx.Assessment, r rule) {
	a.Misfit = was.Misfit
	for _, f := range was.Findings {
		if f.Rule() == r.Rule() {
			a.Findings = append(a.Findings, f)
		}
	}
	a.Rules = append(a.Rules, was.Rules[slices.IndexFunc(was.Rules, func(run rx.RuleRun) bool { return run.Rule == r.Rule() })])
}

// sameSpreader reports whether two jobs were read with one spreader, which is not one that says the same.
func sameSpreader(a, b *equip.Job) bool {
	return a != nil && b != nil && a.Spreader == b.Spreader
}

func checkTerms(t rx.Terms) error {
	for _, l := range t.Further {
		if r, graded := l.Range(); graded && l.Intended > 0 && !r.Contains(l.Intended) {
			return &TermsError{
				Flag: "further-liquids", What: fmt.Sprintf("%s: %s is outside its label range, %s to %s", l.Name, l.Intended.Brief(t.Units), r.Min.Brief(t.Units), r.Max.Brief(t.Units)),
				Hint: "give a rate that its label allows",
			}
		}
	}
	label := rx.Range[unit.LiquidRate](t.Label.Rate)
	switch {
	case !label.Contains(t.Intended):
		return &TermsError{
			Flag: "--stabilizer-rate", What: fmt.Sprintf("%s is outside the label range, %s to %s", t.Intended.Brief(t.Units), label.Min.Brief(t.Units), label.Max.Brief(t.Units)),
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

// gradeAll grades the stabilizer and every further liquid, each at the loading that it has
// beside the others.
func gradeAll(p *rx.Prescription, a *rx.Assessment) {
	a.Liquid = a.Terms.Stabilizer()
	all := []*rx.Graded{&a.Graded} // of the blend, in the order of their loadings
	a.Further = make([]rx.Graded, len(a.Terms.Further))
	for i, l := range a.Terms.Further {
		a.Further[i].Liquid = l
		if l.On == equip.OnBlend {
			all = append(all, &a.Further[i])
		}
	}
	loadings := a.Terms.Fixed(a.Terms.Loading)
	for k, g := range all {
		chooseLoading(p, a, g, k)
		loadings[k] = g.Loading
	}
	for k, g := range all {
		if g.Loading > 0 {
			g.OnLabel, g.WhyNoRate = a.Terms.OwnDryWindow(k, loadings)
		}
	}
	judge(p, a, &a.Graded)
	for i := range a.Further {
		judge(p, a, &a.Further[i])
	}
	for i, z := range p.Zones {
		if !a.Off(i) && slices.ContainsFunc(a.Further, func(g rx.Graded) bool { return g.Off(i) }) {
			a.OffFurther += z.Area
		}
	}
}

// chooseLoading takes, for the liquid at k of the blend, the loading that the plant has
// fixed, or the one that puts the intended rate on the field as a whole.
func chooseLoading(p *rx.Prescription, a *rx.Assessment, g *rx.Graded, k int) {
	if g.Liquid.Loading > 0 {
		g.Loading, g.LoadingFrom = g.Liquid.Loading, "given"
		return
	}
	g.LoadingFrom = "field-mean"
	if a.Mean > 0 {
		exact := unit.LoadingFor(g.Liquid.Intended, a.Mean)
		g.Loading = a.Terms.RoundLoading(exact, keepsOnLabel(p, a.Terms, k, exact))
	}
}

// keepsOnLabel returns the loadings that keep on label what an exact one, of the liquid at
// k of the blend, puts there, so that no zone leaves the label by its rounding alone; nil
// if it puts none there.
func keepsOnLabel(p *rx.Prescription, terms rx.Terms, k int, exact unit.Loading) *rx.Range[unit.Loading] {
	loadings := terms.Fixed(terms.Loading)
	loadings[k] = exact
	on, why := terms.OwnDryWindow(k, loadings)
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
	return terms.OwnWindow(k, dry, 0)
}

// judge gives each zone its verdict and adds up what each verdict amounts to.
func judge(p *rx.Prescription, a *rx.Assessment, g *rx.Graded) {
	g.Verdicts = make([]rx.Verdict, len(p.Zones))
	g.Tight = make([]bool, len(p.Zones))
	label, graded := g.Liquid.Range()
	g.Range = label
	season, limited := seasonOf(g.Liquid)
	if limited {
		g.Season = make([]bool, len(p.Zones))
	}
	first := true
	for i, z := range p.Zones {
		s := g.Rate(z)
		v := verdict(z, s, label)
		if v <= rx.Above && !graded {
			v = rx.NotGraded
		}
		g.Verdicts[i] = v
		g.Tight[i] = v == rx.Within && g.Liquid.On == equip.OnBlend && leaves(s, label, a.Terms.RateError)
		count(&g.Shares[v], z, s)
		if limited {
			g.Season[i] = z.Treated() && season.Over(g.Liquid.AlreadyOn(i)+s)
		}
		if g.OffBySeason(i) {
			count(&g.OverSeason, z, s)
		}
		if z.Treated() {
			g.Stabilizer.Widen(s, first)
			first = false
		}
	}
	if g.Volume = unit.Uptake(g.Loading, a.Mass); g.Liquid.On == equip.OnBoom {
		g.Volume = unit.VolumeOver(g.Liquid.Intended, p.DryArea())
	}
	if treated := p.TreatedArea(); treated > 0 {
		g.MeanRate = unit.LiquidRate(float64(g.Volume) / float64(treated))
	}
}

// seasonOf is what all passes of a season may add up to by a liquid's label.
func seasonOf(l rx.JobLiquid) (r rx.Range[unit.LiquidRate], limited bool) {
	if l.Label == nil {
		return r, false
	}
	r.Max, limited = l.Label.SeasonMax.Get()
	return r, limited
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

// What is odd in the texts that people enter. What could not be told from a slip is in
// doubt: the verdicts would be of another label.
var (
	labelDoubt = rx.NewRule[oddFigure]("label-figures", rx.AboutLabel, rx.EveryPlan).InDoubt()
	labelOdd   = rx.NewRule[oddFigure]("label-profile", rx.AboutLabel, rx.EveryPlan)
	jobOdd     = rx.NewRule[oddFigure]("job-file", rx.AboutEquipment, ofItsMachine)
)

// ofItsMachine leaves what is odd at the boom to the plans that drive it: all others spread dry alone.
func ofItsMachine(d oddFigure, w rx.Work) bool {
	return !strings.HasPrefix(d.Key, "boom.") || rx.LiquidPlans(d, w)
}

// oddFigure is what a text says, and what is odd in it.
type oddFigure struct{ Key, Says string }

func findLabelDoubts(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return oddFigures(labelDoubt, a.Terms.OddLabel, func(p label.Problem) bool { return p.Doubt })
}

func findLabelOdd(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return oddFigures(labelOdd, a.Terms.OddLabel, func(p label.Problem) bool { return !p.Doubt })
}

// findJobOdd leaves out what rules of their own find.
func findJobOdd(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return oddFigures(jobOdd, a.Terms.OddJob, func(p label.Problem) bool {
		return p.Rule != analysis.Rule() && p.Rule != patternCV.Rule()
	})
}

func oddFigures(rule rx.Rule[oddFigure], problems []label.Problem, keep func(label.Problem) bool) (out []rx.Finding) {
	for _, p := range problems {
		if !keep(p) {
			continue
		}
		f := rule.Find(p.Severity, oddFigure{p.Key, p.Text})
		f.Field = p.Key
		out = append(out, f)
	}
	return out
}
