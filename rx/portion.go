package rx

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Load is dry product that is impregnated at one loading of each of its liquids.
type Load struct {
	Loading   unit.Loading   // of stabilizer; 0 where that goes on by a boom
	Further   []unit.Loading // of the further liquids on the blend, in the order of the terms
	Mass      unit.Mass      // of untreated dry
	Area      unit.Area      // that gets it
	Rates     Range[unit.DryRate]
	Materials equip.Blend // whose shares add up to 1; none if they are not known
}

// Loadings lists the loadings of all liquids, the stabilizer first.
func (l Load) Loadings() []unit.Loading { return append([]unit.Loading{l.Loading}, l.Further...) }

// For returns the terms that hold for a load: it may be without stabilizer.
func (t Terms) For(l Load) Terms {
	t.Sprayed = t.Sprayed || l.Loading == 0
	return t
}

// Portion is one batch as it is weighed and metered: whole steps of a scale and of a
// meter. Every batch of a load is alike, so that a total is a count of portions.
type Portion struct {
	Count     int
	Dry       unit.Mass
	Materials []unit.Mass // which add up to Dry; none where they are not known
	Liquid    unit.Volume // of stabilizer
	Agent     unit.Mass   // drying agent for the stabilizer
	Further   []Metered   // of the further liquids
}

// Metered is what a batch gets of a liquid, and of drying agent for it.
type Metered struct {
	Liquid unit.Volume
	Agent  unit.Mass
}

// AgentInAll returns the drying agent of one batch for all of its liquids.
func (p Portion) AgentInAll() unit.Mass {
	sum := p.Agent
	for _, f := range p.Further {
		sum += f.Agent
	}
	return sum
}

// Total returns what all batches make.
func (p Portion) Total() Portion {
	n := float64(p.Count)
	p.Dry, p.Agent, p.Liquid = unit.Mass(n)*p.Dry, unit.Mass(n)*p.Agent, unit.Volume(n)*p.Liquid
	p.Further = append([]Metered(nil), p.Further...)
	for i, f := range p.Further {
		p.Further[i] = Metered{unit.Volume(n) * f.Liquid, unit.Mass(n) * f.Agent}
	}
	p.Materials = append([]unit.Mass(nil), p.Materials...)
	for i := range p.Materials {
		p.Materials[i] *= unit.Mass(n)
	}
	return p
}

// Batches divides a load into the fewest equal batches that fit the job's blender.
// Where none is given, or they can't be divided, ok is false and the portion is the
// whole load.
func (t Terms) Batches(l Load) (batches equip.Batches, one Portion, ok bool) {
	return t.BatchesInside(l, t.LoadWindows(l))
}

// LoadWindows returns the loadings of each liquid of a load that keep its dry rates on label, whatever the plant has
// fixed; nil where a liquid has none.
func (t Terms) LoadWindows(l Load) []Range[unit.Loading] {
	windows, _ := t.For(l).anyLoading().Windows(l.Rates, 0)
	return windows
}

// BatchesInside does what [Terms.Batches] does for loadings that are kept inside windows, one for each liquid, as far
// as [equip.Metered] can: of a load for several fields, those that all of them have in common. Where the list is nil,
// nothing bounds them.
func (t Terms) BatchesInside(l Load, windows []Range[unit.Loading]) (batches equip.Batches, one Portion, ok bool) {
	if t.Job != nil && t.Job.Blender != nil {
		density := t.lowestDensity(l)
		batches, err := t.Job.Blender.Batches(l.Mass, density)
		if err == nil && batches.Count > 0 {
			each := t.Job.Blender.Weighed(batches.Each, equip.ScaleStep(t.Units), density)
			return batches, t.portion(l, batches.Count, each, windows), true
		}
	}
	return equip.Batches{}, t.portion(l, 1, l.Mass, windows), false
}

// HalfBatches does the same for the alternative of [equip.Blender.HalfBatches].
func (t Terms) HalfBatches(l Load) (batches equip.Batches, one Portion, ok bool) {
	if t.Job == nil || t.Job.Blender == nil {
		return equip.Batches{}, Portion{}, false
	}
	half, err := t.Job.Blender.HalfBatches(l.Mass, t.lowestDensity(l))
	if err != nil || half.Count == 0 {
		return equip.Batches{}, Portion{}, false
	}
	step := equip.ScaleStep(t.Units)
	return half, t.portion(l, half.Count, unit.Mass(math.Ceil(float64(half.Each/step)-1e-9))*step, t.LoadWindows(l)), true
}

// lowestDensity is the least untreated dry that a batch may count on in a room of the
// drum: treated product in humid weather, less what of its weight is liquid and drying
// agent, as far as that is known; unknown where the density of the dry is.
func (t Terms) lowestDensity(l Load) label.Known[unit.Density] {
	d, ok := l.Materials.BulkDensity()
	if !ok {
		return label.Known[unit.Density]{}
	}
	_, humid := equip.TreatedDensity(d)
	return label.Know(humid / unit.Density(1+t.AddedShare(l).Or(0)))
}

// AddedShare returns what liquids and drying agents add to the weight of dry that is
// impregnated; unknown where the density of a liquid is.
func (t Terms) AddedShare(l Load) label.Known[unit.Ratio] {
	loadings := l.Loadings()
	var added unit.Ratio
	for k, liquid := range t.onBlend() {
		if k >= len(loadings) || loadings[k] == 0 {
			continue
		}
		density, ok := liquid.Density.Get()
		if !ok {
			return label.Known[unit.Ratio]{}
		}
		per, _ := liquid.AgentPerLiquid()
		added += equip.WeightShare(loadings[k], density) + equip.WeightShare(loadings[k], per)
	}
	return label.Know(added)
}

// portion doses each liquid by its label beside what the batch has of the others.
func (t Terms) portion(l Load, count int, each unit.Mass, windows []Range[unit.Loading]) Portion {
	step := equip.ScaleStep(t.Units)
	each = unit.Mass(math.Max(1, math.Round(float64(each/step)))) * step
	one := Portion{Count: count, Dry: each}
	if len(l.Materials) > 0 {
		one.Materials = l.Materials.Weigh(each, step)
	}
	loadings := l.Loadings()
	for k, liquid := range t.onBlend()[:len(loadings)] {
		var window *Range[unit.Loading]
		if windows != nil {
			own := windows[k]
			window = &own
			window.Max = min(window.Max, t.For(l).room(t.besides(k, loadings)))
		}
		dose := Metered{Liquid: t.dosed(loadings[k], each, window)}
		per, _ := liquid.AgentPerLiquid()
		dose.Agent = t.weighAgent(unit.LiquidWeight(dose.Liquid, per))
		loadings[k] = loadingOf(dose.Liquid, each)
		if k == 0 {
			one.Liquid, one.Agent = dose.Liquid, dose.Agent
		} else {
			one.Further = append(one.Further, dose)
		}
	}
	return one
}

func (t Terms) weighAgent(m unit.Mass) unit.Mass {
	step := equip.AgentStep(t.Units)
	return unit.Mass(math.Round(float64(m/step))) * step
}

// AgentPerLiquid returns what the label of a liquid or, without it, common practice says
// of drying agent; stated tells which.
func (l JobLiquid) AgentPerLiquid() (per unit.Density, stated bool) {
	if l.Label != nil {
		if d, ok := l.Label.DryingAgent.Get(); ok {
			return d, true
		}
	}
	return equip.UsualDryingAgent, false
}

// dosed returns a volume for a batch as the stabilizer's meter reads it: the nearest step
// that keeps the load inside a window, where one is given; see [equip.Metered].
func (t Terms) dosed(l unit.Loading, dry unit.Mass, window *Range[unit.Loading]) unit.Volume {
	if l == 0 {
		return 0
	}
	return equip.Metered(unit.Uptake(l, dry), equip.MeterStep(t.Units), func(v unit.Volume) bool {
		return window == nil || window.Contains(loadingOf(v, dry))
	})
}

// loadingOf returns the loading that a volume in a mass of dry makes.
func loadingOf(v unit.Volume, dry unit.Mass) unit.Loading {
	return unit.Loading(v / unit.Volume(dry/unit.Ton))
}

// WhyNotDose says what a volume of a liquid in a batch of a load would do against its
// label, as what follows "would"; it is empty where it is allowed. The liquid is the one
// at k of the load's loadings.
func (t Terms) WhyNotDose(l Load, k int, dry unit.Mass, v unit.Volume) string {
	liquid, loadings := t.onBlend()[k], l.Loadings()
	loadings[k] = loadingOf(v, dry)
	for _, r := range []unit.DryRate{l.Rates.Max, l.Rates.Min} {
		if why := t.whyNotRate(liquid, unit.StabilizerRate(loadings[k], r)); why != "" {
			return why
		}
	}
	return t.For(l).whyNotLoading(k, liquid, loadings)
}
