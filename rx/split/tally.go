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
	if w.Sprayed > 0 {
		t.tallyBoom(w, job)
	}
	if len(w.Loads) > 0 {
		t.tallyBlender(w)
	}
	if w.Stacked && job != nil && job.Spreader == nil {
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
	w.Metered = w.Rate.Max.Over(w.Sprayed)
	if job == nil || job.Boom == nil {
		if job != nil {
			w.Needs = append(w.Needs, "a wet boom")
		}
		return
	}
	boom := *job.Boom
	if fills, metered, err := t.terms.Fills(boom, w.Sprayed, w.Rate.Max); err == nil {
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
	for i, load := range w.Loads {
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
