package check

import (
	"slices"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// offLabel is what zones off the label range would get.
type offLabel struct {
	Name       string // of a further liquid; empty for the stabilizer
	Blend      bool   // it goes on the blend, not on by the boom
	Rates      rx.Range[unit.LiquidRate]
	Limit      unit.LiquidRate // the end of the label that they are beyond
	Registered bool            // so that the sentence that 40 CFR 156.10(i)(2)(ii) requires on pesticide labels is told
	Forbidden  bool            // by the label, to go below its range
	Unsaid     bool            // whether the label forbids that
}

// The verdicts of a pass. They tell of the blend as it is, which a plan is there to mend.
var (
	above = rx.NewRule[offLabel]("above", rx.AboutLabel, rx.NoPlan).InDecision()
	below = rx.NewRule[offLabel]("below", rx.AboutLabel, rx.NoPlan).InDecision()
	tight = rx.NewRule[tightRates]("tight", rx.AboutLabel, rx.NoPlan).InDecision()

	// noRate is a zone whose record has no rate.
	noRate = rx.NewRule[rx.Nothing]("no-rate", rx.AboutFile, rx.EveryPlan)
	// noDry is a zone with rate 0: no application there, so no label rate.
	noDry = rx.NewRule[noCarrier]("no-dry", rx.AboutFile, rx.EveryPlan)

	seasonMax = rx.NewRule[overSeason]("season-max", rx.AboutLabel, rx.NoPlan).InDecision()

	// soFar is what a layer or a log was taken to say of the season. It is told with seasonMax.
	soFar = rx.NewRule[appliedSoFar]("season-so-far", rx.AboutFile, rx.EveryPlan)
)

// each gathers what is found of the stabilizer and of every further liquid.
func each(a *rx.Assessment, find func(*rx.Graded) []rx.Finding) (out []rx.Finding) {
	for _, g := range a.Liquids() {
		if g.Liquid.Label != nil {
			out = append(out, find(g)...)
		}
	}
	return out
}

// said is a need of something that the label of any liquid must say.
func said[T any](get func(*label.Profile) label.Known[T], why string) need {
	return func(_ *rx.Prescription, a *rx.Assessment) string {
		for _, g := range a.Liquids() {
			if g.Liquid.Label == nil {
				continue
			}
			if _, ok := get(g.Liquid.Label).Get(); ok {
				return ""
			}
		}
		return why
	}
}

func ofVerdict(g *rx.Graded, v rx.Verdict) func(int) bool {
	return func(i int) bool { return g.Verdicts[i] == v }
}

// findAbove finds zones that would get more than the label allows.
func findAbove(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return each(a, func(g *rx.Graded) []rx.Finding {
		f := above.Find(rx.Error, offLabel{Name: g.Liquid.Further(), Blend: g.Liquid.On != equip.OnBoom, Rates: g.Shares[rx.Above].Stabilizer, Limit: g.Range.Max, Registered: g.Liquid.Label.IsRegistered()})
		return selected(f, p, ofVerdict(g, rx.Above))
	})
}

// findBelow finds zones that would get less than the label range. FIFRA §2(ee)(1)
// does not count a lower dosage as misuse unless the labeling specifically
// prohibits deviation, so it is an error only where the label forbids it.
func findBelow(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return each(a, func(g *rx.Graded) []rx.Finding {
		severity := rx.Warning
		if g.Liquid.Label.ForbidsBelow() {
			severity = rx.Error
		}
		f := below.Find(severity, offLabel{
			Name: g.Liquid.Further(), Blend: g.Liquid.On != equip.OnBoom, Rates: g.Shares[rx.Below].Stabilizer, Limit: g.Range.Min, Registered: g.Liquid.Label.IsRegistered(),
			Forbidden: severity == rx.Error, Unsaid: g.Liquid.Label.BelowLabel == label.Unsaid,
		})
		return selected(f, p, ofVerdict(g, rx.Below))
	})
}

// tightRates is the error with which zones leave the label.
type tightRates struct {
	Name      string // of a further liquid; empty for the stabilizer
	RateError unit.Ratio
	Assumed   bool // common practice, as nobody gave it
}

func rateError(_ *rx.Prescription, a *rx.Assessment) string {
	if a.Terms.RateError == 0 {
		return "the spreader's rate error is turned off (--rate-error 0)"
	}
	return ""
}

// findTight finds zones that are on label as prescribed, but not with the spreader's
// rate error. With one that is assumed that is merely worth knowing.
func findTight(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	severity := rx.Warning
	if a.Terms.RateErrorAssumed {
		severity = rx.Note
	}
	return each(a, func(g *rx.Graded) []rx.Finding {
		return selected(tight.Find(severity, tightRates{g.Liquid.Further(), a.Terms.RateError, a.Terms.RateErrorAssumed}), p, func(i int) bool { return g.Tight[i] })
	})
}

func findNoRate(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	f := noRate.Find(rx.Warning, rx.Nothing{})
	f.Field = p.Fields[0].Name
	return selected(f, p, ofVerdict(&a.Graded, rx.NoRate))
}

// noCarrier is the product that carries the stabilizer, where others are spread and it is not;
// empty where nothing is.
type noCarrier struct{ Product string }

func findNoDry(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	without := func(i int) bool { return a.Verdicts[i] == rx.NoDry }
	out := selected(noDry.Find(rx.Note, noCarrier{}), p, func(i int) bool { return without(i) && p.Zones[i].Dry == 0 })
	if at := p.CarrierField(); at >= 0 {
		out = append(out, selected(noDry.Find(rx.Note, noCarrier{p.Fields[at].Name}), p, func(i int) bool { return without(i) && p.Zones[i].Dry > 0 })...)
	}
	return out
}

// overSeason is what a season adds up to, where that is more than the label allows.
type overSeason struct {
	Name           string // of a further liquid; empty for the stabilizer
	Highest        unit.LiquidRate
	Limit          unit.LiquidRate
	AlreadyApplied unit.LiquidRate // where Highest is
	Registered     bool
	Full           int // zones that the season has no room for, where others have
}

var seasonLimit = said(func(p *label.Profile) label.Known[unit.LiquidRate] { return p.SeasonMax }, "the label profile gives no season maximum")

// findSeasonMax finds zones where this pass and what was applied before are together
// more than the label allows in a season. The verdict per pass stays.
func findSeasonMax(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return each(a, func(g *rx.Graded) []rx.Finding {
		most, _ := g.Liquid.Label.SeasonMax.Get()
		over := overSeason{Name: g.Liquid.Further(), Limit: most, Registered: g.Liquid.Label.IsRegistered()}
		if g == &a.Graded || g.Liquid.On == equip.OnBoom {
			over.Full = len(a.Terms.NoRoom)
		}
		for i, z := range p.Zones {
			had := g.Liquid.AlreadyOn(i)
			if sum := had + g.Rate(z); g.PassesSeason(i) && sum > over.Highest {
				over.Highest, over.AlreadyApplied = sum, had
			}
		}
		return append(selected(seasonMax.Find(rx.Error, over), p, g.PassesSeason), findSoFar(p, g)...)
	})
}

// appliedSoFar is what treated zones have had, each by its ground that counts.
type appliedSoFar struct {
	Name   string // of a further liquid; empty for the stabilizer
	Rates  rx.Range[unit.LiquidRate]
	Least  unit.LiquidRate // that the label allows in a pass
	Little bool
}

// littleApplied is by how much the most that any zone has is below the least of one pass for it to be in
// another unit, it seems: a pass that reached a part of the field alone is whole on that.
const littleApplied = 2.1

// findSoFar tells what lies on the zones where a file says it, which would be believed unseen.
func findSoFar(p *rx.Prescription, g *rx.Graded) []rx.Finding {
	if g.Liquid.Already == nil {
		return nil
	}
	label, _ := g.Liquid.Range()
	var had []unit.LiquidRate
	for i, z := range p.Zones {
		if z.Treated() {
			had = append(had, g.Liquid.AlreadyOn(i))
		}
	}
	if len(had) == 0 {
		return nil
	}
	f, severity := appliedSoFar{Name: g.Liquid.Further(), Least: label.Min, Rates: rx.Range[unit.LiquidRate]{Min: slices.Min(had), Max: slices.Max(had)}}, rx.Note
	if f.Little = f.Rates.Max < label.Min/littleApplied; f.Little {
		severity = rx.Warning
	}
	return []rx.Finding{soFar.Find(severity, f)}
}
