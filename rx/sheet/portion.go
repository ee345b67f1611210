package sheet

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// portion is one batch as it is weighed and metered: whole steps of a scale and of a
// meter. Every batch of a load is alike, so that a total is a count of portions.
type portion struct {
	count     int
	dry       unit.Mass
	materials []unit.Mass // which add up to dry; none where they are not known
	agent     unit.Mass   // for all liquids
	liquid    unit.Volume // of stabilizer
	second    unit.Volume // of the further liquid
}

// Steps of scales and meters; common practice, no source. Drying agent comes in bags
// and is weighed finer.
func (w show) scaleStep() unit.Mass { return pick(w, unit.Pound, unit.Kilogram) }
func (w show) agentStep() unit.Mass { return w.scaleStep() / 100 }
func (w show) meterStep() unit.Volume {
	return pick(w, unit.FluidOunce, unit.Milliliter)
}

// intoBatches divides the layer into equal batches, where the blender is known.
func (c *crew) intoBatches(t *treated) {
	t.portion = c.portionOf(t, 1, t.mass)
	if c.job.Blender == nil {
		return
	}
	batches, err := c.job.Blender.Batches(t.mass, c.lowestDensity(t))
	if err != nil || batches.Count == 0 {
		return
	}
	t.batches = label.Know(&batches)
	t.portion = c.portionOf(t, batches.Count, c.job.Blender.Weighed(batches.Each, c.scaleStep(), c.lowestDensity(t)))
}

// lowestDensity is the least room that a batch may count on in the drum: that of
// treated product in humid weather.
func (c *crew) lowestDensity(t *treated) label.Known[unit.Density] {
	d, ok := t.density.Get()
	if !ok {
		return label.Known[unit.Density]{}
	}
	_, humid := equip.TreatedDensity(d)
	return label.Know(humid)
}

func (c *crew) portionOf(t *treated, count int, each unit.Mass) portion {
	step := c.scaleStep()
	each = unit.Mass(math.Max(1, math.Round(float64(each/step)))) * step
	one := portion{count: count, dry: each, liquid: dose(t.layer.Loading, each, c.meterStep(), t.window)}
	if len(t.what) > 0 {
		one.materials = t.what.Weigh(each, step)
	}
	per, _ := c.agentPerLiquid()
	agent := one.liquid.Weight(per)
	if second := c.job.SecondLiquid; second != nil {
		one.second = dose(second.Loading, each, c.meterStep(), nil)
		agent += one.second.Weight(equip.UsualDryingAgent)
	}
	one.agent = unit.Mass(math.Round(float64(agent/c.agentStep()))) * c.agentStep()
	return one
}

// dose returns the liquid for a batch as a meter of a step reads it: the nearest step
// that keeps the layer on label, or a tenth or hundredth of one where its window is
// narrower; where it is a point, the nearest hundredth.
func dose(l unit.Loading, dry unit.Mass, step unit.Volume, window *rx.Range[unit.Loading]) unit.Volume {
	exact := l.Of(dry)
	for range 3 {
		near := math.Round(float64(exact / step))
		other := near + 1
		if near > float64(exact/step) {
			other = near - 1
		}
		for _, n := range []float64{near, other} {
			v := unit.Volume(n) * step
			if v > 0 && (window == nil || window.Contains(unit.Loading(v/unit.Volume(dry/unit.Ton)))) {
				return v
			}
		}
		step /= 10
	}
	return unit.Volume(math.Round(float64(exact/step)/10)) * 10 * step
}

// halves returns the batches of the half-batch alternative.
func (c *crew) halves(t *treated) (equip.Batches, portion, bool) {
	if c.job.Blender == nil {
		return equip.Batches{}, portion{}, false
	}
	half, err := c.job.Blender.HalfBatches(t.mass, c.lowestDensity(t))
	if err != nil || half.Count == 0 {
		return equip.Batches{}, portion{}, false
	}
	step := c.scaleStep()
	return half, c.portionOf(t, half.Count, unit.Mass(math.Ceil(float64(half.Each/step)-1e-9))*step), true
}
