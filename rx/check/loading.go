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
	mostLiquid   = rx.NewRule[moreLiquid]("max-liquid", rx.AboutLabel, rx.NoPlan)
	loadingRange = rx.NewRule[offLoading]("loading-range", rx.AboutLabel, rx.NoPlan)
)

// lessDry is a dry rate too small to carry the liquid evenly.
type lessDry struct {
	Name          string // of a further liquid; empty for the stabilizer
	Lowest, Least unit.DryRate
}

var leastDryLimit = said(func(p *label.Profile) label.Known[unit.DryRate] { return p.MinDryRate }, "the label profile gives no smallest impregnated dry rate")

// onBlend is [each] for what is impregnated.
func onBlend(a *rx.Assessment, find func(*rx.Graded) []rx.Finding) []rx.Finding {
	return each(a, func(g *rx.Graded) []rx.Finding {
		if g.Liquid.On == equip.OnBoom {
			return nil
		}
		return find(g)
	})
}

// findLeastDryRate finds zones whose dry rate is too small to carry a liquid
// evenly, as its label says.
func findLeastDryRate(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return onBlend(a, func(g *rx.Graded) []rx.Finding {
		least, known := g.Liquid.Label.MinDryRate.Get()
		want := rx.Range[unit.DryRate]{Min: least}
		short := func(i int) bool { return known && p.Zones[i].Treated() && want.Under(p.Zones[i].Carrier) }
		lowest := least
		for i, z := range p.Zones {
			if short(i) {
				lowest = min(lowest, z.Carrier)
			}
		}
		return selected(leastDryRate.Find(rx.Error, lessDry{g.Liquid.Further(), lowest, least}), p, short)
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

var mostLiquidLimit = said(func(p *label.Profile) label.Known[unit.Loading] { return p.MaxLiquid }, "the label profile gives no most liquid a ton")

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

// offLoading is a loading outside the label's own range per ton.
type offLoading struct {
	Name    string // of a further liquid; empty for the stabilizer
	Loading unit.Loading
	Range   rx.Range[unit.Loading]
}

var loadingLimits = said(func(p *label.Profile) label.Known[label.Range[unit.Loading]] { return p.Loading }, "the label profile states no rate per ton")

func findLoadingRange(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return onBlend(a, func(g *rx.Graded) []rx.Finding {
		per, stated := g.Liquid.Label.Loading.Get()
		r := rx.Range[unit.Loading](per)
		if !stated || g.Loading == 0 || r.Contains(g.Loading) {
			return nil
		}
		f := loadingRange.Find(rx.Error, offLoading{g.Liquid.Further(), g.Loading, r})
		f.Area = p.TreatedArea()
		return []rx.Finding{f}
	})
}
