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

// Metered returns the filling as meters read it.
func (f Fill) Metered(s unit.System) Fill {
	to := func(v, step unit.Volume) unit.Volume { return unit.Volume(math.Round(float64(v/step))) * step }
	return Fill{Area: f.Area, Product: to(f.Product, MeterStep(s)), Water: to(f.Water, WaterStep(s))}
}

// Metered returns the fillings as meters read them, each by itself: a total is the sum
// of what is metered.
func (f Fills) Metered(s unit.System) Fills {
	return Fills{Full: f.Full.Metered(s), Count: f.Count, Last: f.Last.Metered(s)}
}
