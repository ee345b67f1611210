package rx

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Load is dry product that is impregnated at one loading.
type Load struct {
	Loading   unit.Loading
	Mass      unit.Mass // of untreated dry
	Area      unit.Area // that gets it
	Rates     Range[unit.DryRate]
	Materials equip.Blend // whose shares add up to 1; none if they are not known
}

// Portion is one batch as it is weighed and metered: whole steps of a scale and of a
// meter. Every batch of a load is alike, so that a total is a count of portions.
type Portion struct {
	Count       int
	Dry         unit.Mass
	Materials   []unit.Mass // which add up to Dry; none where they are not known
	Liquid      unit.Volume // of stabilizer
	Agent       unit.Mass   // drying agent for the stabilizer
	Second      unit.Volume // of the further liquid
	SecondAgent unit.Mass   // drying agent for the further liquid
}

// AgentInAll returns the drying agent of one batch for all of its liquids.
func (p Portion) AgentInAll() unit.Mass { return p.Agent + p.SecondAgent }

// Total returns what all batches make.
func (p Portion) Total() Portion {
	n := float64(p.Count)
	p.Dry, p.Agent, p.SecondAgent = unit.Mass(n)*p.Dry, unit.Mass(n)*p.Agent, unit.Mass(n)*p.SecondAgent
	p.Liquid, p.Second = unit.Volume(n)*p.Liquid, unit.Volume(n)*p.Second
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
	if t.Job != nil && t.Job.Blender != nil {
		density := t.lowestDensity(l)
		batches, err := t.Job.Blender.Batches(l.Mass, density)
		if err == nil && batches.Count > 0 {
			each := t.Job.Blender.Weighed(batches.Each, equip.ScaleStep(t.Units), density)
			return batches, t.portion(l, batches.Count, each), true
		}
	}
	return equip.Batches{}, t.portion(l, 1, l.Mass), false
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
	return half, t.portion(l, half.Count, unit.Mass(math.Ceil(float64(half.Each/step)-1e-9))*step), true
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
	return label.Know(humid / unit.Density(1+t.AddedShare(l.Loading).Or(0)))
}

// AddedShare returns what liquids and drying agents add to the weight of dry that is
// impregnated; unknown where the density of a liquid is.
func (t Terms) AddedShare(l unit.Loading) label.Known[unit.Ratio] {
	density, ok := t.Label.Density.Get()
	if !ok {
		return label.Known[unit.Ratio]{}
	}
	per, _ := t.AgentPerLiquid()
	added := equip.LiquidShare(l, density) + equip.AgentShare(l, per)
	if t.Job != nil && t.Job.SecondLiquid != nil {
		second := t.Job.SecondLiquid
		density, ok := second.Density.Get()
		if !ok {
			return label.Known[unit.Ratio]{}
		}
		added += equip.LiquidShare(second.Loading, density) + equip.AgentShare(second.Loading, equip.UsualDryingAgent)
	}
	return label.Know(added)
}

func (t Terms) portion(l Load, count int, each unit.Mass) Portion {
	step := equip.ScaleStep(t.Units)
	each = unit.Mass(math.Max(1, math.Round(float64(each/step)))) * step
	window, _ := t.WindowFor(l.Rates, 0)
	one := Portion{Count: count, Dry: each, Liquid: t.dosed(l.Loading, each, window)}
	if len(l.Materials) > 0 {
		one.Materials = l.Materials.Weigh(each, step)
	}
	per, _ := t.AgentPerLiquid()
	one.Agent = t.weighAgent(unit.LiquidWeight(one.Liquid, per))
	if t.Job != nil && t.Job.SecondLiquid != nil {
		one.Second = t.dosed(t.Job.SecondLiquid.Loading, each, t.furtherWindow(one))
		one.SecondAgent = t.weighAgent(unit.LiquidWeight(one.Second, equip.UsualDryingAgent))
	}
	return one
}

func (t Terms) weighAgent(m unit.Mass) unit.Mass {
	step := equip.AgentStep(t.Units)
	return unit.Mass(math.Round(float64(m/step))) * step
}

// AgentPerLiquid returns what the label or, without it, common practice says of
// drying agent; stated tells which.
func (t Terms) AgentPerLiquid() (per unit.Density, stated bool) {
	if d, ok := t.Label.DryingAgent.Get(); ok {
		return d, true
	}
	return equip.UsualDryingAgent, false
}

// dosed returns a volume for a batch as the stabilizer's meter reads it: the nearest step
// that keeps the load inside a window, where one is given; see [equip.Metered].
func (t Terms) dosed(l unit.Loading, dry unit.Mass, window *Range[unit.Loading]) unit.Volume {
	return equip.Metered(unit.Uptake(l, dry), equip.MeterStep(t.Units), func(v unit.Volume) bool {
		return window == nil || window.Contains(loadingOf(v, dry))
	})
}

// loadingOf returns the loading that a volume in a mass of dry makes.
func loadingOf(v unit.Volume, dry unit.Mass) unit.Loading {
	return unit.Loading(v / unit.Volume(dry/unit.Ton))
}

// furtherWindow returns the loadings of the further liquid that a ton takes up beside
// what a batch has of stabilizer; nil where the label doesn't bound them.
func (t Terms) furtherWindow(one Portion) *Range[unit.Loading] {
	most, ok := t.Label.MaxLiquid.Get()
	if !ok {
		return nil
	}
	return &Range[unit.Loading]{Max: most - loadingOf(one.Liquid, one.Dry)}
}

// WhyNotDose says what a volume of stabilizer in a batch of a load would do against the
// label, as what follows "would"; it is empty where it is allowed.
func (t Terms) WhyNotDose(l Load, dry unit.Mass, v unit.Volume) string {
	loading := loadingOf(v, dry)
	if why := t.WhyNotRate(unit.StabilizerRate(loading, l.Rates.Max)); why != "" {
		return why
	}
	if why := t.WhyNotRate(unit.StabilizerRate(loading, l.Rates.Min)); why != "" {
		return why
	}
	return t.WhyNotLoading(loading)
}
