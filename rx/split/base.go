package split

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// base impregnates a constant dry rate B, at most the lowest positive rate, and
// puts the rest on untreated, from a second bin or in a second pass: stabilizer is
// then constant without a wet boom. Where a product is spread at one flat rate
// already and the label allows it as a carrier, that product is the base.
type base struct{}

// footing is the base that was found.
type footing struct {
	rate    unit.DryRate // B
	loading unit.Loading
	field   int // the product that is flat already; -1 where a part of the blend is the base
}

func (base) solve(t *task) (footing, string) {
	if f, ok := t.flatProduct(); ok {
		return f, ""
	}
	steps := t.steps()
	var first string
	for _, s := range steps {
		window, why := t.window(rx.Range[unit.DryRate]{Min: s.rate, Max: s.rate})
		if window != nil {
			return footing{s.rate, t.loading(s.rate, rx.Range[unit.DryRate]{Min: s.rate, Max: s.rate}, *window), -1}, ""
		}
		if first == "" {
			first = why
		}
		if !t.terms.LeaveOff {
			break
		}
	}
	return footing{}, fmt.Sprintf("a base of %s, the lowest dry rate, can't be impregnated: %s", steps[0].rate.Brief(t.terms.Units), first)
}

// flatProduct finds a product, spread beside others, whose rate is the same in
// every zone that gets any dry.
func (t *task) flatProduct() (footing, bool) {
	if t.p.Blend() {
		return footing{}, false
	}
	for f := range t.p.Fields {
		rate, flat := unit.DryRate(0), true
		for z, zone := range t.p.Zones {
			if !(zone.Dry > 0) {
				continue
			}
			own := t.p.FieldRate(z, f)
			if rate == 0 {
				rate = own
			}
			flat = flat && own == rate && own > 0
		}
		if !flat || rate == 0 || !t.allowedCarrier(f) {
			continue
		}
		if window, _ := t.window(rx.Range[unit.DryRate]{Min: rate, Max: rate}); window != nil {
			return footing{rate, t.loading(rate, rx.Range[unit.DryRate]{Min: rate, Max: rate}, *window), f}, true
		}
	}
	return footing{}, false
}

// allowedCarrier reports whether the label allows the product of a field as a
// carrier. It takes the job's materials, one a rate field in their order; where
// they are not given, nothing is known and nothing is allowed.
func (t *task) allowedCarrier(f int) bool {
	materials := t.terms.Materials()
	if len(materials) != len(t.p.Fields) {
		return false
	}
	return t.terms.Label.Carriers.Of(materials[f].Name) == label.Allowed
}

func (m base) judge(t *task) rx.Way {
	f, why := m.solve(t)
	if why != "" {
		return rx.Way{Why: why}
	}
	s := unit.StabilizerRate(f.loading, f.rate)
	w := rx.Way{
		Possible: true, Loads: 1, Passes: t.basePasses(), Loadings: []unit.Loading{f.loading},
		Rate: rx.Range[unit.LiquidRate]{Min: s, Max: s},
	}
	if f.field >= 0 {
		w.Stabilizer = f.loading.Of(f.rate.Over(t.dryArea()))
		w.Why = fmt.Sprintf("%s goes on at a flat %s already: impregnate that at %s", t.p.Fields[f.field].Name, f.rate.Brief(t.terms.Units), t.terms.LoadingText(f.loading))
		return w
	}
	w.LeftZones, w.LeftOff = t.leftOff(func(r unit.DryRate) bool { return r >= f.rate })
	if need := t.topUpNeeds(f); need != "" {
		w.Needs = append(w.Needs, need)
	}
	w.Stabilizer = f.loading.Of(f.rate.Over(t.p.TreatedArea() - w.LeftOff))
	w.Why = fmt.Sprintf("base of %s at %s puts %s everywhere, untreated top-up to the prescribed rate", f.rate.Brief(t.terms.Units), t.terms.LoadingText(f.loading), s.Brief(t.terms.Units))
	return w
}

// topUpNeeds says what a spreader must do for the smallest top-up, if the job's
// can't.
func (t *task) topUpNeeds(f footing) string {
	if t.terms.Job == nil || t.terms.Job.Spreader == nil {
		return ""
	}
	limits, ok := t.terms.Job.Spreader.Rates.Get()
	for _, s := range t.steps() {
		if top := s.rate - f.rate; ok && top > 0 && top < limits.Min {
			return fmt.Sprintf("a spreader that meters a top-up of %s", top.Brief(t.terms.Units))
		}
	}
	return ""
}

// basePasses is 1 where the spreader has two bins, else 2.
func (t *task) basePasses() int {
	if t.terms.Job != nil && t.terms.Job.Spreader != nil && t.terms.Job.Spreader.TwoBins() {
		return 1
	}
	return 2
}

func (m base) plan(t *task, w rx.Way) (*rx.Plan, error) {
	f, _ := m.solve(t)
	if f.field >= 0 {
		return t.flatPlan(f), nil
	}
	onBase := func(z rx.Zone) bool { return z.Treated() && z.Carrier >= f.rate }
	bottom := t.dryLayer("dry-base", func(z, i int) unit.DryRate {
		if !onBase(t.p.Zones[z]) || !t.isCarrier(i) {
			return 0
		}
		return t.carrierRate(z, i, f.rate)
	})
	top := t.dryLayer("dry-topup", func(z, i int) unit.DryRate {
		own := t.p.FieldRate(z, i)
		if !onBase(t.p.Zones[z]) || !t.isCarrier(i) {
			return own
		}
		return own - t.carrierRate(z, i, f.rate)
	})
	t.treat(&bottom, f.loading, bottom.Mass, t.p.CarrierField())
	plan := &rx.Plan{Layers: []rx.Layer{bottom, top}}
	plan.Stabilizer = t.stabilizer(func(z rx.Zone) (unit.Loading, unit.DryRate) {
		if !onBase(z) {
			return 0, 0
		}
		return f.loading, f.rate
	})
	return plan, nil
}

// isCarrier reports whether field f is, or is part of, what is impregnated.
func (t *task) isCarrier(f int) bool { return t.p.Blend() || t.p.Fields[f].Carrier }

// flatPlan impregnates the product that is flat and leaves the others as they are.
func (t *task) flatPlan(flat footing) *rx.Plan {
	layer := func(name string, keep func(f int) bool) rx.Layer {
		return t.dryLayer(name, func(z, f int) unit.DryRate {
			if !keep(f) {
				return 0
			}
			return t.p.FieldRate(z, f)
		})
	}
	bottom := layer("dry-base", func(f int) bool { return f == flat.field })
	top := layer("dry-topup", func(f int) bool { return f != flat.field })
	t.treat(&bottom, flat.loading, bottom.Mass, flat.field)
	plan := &rx.Plan{Layers: []rx.Layer{bottom, top}, Stabilizer: make([]unit.LiquidRate, len(t.p.Zones))}
	for i, z := range t.p.Zones {
		if z.Dry > 0 {
			plan.Stabilizer[i] = unit.StabilizerRate(flat.loading, flat.rate)
		}
	}
	return plan
}
