package split

import (
	"fmt"
	"math"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// refit changes the dry rates as little as possible, by acres, so that one
// loading serves them all: every rate is brought into [a, a·H/L] for the best a.
func refit(t *task) (solution, string) {
	b, why := t.bestBand()
	if why != "" {
		return solution{}, why
	}
	s := solution{Way: rx.Way{
		Passes: 1, NewRates: true,
		Why: fmt.Sprintf("rates brought into %s, then one loading of %s", dryText(b.rates(t.p), t.terms.Units), t.terms.LoadingText(b.loading)),
	}}
	var mass unit.Mass
	for _, z := range t.p.Zones {
		if !z.Treated() {
			continue
		}
		now := b.clamp(z.Carrier)
		change := unit.MassOver(now-z.Carrier, z.Area)
		s.DryAdded += max(change, 0)
		s.DryRemoved += max(-change, 0)
		mass += unit.MassOver(now, z.Area)
	}
	if s.DryAdded == 0 && s.DryRemoved == 0 {
		s.Why = fmt.Sprintf("no rate has to change: one loading of %s", t.terms.LoadingText(b.loading))
	}
	load := rx.Load{Loading: b.loading, Mass: mass, Area: t.p.TreatedArea(), Rates: b.rates(t.p), Materials: t.impregnated()}
	s.Loads = []rx.Load{load}
	s.layers = []part{t.carried("dry", func(z, f int) unit.DryRate {
		if zone := t.p.Zones[z]; zone.Treated() {
			return t.carrierRate(z, f, b.clamp(zone.Carrier))
		}
		return t.p.FieldRate(z, f)
	}, load)}
	s.gets = func(z rx.Zone) unit.LiquidRate {
		if !z.Treated() {
			return 0
		}
		return unit.StabilizerRate(b.loading, b.clamp(z.Carrier))
	}
	s.more = func(plan *rx.Plan) error {
		plan.Findings = append(plan.Findings, t.refitNote(b, plan.Way))
		return nil
	}
	return s, ""
}

// band is the range of dry rates that a refit leaves.
type band struct {
	rx.Range[unit.DryRate]
	loading unit.Loading
}

// clamp brings a rate into the band. An end that was reckoned from a rate over the ratio
// misses that rate by its last bits: such a rate stays as it is.
func (b band) clamp(r unit.DryRate) unit.DryRate {
	const bits = 1e-12
	switch {
	case r < b.Min*(1-bits):
		return b.Min
	case r > b.Max*(1+bits):
		return b.Max
	}
	return r
}

// rates returns the carrier rates that a prescription has in the band.
func (b band) rates(p *rx.Prescription) rx.Range[unit.DryRate] {
	low, high, _ := p.CarrierRange()
	return rx.Range[unit.DryRate]{Min: b.clamp(low), Max: b.clamp(high)}
}

// bestBand finds the band, or says why there is none.
func (t *task) bestBand() (band, string) {
	limits, why := t.bandLimits()
	if why != "" {
		return band{}, why
	}
	steps := t.steps()
	b := band{Range: limits.best(steps)}
	// The loading may use what room the new rates leave.
	fitted := make([]step, len(steps))
	for i, s := range steps {
		fitted[i] = step{b.clamp(s.rate), s.area}
	}
	dry, area, mass := span(fitted)
	window, why := t.window(dry)
	if window == nil {
		return band{}, why
	}
	b.loading = t.loading(unit.DryRate(float64(mass)/float64(area)), dry, *window)
	return b, ""
}

// bandLimits bounds the band of rates that one loading serves: [a, a·ratio] for an a
// from floor to ceiling, as far as it lies above the least rate.
type bandLimits struct {
	ratio          unit.DryRate // of the band's ends
	floor, ceiling unit.DryRate // of its lower end
	least          unit.DryRate // that may be impregnated at all
}

// bandLimits returns them from the label's range and what it says on how to
// impregnate.
func (t *task) bandLimits() (bandLimits, string) {
	pass, why := t.terms.PassRange()
	if why != "" {
		return bandLimits{}, why
	}
	e := unit.LiquidRate(t.margin())
	low, high := pass.Min/(1-e), pass.Max/(1+e)
	l := bandLimits{ratio: unit.DryRate(high / low), ceiling: unit.DryRate(math.Inf(1))}
	if least, ok := t.terms.Label.MinDryRate.Get(); ok {
		l.least = least
	}
	if most, ok := t.terms.MostLoading(); ok {
		if most <= 0 {
			return bandLimits{}, nothingLeft
		}
		l.floor = unit.DryRateFor(low, most)
	}
	if per, ok := t.terms.Label.Loading.Get(); ok {
		l.floor = max(l.floor, unit.DryRateFor(low, per.Max))
		l.ceiling = unit.DryRateFor(low, per.Min)
	}
	if l.floor > l.ceiling || l.least > l.ceiling*l.ratio {
		return bandLimits{}, nothingLeft
	}
	return l, ""
}

// best returns the band that costs the least. Under the least rate a band is cut off,
// so that a higher one, which reaches further up, is never worse: where even the
// highest begins there, it is the best.
func (l bandLimits) best(steps []step) rx.Range[unit.DryRate] {
	if l.least > l.ceiling {
		return rx.Range[unit.DryRate]{Min: l.least, Max: l.ceiling * l.ratio}
	}
	bottom := bestBottom(steps, l.ratio, max(l.floor, l.least), l.ceiling)
	return rx.Range[unit.DryRate]{Min: bottom, Max: bottom * l.ratio}
}

const nothingLeft = "what the label says on how to impregnate leaves no dry rate"

// tied is the share of all dry by which costs may differ and still be equal: zones that are
// drawn alike have acres that differ by the hundred-millionth to which acres are known. Of
// equal costs the net changes are compared to their last figures: nothing beats no change.
const (
	tied     = 1e-8
	rounding = 1e-12
)

// bestBottom returns the lower end a, from floor to ceiling, of the band
// [a, a·ratio] that costs the least: Σ acres·(max(0, a−R) + max(0, R−a·ratio)).
// The cost is convex and piecewise linear in a, so that an optimum lies where a or
// a·ratio is one of the rates, or at a limit. Of equals, the one with the least
// net change, then the lowest. Steps are in the order of their rates.
func bestBottom(steps []step, ratio, floor, ceiling unit.DryRate) unit.DryRate {
	sums := newPrefix(steps)
	candidates := make([]unit.DryRate, 0, 2*len(steps)+2)
	for _, s := range steps {
		candidates = append(candidates, s.rate, s.rate/ratio)
	}
	candidates = append(candidates, floor, ceiling)
	slices.Sort(candidates)
	type bottom struct {
		a         unit.DryRate
		cost, net float64
	}
	var bottoms []bottom
	least := math.Inf(1)
	for _, a := range candidates {
		if !(a > 0) || a < floor || a > ceiling || math.IsInf(float64(a), 0) {
			continue
		}
		added, removed := sums.change(a, a*ratio)
		bottoms = append(bottoms, bottom{a, added + removed, math.Abs(added - removed)})
		least = min(least, added+removed)
	}
	all := float64(sums.mass[len(steps)])
	best := bottom{net: math.Inf(1)}
	for _, b := range bottoms {
		if b.cost <= least+float64(tied*all) && b.net < best.net-float64(rounding*all) {
			best = b
		}
	}
	return best.a
}

// prefix holds running sums over the steps, so that the cost of a band takes two
// searches.
type prefix struct {
	steps []step
	area  []unit.Area // of the steps before i
	mass  []unit.Mass
}

func newPrefix(steps []step) prefix {
	p := prefix{steps, make([]unit.Area, len(steps)+1), make([]unit.Mass, len(steps)+1)}
	for i, s := range steps {
		p.area[i+1] = p.area[i] + s.area
		p.mass[i+1] = p.mass[i] + unit.MassOver(s.rate, s.area)
	}
	return p
}

// below returns how many steps have a rate under r.
func (p prefix) below(r unit.DryRate) int {
	i, _ := slices.BinarySearchFunc(p.steps, r, func(s step, r unit.DryRate) int {
		if s.rate < r {
			return -1
		}
		return 1
	})
	return i
}

// change returns the pounds that bringing all rates into [low, high] adds and
// removes.
func (p prefix) change(low, high unit.DryRate) (added, removed float64) {
	i, j, n := p.below(low), p.below(high), len(p.steps)
	added = float64(unit.MassOver(low, p.area[i]) - p.mass[i])
	removed = float64(p.mass[n] - p.mass[j] - unit.MassOver(high, p.area[n]-p.area[j]))
	return max(added, 0), max(removed, 0)
}

var refitted = rx.NewRule[newRates]("refit", rx.AboutPlan, rx.EveryPlan)

// newRates is the dry that other rates than prescribed add and remove.
type newRates struct{ Added, Removed unit.Mass }

// refitNote tells where the rates changed.
func (t *task) refitNote(b band, w rx.Way) rx.Finding {
	f := refitted.Find(rx.Note, newRates{w.DryAdded, w.DryRemoved})
	f.Zones, f.Area = t.leftOff(func(r unit.DryRate) bool { return b.clamp(r) == r })
	return f
}
