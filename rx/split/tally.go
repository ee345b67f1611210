package split

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// tally adds what a way takes beside its layers: nutrient, batches, fills, time,
// equipment that the job lacks, and cost.
func (t *task) tally(w *rx.Way) {
	if grade, ok := t.blendGrade(); ok {
		w.NKnown = true
		w.NAdded, w.NRemoved = w.DryAdded*unit.Mass(grade.N), w.DryRemoved*unit.Mass(grade.N)
	}
	if !w.Possible {
		return
	}
	job := t.terms.Job
	if w.Name == rx.WetBoom {
		t.tallyBoom(w, job)
	} else {
		t.tallyBlender(w)
	}
	if w.Name == rx.Base && job != nil && job.Spreader == nil {
		w.Needs = append(w.Needs, "a spreader with two bins, or a second pass")
	}
	w.Cost = t.cost(*w)
}

// blendGrade returns the grade of what the stabilizer rides on: of the job's blend, of
// the one rate field, or of the carrier alone where products are spread side by side.
func (t *task) blendGrade() (equip.Grade, bool) {
	if g, ok := t.impregnated().Grade(); ok {
		return g, true
	}
	var sum equip.Grade
	for _, f := range t.p.Fields {
		g, err := equip.ParseGrade(f.Grade)
		if f.Carrier {
			return g, err == nil
		}
		if err != nil {
			return equip.Grade{}, false
		}
		sum = sum.Plus(g.Scaled(f.Share))
	}
	return sum, t.p.Blend()
}

func (t *task) tallyBoom(w *rx.Way, job *equip.Job) {
	w.Metered = w.Stabilizer
	if job == nil || job.Boom == nil {
		if job != nil {
			w.Needs = append(w.Needs, "a wet boom")
		}
		return
	}
	boom := *job.Boom
	area := unit.Area(float64(w.Stabilizer) / float64(w.Rate.Max))
	if fills, metered, err := t.terms.Fills(boom, area, w.Rate.Max); err == nil {
		w.Metered = metered.Total().Product
		w.Fills = fills.Number()
	}
	density, _ := t.terms.Label.LiquidDensity()
	mix := equip.WaterDensity
	if density > 0 {
		mix = equip.MixDensity(boom.Volume, w.Rate.Max, density)
	}
	if fits := boom.Fits(mix); len(fits) == 0 || !fits[0].Holds {
		w.Needs = append(w.Needs, "nozzles that hold the volume over the whole speed range")
	}
}

func (t *task) tallyBlender(w *rx.Way) {
	job := t.terms.Job
	if job != nil && job.Blender == nil {
		w.Needs = append(w.Needs, "a blender that impregnates")
	}
	for i, load := range t.loadsOf(*w) {
		w.Why += t.byMeter(*w, i, load)
		batches, one, ok := t.terms.Batches(load)
		w.Metered += one.Total().Liquid
		if !ok {
			continue
		}
		w.Batches += batches.Count
		if minutes, ok := batches.Time.Get(); ok {
			w.Minutes += minutes
		}
	}
}

// loadsOf lists the impregnated loads of a way.
func (t *task) loadsOf(w rx.Way) []rx.Load {
	one := rx.Load{Mass: unit.Mass(float64(w.Stabilizer)/float64(w.Loadings[0])) * unit.Ton, Loading: w.Loadings[0], Materials: t.impregnated()}
	switch w.Name {
	case rx.OneLoad:
		s, _ := oneLoad{}.solve(t)
		one.Rates = s.dry
	case rx.Base:
		f, _ := base{}.solve(t)
		one.Rates = rx.Range[unit.DryRate]{Min: f.rate, Max: f.rate}
		if f.field >= 0 {
			one.Materials = t.terms.MaterialsOf(t.p, f.field)
		}
	case rx.Refit:
		b, _ := refit{}.solve(t)
		one.Rates = b.rates(t.p)
	case rx.Loads:
		g, _, _ := loads{}.solve(t)
		list := make([]rx.Load, len(g))
		for i, s := range g {
			list[i] = rx.Load{Loading: s.loading, Mass: s.mass, Rates: s.dry, Materials: one.Materials}
		}
		return list
	}
	return []rx.Load{one}
}
