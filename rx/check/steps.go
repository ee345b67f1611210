package check

import (
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

var rateSteps = rx.NewRule[steps]("rate-steps", rx.AboutEquipment, rx.EveryPlan)

// steps is how finely a prescription steps from one dry rate to the next.
type steps struct {
	Product           string // empty if there is one only
	Rates             int
	Smallest, Largest step
	Even              bool // all are of one size
	Fine              int  // steps finer than the spreader's rate error
	Steps             int
	RateError         unit.Ratio
}

// step is from one rate to the next.
type step struct {
	By, From, To unit.DryRate
	Apart        bool // by enough to read as two rates in four digits
}

// findRateSteps tells how finely a prescription steps from one dry rate to the next, and
// whether the spreader can tell those rates apart: a step is finer than that if it
// is smaller than the rate error at the higher of its two rates.
func findRateSteps(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
	var out []rx.Finding
	for _, product := range products(p) {
		d := steps{Product: product.field}
		if !a.Terms.RateErrorAssumed {
			d.RateError = a.Terms.RateError
		}
		if d.measure(distinctRates(p, product)) {
			f := rateSteps.Find(rx.Note, d)
			f.Field = product.field
			out = append(out, f)
		}
	}
	return out
}

// measure looks at the steps between rates, ascending; false if there are none.
func (d *steps) measure(rates []unit.DryRate) bool {
	for i := 1; i < len(rates); i++ {
		by := rates[i] - rates[i-1]
		s := step{by, rates[i-1], rates[i], by > rates[i]/1000}
		if i == 1 || s.By < d.Smallest.By*(1-1e-9) {
			d.Smallest = s
		}
		if i == 1 || s.By > d.Largest.By*(1+1e-9) {
			d.Largest = s
		}
		if s.By < unit.DryRate(d.RateError)*s.To*(1-1e-9) {
			d.Fine++
		}
	}
	d.Rates, d.Steps = len(rates), len(rates)-1
	d.Even = d.Largest.By <= d.Smallest.By*(1+1e-9)
	return d.Steps > 0
}

// distinctRates lists the positive rates of a product, ascending; those that differ by
// rounding only are one.
func distinctRates(p *rx.Prescription, product product) []unit.DryRate {
	var rates []unit.DryRate
	for i := range p.Zones {
		if rate := product.rate(i); rate > 0 {
			rates = append(rates, rate)
		}
	}
	slices.Sort(rates)
	return slices.CompactFunc(rates, func(x, y unit.DryRate) bool { return max(x-y, y-x) <= 1e-9*x })
}
