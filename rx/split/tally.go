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
		t.tallyBlender(w, job)
	}
	if w.Name == rx.Base && job != nil && job.Spreader == nil {
		w.Needs = append(w.Needs, "a spreader with two bins, or a second pass")
	}
	w.Cost = t.cost(*w)
}

// blendGrade returns the grade of what is spread: of the job's blend, or of the
// one rate field.
func (t *task) blendGrade() (equip.Grade, bool) {
	if t.terms.Job != nil {
		if g, ok := t.terms.Job.Blend.Grade(); ok {
			return g, true
		}
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
	if job == nil || job.Boom == nil {
		if job != nil {
			w.Needs = append(w.Needs, "a wet boom")
		}
		return
	}
	boom := *job.Boom
	area := unit.Area(float64(w.Stabilizer) / float64(w.Rate.Max))
	if fills, err := boom.Fills(area, w.Rate.Max); err == nil {
		w.Fills = fills.Count
		if fills.Last.Area > 0 {
			w.Fills++
		}
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

func (t *task) tallyBlender(w *rx.Way, job *equip.Job) {
	if job == nil || job.Blender == nil {
		if job != nil {
			w.Needs = append(w.Needs, "a blender that impregnates")
		}
		return
	}
	density := treatedDensity(job)
	for _, mass := range t.treatedMasses(*w) {
		batches, err := job.Blender.Batches(mass, density)
		if err != nil {
			return
		}
		w.Batches += batches.Count
		if minutes, ok := batches.Time.Get(); ok {
			w.Minutes += minutes
		}
	}
}

// treatedMasses lists the dry that each impregnated load of a way weighs.
func (t *task) treatedMasses(w rx.Way) []unit.Mass {
	switch w.Name {
	case rx.Base:
		return []unit.Mass{unit.Mass(float64(w.Stabilizer) / float64(w.Loadings[0]) * float64(unit.Ton))}
	case rx.Loads:
		g, _ := loads{}.solve(t)
		masses := make([]unit.Mass, len(g))
		for i, s := range g {
			masses[i] = s.mass
		}
		return masses
	}
	return []unit.Mass{unit.Mass(float64(w.Stabilizer) / float64(w.Loadings[0]) * float64(unit.Ton))}
}
