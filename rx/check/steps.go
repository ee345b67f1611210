package check

import (
	"fmt"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// rateSteps tells how finely a prescription steps from one dry rate to the next, and
// whether the spreader can tell those rates apart: a step is finer than that if it
// is smaller than the rate error at the higher of its two rates.
func rateSteps() Rule {
	return Rule{
		Name: "rate-steps",
		Skip: noSpreader,
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			var out []rx.Finding
			for _, product := range products(p) {
				if f, ok := stepsOf(p, a, product); ok {
					out = append(out, f)
				}
			}
			return out
		},
	}
}

func stepsOf(p *rx.Prescription, a *rx.Assessment, product product) (rx.Finding, bool) {
	rates := distinctRates(p, product)
	if len(rates) < 2 {
		return rx.Finding{}, false
	}
	fine := 0
	smallest, largest := 1, 1 // a step is known by the rate at its upper end
	step := func(i int) unit.DryRate { return rates[i] - rates[i-1] }
	for i := 1; i < len(rates); i++ {
		if step(i) < step(smallest)*(1-1e-9) {
			smallest = i
		}
		if step(i) > step(largest)*(1+1e-9) {
			largest = i
		}
		if step(i) < unit.DryRate(a.Terms.RateError)*rates[i]*(1-1e-9) {
			fine++
		}
	}
	u := a.Terms.Units
	tell := func(i int) string {
		return fmt.Sprintf("%s (%s to %s)", step(i).Brief(u), rates[i-1].Brief(u), rates[i].Brief(u))
	}
	f := rx.Finding{
		Rule: "rate-steps", Severity: rx.Note, About: rx.AboutEquipment, Field: product.field, Got: step(smallest).Brief(u),
		Text: fmt.Sprintf("%d dry rates; the smallest step from one to the next is %s, the largest %s.", len(rates), tell(smallest), tell(largest)),
	}
	if product.field != "" {
		f.Text = product.field + ": " + f.Text
	}
	if fine > 0 {
		f.Want = fmt.Sprintf("more than ±%s of the rate", a.Terms.RateError)
		f.Text += fmt.Sprintf(" %d of %d steps are finer than the spreader's rate error there, ±%s: the machine can't tell such rates apart.", fine, len(rates)-1, a.Terms.RateError)
	}
	return f, true
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
