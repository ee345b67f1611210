package equip

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Fit is how one nozzle size serves a boom at its volume.
type Fit struct {
	Nozzle Nozzle
	Holds  bool                         // the volume, from the lowest to the highest speed
	Usual  bool                         // the volume at the usual speed at least
	At     [3]Setting                   // at the lowest, usual and highest speed
	Speeds label.Range[unit.Speed]      // at which it holds the volume inside the pressure range
	Volume label.Range[unit.LiquidRate] // which it would hold over the whole speed range; Min > Max if none
}

// Setting is the pressure that a nozzle needs at one speed.
type Setting struct {
	Speed    unit.Speed
	Flow     unit.Flow // of the mix, one nozzle
	Water    unit.Flow // what a table for water must read
	Pressure unit.Pressure
}

// Fits tells of each nozzle on hand whether it holds the boom's volume over the
// speed range inside the pressure range, with a mix of the given density; the best
// first: those that hold, then those that hold at the usual speed, and among these
// the one whose pressure at the usual speed is nearest the middle of the range.
func (b Boom) Fits(mix unit.Density) []Fit { return b.fits(b.Nozzles, mix) }

// Others tells the same of the sizes that hold and are not on hand.
func (b Boom) Others(mix unit.Density) []Fit {
	var others []Nozzle
	for _, n := range Nozzles() {
		if !slices.Contains(b.Nozzles, n) {
			others = append(others, n)
		}
	}
	fits := b.fits(others, mix)
	return slices.DeleteFunc(fits, func(f Fit) bool { return !f.Holds })
}

func (b Boom) fits(nozzles []Nozzle, mix unit.Density) []Fit {
	fits := make([]Fit, len(nozzles))
	for i, n := range nozzles {
		fits[i] = b.Fit(n, mix)
	}
	middle := math.Sqrt(float64(b.Pressure.Min * b.Pressure.Max))
	off := func(f Fit) float64 { return math.Abs(math.Log(float64(f.At[1].Pressure) / middle)) }
	slices.SortStableFunc(fits, func(f, g Fit) int {
		return cmp.Or(rank(f)-rank(g), cmp.Compare(off(f), off(g)))
	})
	return fits
}

func rank(f Fit) int {
	switch {
	case f.Holds:
		return 0
	case f.Usual:
		return 1
	}
	return 2
}

// Fit tells how one size serves the boom.
func (b Boom) Fit(n Nozzle, mix unit.Density) Fit {
	f := Fit{Nozzle: n}
	for i, speed := range []unit.Speed{b.Speed.Low, b.Speed.Usual, b.Speed.High} {
		flow := b.NozzleFlow(speed)
		water := WaterFlow(flow, mix)
		f.At[i] = Setting{speed, flow, water, PressureFor(water, n.Flow(), RatedPressure)}
	}
	least, most := b.flowRange(n, mix)
	f.Speeds = label.Range[unit.Speed]{Min: SpeedFor(least, b.Spacing, b.Volume), Max: SpeedFor(most, b.Spacing, b.Volume)}
	f.Volume = label.Range[unit.LiquidRate]{Min: VolumeFor(least, b.Spacing, b.Speed.Low), Max: VolumeFor(most, b.Spacing, b.Speed.High)}
	f.Usual = b.allows(f.At[1].Pressure)
	f.Holds = b.allows(f.At[0].Pressure) && b.allows(f.At[2].Pressure)
	return f
}

// flowRange returns what a nozzle gives of the mix from the lowest to the highest
// pressure.
func (b Boom) flowRange(n Nozzle, mix unit.Density) (least, most unit.Flow) {
	perWater := 1 / WaterFlow(1, mix)
	return FlowAt(b.Pressure.Min, n.Flow(), RatedPressure) * perWater, FlowAt(b.Pressure.Max, n.Flow(), RatedPressure) * perWater
}

// pressureLeeway absorbs rounding at the ends of the pressure range.
const pressureLeeway = 1e-9

func (b Boom) allows(p unit.Pressure) bool {
	return p >= b.Pressure.Min*(1-pressureLeeway) && p <= b.Pressure.Max*(1+pressureLeeway)
}

// Why says, in a system of units, what stands in the way of a nozzle that was fitted
// to the boom; empty if it holds.
func (b Boom) Why(f Fit, s unit.System) string {
	low, high := f.At[0], f.At[2]
	switch {
	case f.Holds:
		return ""
	case !b.allows(low.Pressure) && low.Pressure > b.Pressure.Max:
		return fmt.Sprintf("too small: it needs %s at %s, and %s is allowed", low.Pressure.Brief(s), low.Speed.Brief(s), b.Pressure.Max.Brief(s))
	case !b.allows(high.Pressure) && high.Pressure < b.Pressure.Min:
		return fmt.Sprintf("too large: it needs %s at %s, and %s is the least", high.Pressure.Brief(s), high.Speed.Brief(s), b.Pressure.Min.Brief(s))
	}
	return fmt.Sprintf("holds the volume from %s to %s alone", f.Speeds.Min.Brief(s), f.Speeds.Max.Brief(s))
}

// SpansTooMuch reports whether no nozzle at all can hold a volume over the speed
// range: pressure grows with the square of speed, so the pressure range must span
// at least the square of what the speed range does.
func (b Boom) SpansTooMuch() bool {
	ratio := float64(b.Speed.High / b.Speed.Low)
	return ratio*ratio > float64(b.Pressure.Max/b.Pressure.Min)*(1+pressureLeeway)
}
