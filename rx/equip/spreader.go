package equip

import (
	"rxsplit/label"
	"rxsplit/label/unit"
)

// Spreader is a dry spreader. One from a job file has a swath above 0 and speeds in
// order; a rate at which the controller falls back may be 0.
type Spreader struct {
	Swath       unit.Length                            `yaml:"swath,required"`
	Speed       Speeds                                 `yaml:"speed,required"`
	Rates       label.Known[label.Range[unit.DryRate]] `yaml:"rates"`        // what it can spread at the usual speed
	Bins        int                                    `yaml:"bins"`         // 1 or 2
	RateError   label.Known[unit.Ratio]                `yaml:"rate-error"`   // ±
	RateChange  label.Known[unit.Time]                 `yaml:"rate-change"`  // from one rate to the next
	DefaultRate label.Known[unit.DryRate]              `yaml:"default-rate"` // outside every zone
	LostRate    label.Known[unit.DryRate]              `yaml:"lost-rate"`    // when the position is lost
	Turn        label.Known[unit.Time]                 `yaml:"turn"`         // from one swath into the next
	Sections    int                                    `yaml:"sections"`     // as those of a boom
	Truck       label.Known[unit.Mass]                 `yaml:"truck"`        // what one load carries
	PanTests    []PanTest                              `yaml:"pan-test"`     // one for each rate that was tested
}

// MassFlow returns what the spreader delivers at a rate and a speed: lb/min =
// lb/ac · mph · ft / 495, by definition of the acre and the mile.
func (s Spreader) MassFlow(rate unit.DryRate, speed unit.Speed) unit.MassFlow {
	return unit.MassFlow(float64(rate) * float64(speed) * float64(s.Swath) / 495)
}

// BulkFlow returns the room that a flow of product of a bulk density takes: ft³/min =
// lb/min ÷ lb/ft³.
func BulkFlow(flow unit.MassFlow, density unit.Density) unit.BulkFlow {
	return unit.BulkFlow(float64(flow) / float64(density/unit.PoundPerCubicFoot))
}

// Covers returns how long the spreader takes for an area at its usual speed, without turns.
func (s Spreader) Covers(a unit.Area) unit.Time { return timeFor(a, s.Swath, s.Speed.Usual) }

// RateChangeDistance returns how far the machine drives while the rate changes:
// 1.466667 · mph · s in feet, by definition of the mile.
func RateChangeDistance(speed unit.Speed, change unit.Time) unit.Length {
	return unit.Length(88 * float64(speed) * float64(change))
}

// Transitions of rate take 3 to 5 s. [UGA Cooperative Extension, Variable-Rate
// Fertilizer Application Considerations, 2024]
const (
	ShortRateChange = 3 * unit.Second
	LongRateChange  = 5 * unit.Second
)

// UsualTurn is how long a machine takes from the end of a swath into the next one; common
// practice, no source.
const UsualTurn = 20 * unit.Second

// UsualRateError is how far a spreader's rate may be off, up or down, where nobody says
// it; common practice, no source. A pan test doesn't stand for it: that tells how even
// the pattern is.
const UsualRateError = 5 * unit.Percent

// ChangeDistance returns how far the spreader drives at its usual speed while the
// rate changes; with an unknown time, the longest usual one counts.
func (s Spreader) ChangeDistance() unit.Length {
	return RateChangeDistance(s.Speed.Usual, s.RateChange.Or(LongRateChange))
}

// Delivered returns what a spreader really applies of a rate: the nearest rate that
// it can spread. A rate of 0 stays 0.
func (s Spreader) Delivered(rate unit.DryRate) unit.DryRate {
	limits, ok := s.Rates.Get()
	if !ok || rate <= 0 {
		return rate
	}
	return min(max(rate, limits.Min), limits.Max)
}

// TwoBins reports whether the spreader carries two products at once.
func (s Spreader) TwoBins() bool { return s.Bins == 2 }

// Loads returns how many truck loads a mass takes and what each of them carries,
// all equal; not known without the truck's capacity.
func (s Spreader) Loads(m unit.Mass) (count int, each unit.Mass, known bool) {
	truck, ok := s.Truck.Get()
	if !ok {
		return 0, 0, false
	}
	return equalParts(m, truck)
}
