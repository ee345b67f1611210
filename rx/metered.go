package rx

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Graduation is the step in which a plant meters a loading, a tenth of a fluid ounce a
// ton or a milliliter a metric ton; common practice, no source.
func (t Terms) Graduation() unit.Loading {
	if t.Units == unit.Metric {
		return unit.MilliliterPerMetricTon
	}
	return unit.FluidOuncePerTon / 10
}

// RoundLoading rounds a loading to what a plant can meter, its [Terms.Graduation], and
// inward where a window is given: a loading that is printed must be one that was graded.
// Where the window is narrower than that, finer steps are taken; where it is a point,
// the loading stays as it is.
func (t Terms) RoundLoading(l unit.Loading, window *Range[unit.Loading]) unit.Loading {
	one, parts := unit.FluidOuncePerTon, 10.0
	if t.Units == unit.Metric {
		one, parts = unit.MilliliterPerMetricTon, 1
	}
	for range finest {
		n := math.Round(float64(l/one) * parts)
		for _, candidate := range []float64{n, n - 1, n + 1} {
			rounded := unit.Loading(candidate/parts) * one
			if rounded > 0 && (window == nil || inside(rounded, *window)) {
				return rounded
			}
		}
		parts *= 10
	}
	return l
}

// finest is how many steps are tried, each a tenth of the one before.
const finest = 4

// inside allows for the rounding of the ends, and for less of it than a verdict does.
func inside(l unit.Loading, w Range[unit.Loading]) bool {
	return l >= w.Min*(1-leeway/2) && l <= w.Max*(1+leeway/2)
}

// Metered returns the graduations of a meter below and above a loading; both are the
// loading itself where it is one.
func (t Terms) Metered(l unit.Loading) (below, above unit.Loading) {
	step := t.Graduation()
	n := float64(l / step)
	if whole := math.Round(n); math.Abs(n-whole) <= 1e-9*n {
		return l, l
	}
	return unit.Loading(math.Floor(n)) * step, unit.Loading(math.Ceil(n)) * step
}

// CanMeter reports whether a graduation of a meter is inside a window.
func (t Terms) CanMeter(w Range[unit.Loading]) bool {
	below, _ := t.Metered(w.Max)
	return inside(below, w)
}

// Inward returns the graduations of a meter next to the ends of a window, both inside it;
// ok is false where none is.
func (t Terms) Inward(w Range[unit.Loading]) (r Range[unit.Loading], ok bool) {
	_, r.Min = t.Metered(w.Min)
	r.Max, _ = t.Metered(w.Max)
	return r, inside(r.Min, w) && inside(r.Max, w) && r.Min <= r.Max*(1+leeway)
}

// Dose is a loading as it is worked out and as a meter reads it.
type Dose struct{ Exact, Read unit.Loading }

// Dose returns how a loading is dosed. One that no meter reads is read as the lower of the two
// graduations, since above the label is a violation and below is not. What the plant has fixed
// it can dose.
func (t Terms) Dose(l unit.Loading) Dose {
	const finestStep = 1e-3 // of a graduation, as RoundLoading tries them
	n := float64(l/t.Graduation()) / finestStep
	if slices.Contains(t.Fixed(t.Loading), l) || math.Abs(n-math.Round(n)) <= 1e-9*n {
		return Dose{l, l}
	}
	below, _ := t.Metered(l)
	return Dose{l, below}
}

// Words prints the loading as a meter reads it, with the exact figure beside it.
func (d Dose) Words(s unit.System) string {
	exact := unit.Thousands(d.Exact.Text(s))
	if d.Read == d.Exact {
		return exact
	}
	exact, _, _ = strings.Cut(exact, " ")
	return fmt.Sprintf("%s as a meter reads it (exactly %s)", unit.Thousands(d.Read.Text(s)), exact)
}

// LoadingText prints a loading in the user's units, as [Dose.Words] does.
func (t Terms) LoadingText(l unit.Loading) string { return t.Dose(l).Words(t.Units) }

// Fills returns the tank fills that a boom takes for an area at a rate of stabilizer, with
// the further liquids for its tank, and the same as meters read them: a liquid of a fill is
// the nearest step of a meter that keeps the fill's rate inside [Terms.Pass], so that near
// an end of it the dose is rounded inward. The sheets and the cost go by the same fills.
func (t Terms) Fills(b equip.Boom, area unit.Area, rate unit.LiquidRate) (exact, metered equip.Fills, err error) {
	pass, _ := t.PassRange()
	keeps := []func(unit.LiquidRate) bool{pass.Contains}
	var further []unit.LiquidRate
	for _, l := range t.FurtherOn(equip.OnBoom) {
		own, _ := t.Pass(l)
		keeps, further = append(keeps, own.Contains), append(further, l.Intended)
	}
	exact, err = b.Fills(area, rate, further...)
	if err != nil {
		return equip.Fills{}, equip.Fills{}, err
	}
	return exact, exact.Metered(t.Units, keeps...), nil
}

// MixDensity returns the density of the mix in a boom's tank at a spray volume and a rate
// of stabilizer, as far as it is known: what has no density counts as water.
func (t Terms) MixDensity(volume, rate unit.LiquidRate) unit.Density {
	density, ok := t.Label.Density.Get()
	if !ok || volume < rate {
		return equip.WaterDensity
	}
	mix := equip.MixDensity(volume, rate, density)
	for _, l := range t.FurtherOn(equip.OnBoom) {
		if own, ok := l.Density.Get(); ok {
			mix += equip.MixDensity(volume, l.Intended, own) - equip.WaterDensity
		}
	}
	return mix
}
