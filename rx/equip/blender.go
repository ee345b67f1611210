package equip

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Blender is a batch blender. One from a job file has a batch above 0.
type Blender struct {
	Batch     unit.Mass                  `yaml:"batch,required" above:"0"` // most dry product in a batch
	Drum      label.Known[unit.Capacity] `yaml:"drum" above:"0"`           // room that product may fill
	BatchTime label.Known[unit.Time]     `yaml:"batch-time" above:"0"`     // one full batch, loading to empty
}

// Batches are equal batches of dry product.
type Batches struct {
	Count int
	Each  unit.Mass
	Limit batchLimit             // what decides the count
	Time  label.Known[unit.Time] // for all of them
}

// batchLimit is what bounds a batch.
type batchLimit string

// The limits.
const (
	byWeight batchLimit = "weight"
	ByDrum   batchLimit = "drum"
)

// Batches returns the fewest equal batches of a mass of dry product that fit the
// blender's weight and, where drum and density are known, its drum. The density
// should be the lowest on the way, that of treated product.
func (b Blender) Batches(dry unit.Mass, density label.Known[unit.Density]) (Batches, error) {
	most, limit := b.most(density)
	count, each, ok := equalParts(dry, most)
	if !ok {
		return Batches{}, errors.New("the blender's batch and the mass can't be divided into batches: compare their units")
	}
	batches := Batches{Count: count, Each: each, Limit: limit}
	if t, known := b.BatchTime.Get(); known {
		batches.Time = label.Know(t * unit.Time(count))
	}
	return batches, nil
}

// HalfBatches returns the alternative for a batch that comes out too wet: batches
// of half the size, each in half the time. Common practice, no source.
func (b Blender) HalfBatches(dry unit.Mass, density label.Known[unit.Density]) (Batches, error) {
	half := b
	half.Batch /= 2
	if drum, ok := b.Drum.Get(); ok {
		half.Drum = label.Know(drum / 2)
	}
	if t, ok := b.BatchTime.Get(); ok {
		half.BatchTime = label.Know(t / 2)
	}
	return half.Batches(dry, density)
}

func (b Blender) most(density label.Known[unit.Density]) (unit.Mass, batchLimit) {
	drum, hasDrum := b.Drum.Get()
	d, hasDensity := density.Get()
	if w := unit.BulkWeight(drum, d); hasDrum && hasDensity && w < b.Batch {
		return w, ByDrum
	}
	return b.Batch, byWeight
}

// equalParts divides a mass into the fewest equal parts that are each at most most.
func equalParts(m, most unit.Mass) (count int, each unit.Mass, ok bool) {
	parts := math.Ceil(float64(m/most) - fillLeeway)
	if !(most > 0 && m >= 0 && parts <= mostLoads) {
		return 0, 0, false
	}
	if m == 0 {
		return 0, 0, true
	}
	parts = max(parts, 1)
	return int(parts), m / unit.Mass(parts), true
}

// Weighed returns the weight of one batch as a scale of a step above 0 reads it:
// rounded up, so that the field does not run short, or down where a batch that is
// rounded up would not fit. The density is that of [Blender.Batches].
func (b Blender) Weighed(each, step unit.Mass, density label.Known[unit.Density]) unit.Mass {
	steps := float64(each / step)
	up := unit.Mass(math.Ceil(steps-fillLeeway)) * step
	if most, _ := b.most(density); up > most*(1+fillLeeway) && steps >= 1 {
		return unit.Mass(math.Floor(steps)) * step
	}
	return up
}

// Weigh returns the mass of each material in a batch as a scale reads it. The batch
// is a whole number of steps and the masses add up to it: each gets its whole steps,
// and what is left goes to those with the largest remainders (the method of
// Hamilton); of equals to the first.
func (b Blend) Weigh(batch, step unit.Mass) []unit.Mass {
	masses := b.Split(batch)
	left := int(math.Round(float64(batch / step)))
	order := make([]int, len(masses))
	remainders := make([]float64, len(masses))
	for i, m := range masses {
		whole, rest := math.Modf(float64(m/step) + fillLeeway)
		masses[i], remainders[i], order[i] = unit.Mass(whole)*step, rest, i
		left -= int(whole)
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(remainders[j], remainders[i]) })
	for _, i := range order[:min(max(left, 0), len(order))] {
		masses[i] += step
	}
	return masses
}

// ScaleStep is what a plant's scale reads to, 1 lb or 1 kg; common practice, no source.
func ScaleStep(s unit.System) unit.Mass { return pick(s, unit.Pound, unit.Kilogram) }

// AgentStep is what drying agent is weighed to: it comes in bags and is weighed finer.
// Common practice, no source.
func AgentStep(s unit.System) unit.Mass { return ScaleStep(s) / 100 }

func pick[T any](s unit.System, us, metric T) T {
	if s == unit.Metric {
		return metric
	}
	return us
}
