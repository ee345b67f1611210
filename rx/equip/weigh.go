package equip

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/label"
	"rxsplit/label/unit"
)

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
