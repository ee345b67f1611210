package equip

import (
	"math"

	"rxsplit/label/unit"
)

// ScaleStep is what a plant's scale reads to, 1 lb or 1 kg; common practice, no source.
func ScaleStep(s unit.System) unit.Mass { return pick(s, unit.Pound, unit.Kilogram) }

// AgentStep is what drying agent is weighed to: it comes in bags and is weighed finer.
// Common practice, no source.
func AgentStep(s unit.System) unit.Mass { return ScaleStep(s) / 100 }

// MeterStep is what a meter of stabilizer reads to, 1 fl oz or 1 mL; common practice,
// no source.
func MeterStep(s unit.System) unit.Volume { return pick(s, unit.FluidOunce, unit.Milliliter) }

// WaterStep is what water is metered to, a hundredth of a gallon or liter.
func WaterStep(s unit.System) unit.Volume { return pick(s, unit.Gallon, unit.Liter) / 100 }

func pick[T any](s unit.System, us, metric T) T {
	if s == unit.Metric {
		return metric
	}
	return us
}

// Metered returns a volume as a meter of a step reads it: the nearest step for which
// keeps holds, or the other one beside the exact volume, or a tenth or a hundredth of a
// step where neither does; where none of them does, the nearest hundredth.
func Metered(exact, step unit.Volume, keeps func(unit.Volume) bool) unit.Volume {
	for range 3 {
		near := math.Round(float64(exact / step))
		other := near + 1
		if near > float64(exact/step) {
			other = near - 1
		}
		for _, n := range []float64{near, other} {
			if v := unit.Volume(n) * step; v > 0 && keeps(v) {
				return v
			}
		}
		step /= 10
	}
	return unit.Volume(math.Round(float64(exact/step)/10)) * 10 * step
}

// Metered returns the filling as meters read it. The product is dosed so that keeps holds
// for its rate on the filling's ground, as far as [Metered] can.
func (f Fill) Metered(s unit.System, keeps func(unit.LiquidRate) bool) Fill {
	product := Metered(f.Product, MeterStep(s), func(v unit.Volume) bool { return keeps(f.Rate(v)) })
	water := unit.Volume(math.Round(float64(f.Water/WaterStep(s)))) * WaterStep(s)
	return Fill{Area: f.Area, Product: product, Water: water}
}

// Rate returns the rate that a volume of product makes on the filling's ground.
func (f Fill) Rate(product unit.Volume) unit.LiquidRate {
	return unit.LiquidRate(float64(product) / float64(f.Area))
}

// Metered returns the fillings as meters read them, each by itself: a total is the sum
// of what is metered.
func (f Fills) Metered(s unit.System, keeps func(unit.LiquidRate) bool) Fills {
	m := Fills{Full: f.Full.Metered(s, keeps), Count: f.Count}
	if f.Last.Area > 0 {
		m.Last = f.Last.Metered(s, keeps)
	}
	return m
}
