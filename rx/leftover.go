package rx

import (
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Redosed returns what is added to each of so many batches of left-over blend, so that it has the loadings of
// a load: untreated dry, by A' = A·u/(u + t), where it came back with more; liquid, (A″ − A)·u, where
// with less. Dry is that of the left-over blend in a batch, and window is of the stabilizer's
// loadings that keep those on label who get it: what a scale and a meter read is kept inside.
func (t Terms) Redosed(l Load, left Load, dry unit.Mass, count int, window Range[unit.Loading]) Portion {
	step := equip.ScaleStep(t.Units)
	one := Portion{Count: count}
	if more := left.Loading/l.Loading - 1; more > 0 {
		one.Dry = unit.Mass(unit.Mass(math.Floor(float64(dry*unit.Mass(more)/step))) * step)
		if !window.Contains(left.Loading * unit.Loading(dry/(dry+one.Dry))) {
			one.Dry += step
		}
	}
	if len(l.Materials) > 0 {
		one.Materials = l.Materials.Weigh(one.Dry, step)
	}
	windows, _ := t.For(l).anyLoading().Windows(l.Rates, 0)
	had, want := left.Loadings(), l.Loadings()
	for k, liquid := range t.onBlend()[:len(want)] {
		in, keeps := unit.Uptake(had[k], dry), func(unit.Loading) bool { return true }
		if k == 0 {
			keeps = window.Contains
		} else if windows != nil {
			keeps = windows[k].Contains
		}
		allowed := func(v unit.Volume) bool { return keeps(loadingOf(in+v, dry+one.Dry)) }
		dose := Metered{}
		if lacks := unit.Uptake(want[k], dry+one.Dry) - in; lacks > equip.MeterStep(t.Units)/2 || lacks > 0 && !allowed(0) {
			dose.Liquid = equip.Metered(lacks, equip.MeterStep(t.Units), allowed)
		}
		per, _ := liquid.AgentPerLiquid()
		dose.Agent = t.weighAgent(unit.LiquidWeight(dose.Liquid, per))
		if k == 0 {
			one.Liquid, one.Agent = dose.Liquid, dose.Agent
		} else {
			one.Further = append(one.Further, dose)
		}
	}
	return one
}

// Hold returns the longest that treated blend may wait from blending to spreading, by the labels of all
// liquids on it that say so.
func (t Terms) Hold() (hold unit.Time, known bool) {
	for _, l := range t.onBlend() {
		if l.Label == nil {
			continue
		}
		if own, ok := l.Label.Hold.Get(); ok && (!known || own < hold) {
			hold, known = own, true
		}
	}
	return hold, known
}
