package check

import (
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What the label says of impregnated dry and of its loading, held against the blend as it
// is. Ways keep to it by themselves.
var (
	leastDryRate = rx.NewRule[lessDry]("min-dry-rate", rx.AboutLabel, rx.NoPlan)
	mostLiquid   = rx.NewRule[moreLiquid]("max-liquid", rx.AboutLabel, rx.NoPlan)
	loadingRange = rx.NewRule[offLoading]("loading-range", rx.AboutLabel, rx.NoPlan)
)

// lessDry is a dry rate too small to carry the stabilizer evenly.
type lessDry struct{ Lowest, Least unit.DryRate }

var leastDryLimit = stated(func(l *label.Profile) label.Known[unit.DryRate] { return l.MinDryRate }, "the label profile gives no smallest impregnated dry rate")

// findLeastDryRate finds zones whose dry rate is too small to carry the stabilizer
// evenly, as the label says.
func findLeastDryRate(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	least, _ := a.Terms.Label.MinDryRate.Get()
	want := rx.Range[unit.DryRate]{Min: least}
	short := func(i int) bool { return p.Zones[i].Treated() && want.Under(p.Zones[i].Carrier) }
	lowest := least
	for i, z := range p.Zones {
		if short(i) {
			lowest = min(lowest, z.Carrier)
		}
	}
	return selected(leastDryRate.Find(rx.Error, lessDry{lowest, least}), p, short)
}

// moreLiquid is more than a ton takes up.
type moreLiquid struct {
	Loading unit.Loading
	Further unit.Loading // of a liquid that is impregnated beside the stabilizer; 0 if none
	Name    string       // of that liquid
	All     unit.Loading
	Limit   unit.Loading
}

var mostLiquidLimit = stated(func(l *label.Profile) label.Known[unit.Loading] { return l.MaxLiquid }, "the label profile gives no most liquid a ton")

// findMostLiquid holds the loading, and the further liquid that is impregnated beside it,
// against what a ton takes up.
func findMostLiquid(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	most, _ := a.Terms.Label.MaxLiquid.Get()
	d := moreLiquid{Loading: a.Loading, Further: a.Terms.FurtherLoading(), Limit: most}
	d.All = d.Loading + d.Further
	if a.Loading == 0 || !(rx.Range[unit.Loading]{Max: most}).Over(d.All) {
		return nil
	}
	if d.Further > 0 {
		d.Name = a.Terms.Job.SecondLiquid.Name
	}
	f := mostLiquid.Find(rx.Error, d)
	f.Area = p.TreatedArea()
	return []rx.Finding{f}
}

// offLoading is a loading outside the label's own range per ton.
type offLoading struct {
	Loading unit.Loading
	Range   rx.Range[unit.Loading]
}

var loadingLimits = stated(func(l *label.Profile) label.Known[label.Range[unit.Loading]] { return l.Loading }, "the label profile states no rate per ton")

func findLoadingRange(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	per, _ := a.Terms.Label.Loading.Get()
	r := rx.Range[unit.Loading](per)
	if a.Loading == 0 || r.Contains(a.Loading) {
		return nil
	}
	f := loadingRange.Find(rx.Error, offLoading{a.Loading, r})
	f.Area = p.TreatedArea()
	return []rx.Finding{f}
}
