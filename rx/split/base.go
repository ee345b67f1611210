package split

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// base impregnates a constant dry rate B, at most the lowest positive rate, and
// puts the rest on untreated, from a second bin or in a second pass: stabilizer is
// then constant without a wet boom. Where a product is spread at one flat rate
// already and the label allows it as a carrier, that product is the base.
func base(t *Task) (solution, string) {
	if f, ok := t.flatProduct(); ok {
		return t.flatBase(f), ""
	}
	f, why := t.footing()
	if why != "" {
		return solution{}, why
	}
	puts := unit.StabilizerRate(f.load.Loading, f.rate)
	s := solution{Way: rx.Way{
		Passes: t.basePasses(), Stacked: true,
	}}
	where := "everywhere"
	if s.LeftZones, s.LeftOff = t.leftOff(func(r unit.DryRate) bool { return r >= f.rate }); len(s.LeftZones) > 0 {
		where = "everywhere but where less dry is prescribed"
	}
	s.Why = fmt.Sprintf("base of %s at %s puts %s %s, untreated top-up to the prescribed rate", f.rate.Brief(t.terms.Units), t.terms.LoadingText(f.load.Loading), puts.Brief(t.terms.Units), where)
	s.Loads = []rx.Load{f.on(t.p.TreatedArea()-s.LeftOff, t.impregnated())}
	onBase := func(z rx.Zone) bool { return z.Treated() && z.Carrier >= f.rate }
	bottom := func(z, i int) unit.DryRate {
		if !onBase(t.p.Zones[z]) || !t.isCarrier(i) {
			return 0
		}
		return t.carrierRate(z, i, f.rate)
	}
	s.layers = []part{
		{name: "dry-base", rate: bottom, load: &s.Loads[0], field: t.p.CarrierField()},
		{name: "dry-topup", rate: func(z, i int) unit.DryRate { return t.p.FieldRate(z, i) - bottom(z, i) }},
	}
	s.gets = func(z rx.Zone) (unit.DryRate, int) {
		if !onBase(z) {
			return 0, -1
		}
		return f.rate, 0
	}
	return s, ""
}

// footing is the base that was found.
type footing struct {
	rate  unit.DryRate // B
	load  rx.Load      // its loadings
	field int          // of a product that is flat already
}

// on is the base as the blender takes it, for the ground that gets it.
func (f footing) on(area unit.Area, materials equip.Blend) rx.Load {
	f.load.Mass, f.load.Area, f.load.Materials = unit.MassOver(f.rate, area), area, materials
	return f.load
}

// at tries a base of a rate.
func (t *Task) at(rate unit.DryRate, field int) (f footing, why string) {
	dry := rx.Range[unit.DryRate]{Min: rate, Max: rate}
	w, why := t.window(dry)
	if w == nil {
		return f, why
	}
	return footing{rate, t.load(dry, w, 1, unit.MassOver(rate, 1)), field}, ""
}

// footing finds the lowest dry rate that can be impregnated; where no zone may be left
// off it is the lowest of all, or says why that can't be.
func (t *Task) footing() (footing, string) {
	steps := t.steps()
	var first string
	for _, s := range steps {
		f, why := t.at(s.rate, 0)
		if why == "" {
			return f, ""
		}
		if first == "" {
			first = why
		}
		if !t.terms.LeaveOff {
			break
		}
	}
	return footing{}, fmt.Sprintf("a base of %s (the lowest dry rate, on %s) can't be impregnated: %s", steps[0].rate.Brief(t.terms.Units), tell.Ground(steps[0].area, t.terms.Units), first)
}

// flatProduct finds a product, spread beside others, whose rate is the same in
// every zone that gets any dry.
func (t *Task) flatProduct() (footing, bool) {
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
		if base, why := t.at(rate, f); why == "" {
			return base, true
		}
	}
	return footing{}, false
}

// allowedCarrier reports whether every label allows the product of a field as a
// carrier. It takes the job's materials, one a rate field in their order; where
// they are not given, nothing is known and nothing is allowed.
func (t *Task) allowedCarrier(f int) bool {
	materials := t.terms.Materials()
	if len(materials) != len(t.p.Fields) {
		return false
	}
	for _, l := range append(t.terms.FurtherOn(equip.OnBlend), t.terms.Stabilizer()) {
		if l.Label != nil && l.Label.Carriers.Of(materials[f].Name) != label.Allowed {
			return false
		}
	}
	return true
}

// basePasses is 1 where the spreader has two bins, else 2.
func (t *Task) basePasses() int {
	if t.terms.Job != nil && t.terms.Job.Spreader != nil && t.terms.Job.Spreader.TwoBins() {
		return 1
	}
	return 2
}

// isCarrier reports whether field f is, or is part of, what is impregnated.
func (t *Task) isCarrier(f int) bool { return t.p.Blend() || t.p.Fields[f].Carrier }

// flatBase impregnates the product that is flat and leaves the others as they are.
func (t *Task) flatBase(flat footing) solution {
	of := func(keep func(f int) bool) func(z, f int) unit.DryRate {
		return func(z, f int) unit.DryRate {
			if !keep(f) {
				return 0
			}
			return t.p.FieldRate(z, f)
		}
	}
	load := flat.on(t.p.DryArea(), t.terms.MaterialsOf(t.p, flat.field))
	return solution{
		Way: rx.Way{
			Passes: t.basePasses(), Stacked: true, Loads: []rx.Load{load},
			Why: fmt.Sprintf("%s goes on at a flat %s already: impregnate that at %s", t.p.Fields[flat.field].Name, flat.rate.Brief(t.terms.Units), t.terms.LoadingText(load.Loading)),
		},
		carrierAllowed: true,
		layers: []part{
			{name: "dry-base", rate: of(func(f int) bool { return f == flat.field }), load: &load, field: flat.field},
			{name: "dry-topup", rate: of(func(f int) bool { return f != flat.field })},
		},
		gets: func(z rx.Zone) (unit.DryRate, int) {
			if !(z.Dry > 0) {
				return 0, -1
			}
			return flat.rate, 0
		},
	}
}
