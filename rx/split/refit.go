package split

import (
	"fmt"
	"math"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// refit changes the dry rates as little as possible, by acres, so that one
// loading serves them all: every rate is brought into [a, a·H/L] for the best a. The rates
// are the optimum; the loading then uses what room they leave.
func refit(t *Task) (solution, string) {
	b, why := t.bestBand()
	if why != "" {
		return solution{}, why
	}
	s := solution{Way: rx.Way{
		Passes: 1, NewRates: true,
		Why: fmt.Sprintf("rates brought into %s, then one loading of %s", dryText(b.rates(t.p), t.terms.Units), t.terms.LoadingText(b.load.Loading)),
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
		s.Why = fmt.Sprintf("no rate has to change: one loading of %s", t.terms.LoadingText(b.load.Loading))
	}
	load := b.load
	load.Mass, load.Area = mass, t.p.TreatedArea()
	s.Loads = []rx.Load{load}
	s.layers = []part{t.carried("dry", func(z, f int) unit.DryRate {
		if zone := t.p.Zones[z]; zone.Treated() {
			return t.carrierRate(z, f, b.clamp(zone.Carrier))
		}
		return t.p.FieldRate(z, f)
	}, load)}
	s.gets = func(z rx.Zone) (unit.DryRate, int) {
		if !z.Treated() {
			return 0, -1
		}
		return b.clamp(z.Carrier), 0
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
	load rx.Load // whose mass is counted by zones
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

// bestBand finds the band, or says why there is none. With a rate error, the band is as
// much narrower than the label as it takes for a meter to read a loading that leaves room
// for the error.
func (t *Task) bestBand() (band, string) {
	b, w, why := t.bandOf(1)
	if why != "" || t.margin() == 0 {
		return b, why
	}
	step := 0.0
	for k, l := range append([]unit.Loading{b.load.Loading}, b.load.Further...) {
		if !t.doses(k, l, w[k]) {
			step = max(step, float64(t.terms.Graduation()/w[k].Min))
		}
	}
	if step == 0 {
		return b, ""
	}
	const rounded = 1.001
	narrow, w, why := t.bandOf(unit.DryRate(1 - float64(step*rounded)))
	if why != "" {
		return b, ""
	}
	for k, l := range append([]unit.Loading{narrow.load.Loading}, narrow.load.Further...) {
		if !t.doses(k, l, w[k]) {
			return b, "" // something else leaves the meter no room
		}
	}
	return narrow, ""
}

// doses reports whether a meter reads the loading of a liquid, at k of the loadings, inside
// its window; what the plant has fixed it can dose.
func (t *Task) doses(k int, l unit.Loading, w rx.Range[unit.Loading]) bool {
	below, above := t.terms.Metered(l)
	return l == 0 || l == t.terms.Fixed(t.terms.Loading)[k] || below == above && w.Contains(l)
}

// bandOf finds the band whose ends are as far apart as the labels allow, times narrower.
func (t *Task) bandOf(narrower unit.DryRate) (band, windows, string) {
	limits, why := t.bandLimits(narrower)
	if why != "" {
		return band{}, nil, why
	}
	steps := t.steps()
	b := band{Range: limits.best(steps)}
	// The loading may use what room the new rates leave.
	fitted := make([]step, len(steps))
	for i, s := range steps {
		fitted[i] = step{b.clamp(s.rate), s.area}
	}
	dry, area, mass := span(fitted)
	w, why := t.window(dry)
	if w == nil {
		return band{}, nil, why
	}
	b.load = t.load(dry, w, area, mass)
	return b, w, ""
}

// bandLimits bounds the band of rates that one load serves: [a, a·ratio] for an a
// from floor to ceiling, as far as it lies in what may be impregnated.
type bandLimits struct {
	ratio          unit.DryRate           // of the band's ends
	floor, ceiling unit.DryRate           // of its lower end
	dry            rx.Range[unit.DryRate] // that may be impregnated at all
}

// bandLimits returns them from the labels' ranges, the smallest ratio of which counts, and
// from what they say on how to impregnate; those of a band that is times narrower begin and
// end where a meter reads.
func (t *Task) bandLimits(narrower unit.DryRate) (bandLimits, string) {
	ends, why := t.labelEnds()
	if why != "" {
		return bandLimits{}, why
	}
	for i, e := range ends {
		if read, some := t.terms.Inward(e.per); some && narrower < 1 {
			ends[i].per = read
		}
	}
	l := bandLimits{ratio: unit.DryRate(math.Inf(1)), ceiling: unit.DryRate(math.Inf(1)), dry: rx.Unbounded().Dry}
	for _, e := range ends {
		if e.low > 0 {
			l.ratio = min(l.ratio, e.ratio())
		}
		l.dry.Min, l.dry.Max = max(l.dry.Min, e.dry.Min), min(l.dry.Max, e.dry.Max)
	}
	if l.ratio *= narrower; narrower < 1 && l.ratio < 1 {
		return bandLimits{}, nothingLeft
	}
	for _, e := range ends {
		if e.low == 0 {
			continue
		}
		l.floor = max(l.floor, unit.DryRateFor(e.low, e.per.Max))
		if e.per.Min > 0 {
			// Its own band may be wider: that ends where this one does at its highest.
			l.ceiling = min(l.ceiling, unit.DryRateFor(e.low, e.per.Min)*(e.ratio()/l.ratio))
		}
	}
	floor, ok := t.floorOf(ends)
	l.floor = max(l.floor, floor/narrower)
	if top := min(l.ceiling*l.ratio, l.dry.Max); !ok || l.floor > top*(1+1e-12) || l.dry.Min > top {
		return bandLimits{}, nothingLeft
	}
	return l, ""
}

// labelEnds is what bounds one liquid: the ends of its label with the room for the
// spreader's rate error, both 0 without a label, and what it says on how to impregnate.
type labelEnds struct {
	low, high unit.LiquidRate
	per       rx.Range[unit.Loading]
	dry       rx.Range[unit.DryRate]
}

func (e labelEnds) ratio() unit.DryRate { return unit.DryRate(e.high / e.low) }

// labelEnds lists them for the stabilizer and the further liquids on the blend.
func (t *Task) labelEnds() (list []labelEnds, why string) {
	e := unit.LiquidRate(t.margin())
	stabilizer := t.terms.Stabilizer()
	stabilizer.Loading = 0 // a refit may have another
	for _, l := range append([]rx.JobLiquid{stabilizer}, t.terms.FurtherOn(equip.OnBlend)...) {
		bounds := l.Bounds()
		ends := labelEnds{per: bounds.Loading, dry: bounds.Dry}
		if l.Label != nil {
			pass, why := t.terms.Pass(l)
			if why != "" {
				return nil, why
			}
			ends.low, ends.high = pass.Min/(1-e), pass.Max/(1+e)
		}
		if l.Loading > 0 {
			if !ends.per.Contains(l.Loading) {
				return nil, nothingLeft
			}
			ends.per = rx.Range[unit.Loading]{Min: l.Loading, Max: l.Loading}
		}
		list = append(list, ends)
	}
	return list, ""
}

// floorOf returns the lowest end of a band at which the least loadings of all liquids,
// 2000·L/a or the least of their range per ton, are no more than a ton takes up; 0 where
// no label bounds that, ok is false where there is none.
func (t *Task) floorOf(ends []labelEnds) (a unit.DryRate, ok bool) {
	most, bounded := t.terms.MostLiquid()
	if !bounded {
		return 0, true
	}
	byRate := slices.Clone(ends) // whose least loading grows as a falls, so far as is known
	for {
		left, rates := most, unit.LiquidRate(0)
		for i, e := range ends {
			if byRate[i].low > 0 {
				rates += e.low
			} else {
				left -= e.per.Min
			}
		}
		if rates == 0 {
			return a, left >= -1e-9*most
		}
		if left <= 0 {
			return 0, false
		}
		a = unit.DryRateFor(rates, left)
		settled := true
		for i, e := range byRate {
			if e.low > 0 && unit.LoadingFor(e.low, a) < e.per.Min {
				byRate[i].low, settled = 0, false
			}
		}
		if settled {
			return a, true
		}
	}
}

// best returns the band that costs the least. Under the least rate a band is cut off,
// so that a higher one, which reaches further up, is never worse; above the most rate it is
// cut off, and a lower one is never worse: where both leave no whole band, what they leave
// is the best.
func (l bandLimits) best(steps []step) rx.Range[unit.DryRate] {
	low, high, top := max(l.floor, l.dry.Min), l.ceiling, min(l.ceiling*l.ratio, l.dry.Max)
	if most := l.dry.Max; most < rx.Unbounded().Dry.Max {
		high = min(high, most/l.ratio)
	}
	if low > high {
		return rx.Range[unit.DryRate]{Min: low, Max: top}
	}
	bottom := bestBottom(steps, l.ratio, low, high)
	return rx.Range[unit.DryRate]{Min: bottom, Max: min(bottom*l.ratio, top)}
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
func (t *Task) refitNote(b band, w rx.Way) rx.Finding {
	f := refitted.Find(rx.Note, newRates{w.DryAdded, w.DryRemoved})
	f.Zones, f.Area = t.leftOff(func(r unit.DryRate) bool { return b.clamp(r) == r })
	return f
}
