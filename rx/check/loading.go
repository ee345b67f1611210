package check

import (
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// What the label says of impregnated dry and of its loading, held against the blend as it
// is. Ways keep to it by themselves.
var (
	leastDryRate = rx.NewRule[lessDry]("min-dry-rate", rx.AboutLabel, rx.NoPlan)
	mostDryRate  = rx.NewRule[moreDry]("max-dry-rate", rx.AboutLabel, rx.NoPlan)
	mostLiquid   = rx.NewRule[moreLiquid]("max-liquid", rx.AboutLabel, rx.NoPlan)
	loadingRange = rx.NewRule[offLoading]("loading-range", rx.AboutLabel, rx.NoPlan)
)

// lessDry is a dry rate too small to carry the liquid evenly.
type lessDry struct {
	Name          string // of a further liquid; empty for the stabilizer
	Lowest, Least unit.DryRate
	Says          string // what the least is
}

// moreDry is a dry rate that the label doesn't let be impregnated as too high.
type moreDry struct {
	Name          string // of a further liquid; empty for the stabilizer
	Highest, Most unit.DryRate
	Says          string // what the most is
}

// bounded is a need of a bound on how to impregnate that the label of any liquid states.
func bounded[B comparable](by func(rx.Bounds) B, why string) need {
	return func(_ *rx.Prescription, a *rx.Assessment) string {
		for _, g := range a.Liquids() {
			if by(g.Liquid.Bounds()) != by(rx.Unbounded()) {
				return ""
			}
		}
		return why
	}
}

var (
	dryLimits       = bounded(func(b rx.Bounds) rx.Range[unit.DryRate] { return b.Dry }, "the label profile names no limit on impregnated dry rates")
	mostLiquidLimit = bounded(func(b rx.Bounds) unit.Loading { return b.MostLiquid }, "the label profile gives no most liquid a ton")
	loadingLimits   = bounded(func(b rx.Bounds) rx.Range[unit.Loading] { return b.Loading }, "the label profile states no rate per ton")
)

// onBlend is [each] for what is impregnated.
func onBlend(a *rx.Assessment, find func(*rx.Graded) []rx.Finding) []rx.Finding {
	return each(a, func(g *rx.Graded) []rx.Finding {
		if g.Liquid.On == equip.OnBoom {
			return nil
		}
		return find(g)
	})
}

// findDryRate finds zones whose dry rate is too small to carry a liquid evenly, as its label
// says, or higher than it lets be impregnated.
func findDryRate(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return onBlend(a, func(g *rx.Graded) (out []rx.Finding) {
		for limit, b := range g.Liquid.HowTos {
			ends := b.Dry // and the rates farthest beyond them
			short := func(i int) bool { return p.Zones[i].Treated() && b.Dry.Under(p.Zones[i].Carrier) }
			over := func(i int) bool { return p.Zones[i].Treated() && b.Dry.Over(p.Zones[i].Carrier) }
			for i, z := range p.Zones {
				if short(i) || over(i) {
					ends.Widen(z.Carrier, false)
				}
			}
			out = append(out, selected(leastDryRate.Find(rx.Error, lessDry{g.Liquid.Further(), ends.Min, b.Dry.Min, limit.Says}), p, short)...)
			out = append(out, selected(mostDryRate.Find(rx.Error, moreDry{g.Liquid.Further(), ends.Max, b.Dry.Max, limit.Says}), p, over)...)
		}
		return out
	})
}

// moreLiquid is more than a ton takes up.
type moreLiquid struct {
	Loading unit.Loading
	Further unit.Loading // of what is impregnated beside the stabilizer; 0 if nothing is
	Names   []string     // of that
	All     unit.Loading
	Limit   unit.Loading
}

// findMostLiquid holds the loading, and those of the further liquids that are impregnated
// beside it, against what a ton takes up.
func findMostLiquid(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	most, bounded := a.Terms.MostLiquid()
	d := moreLiquid{Loading: a.Loading, Limit: most}
	for _, g := range a.Further {
		if g.Loading > 0 {
			d.Further, d.Names = d.Further+g.Loading, append(d.Names, g.Liquid.Name)
		}
	}
	d.All = d.Loading + d.Further
	if !bounded || a.Loading == 0 || !(rx.Range[unit.Loading]{Max: most}).Over(d.All) {
		return nil
	}
	f := mostLiquid.Find(rx.Error, d)
	f.Area = p.TreatedArea()
	return []rx.Finding{f}
}

// offLoading is a loading outside what the label says of a ton.
type offLoading struct {
	Name    string // of a further liquid; empty for the stabilizer
	Loading unit.Loading
	Range   rx.Range[unit.Loading] // where both ends are stated
	Least   unit.Loading           // where it alone is
	Most    unit.Loading           // likewise
	Says    string                 // what they are
}

func findLoadingRange(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return onBlend(a, func(g *rx.Graded) (out []rx.Finding) {
		for limit, b := range g.Liquid.HowTos {
			if g.Loading == 0 || b.Loading.Contains(g.Loading) {
				continue
			}
			d := offLoading{Name: g.Liquid.Further(), Loading: g.Loading, Says: limit.Says}
			switch {
			case b.Loading.Min == 0:
				d.Most = b.Loading.Max
			case b.Loading.Max == rx.Unbounded().Loading.Max:
				d.Least = b.Loading.Min
			default:
				d.Range = b.Loading
			}
			f := loadingRange.Find(rx.Error, d)
			f.Area = p.TreatedArea()
			out = append(out, f)
		}
		return out
	})
}

// What is found of further liquids alone.
var (
	notGraded = rx.NewRule[ungraded]("not-graded/as one blend", rx.AboutLabel, rx.EveryPlan)
	tankMix   = rx.NewRule[mixed]("tank-mix", rx.AboutLabel, rx.LiquidPlans)
)

// furtherRules are the rules of a job that has further liquids.
func furtherRules() []rule {
	return []rule{{notGraded.Kind, nil, findNotGraded}, {tankMix.Kind, nil, findTankMix}}
}

// ungraded is what lands of a liquid that nobody gave a label for.
type ungraded struct {
	Name    string
	Loading unit.Loading // 0 for the boom's tank
	Rates   rx.Range[unit.LiquidRate]
}

func findNotGraded(p *rx.Prescription, a *rx.Assessment) (out []rx.Finding) {
	for i := range a.Further {
		g := &a.Further[i]
		f := notGraded.Find(rx.Warning, ungraded{g.Liquid.Name, g.Loading, g.Stabilizer})
		f.Area = g.Shares[rx.NotGraded].Area
		if g.Liquid.Label == nil && f.Area > 0 {
			out = append(out, f)
		}
	}
	return out
}

// mixed are liquids that are to go into one tank, and whose labels don't say that they may.
type mixed struct {
	Name   string
	Unsaid []string // whose labels say nothing of it, or that have none
}

// findTankMix tells of liquids for the boom's tank that a label neither allows nor forbids
// there. What a label forbids, the way refuses.
func findTankMix(_ *rx.Prescription, a *rx.Assessment) (out []rx.Finding) {
	for _, l := range a.Terms.FurtherOn(equip.OnBoom) {
		if may, unsaid := a.Terms.TankMix(l); may == label.Unsaid {
			out = append(out, tankMix.Find(rx.Warning, mixed{l.Name, unsaid}))
		}
	}
	return out
}
