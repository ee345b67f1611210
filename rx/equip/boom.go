package equip

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/internal/samebits"
	"rxsplit/label"
	"rxsplit/label/unit"
)

// Speeds are the lowest, usual and highest ground speed of a machine.
type Speeds struct {
	Low   unit.Speed `yaml:"low,required" above:"0"`
	Usual unit.Speed `yaml:"usual,required"`
	High  unit.Speed `yaml:"high,required"`
}

// Boom is a wet boom. One from a job file has all values above 0, in order, and at
// least one nozzle.
type Boom struct {
	Width    unit.Length                `yaml:"width,required" above:"0"`
	Spacing  unit.Length                `yaml:"spacing,required" above:"0"` // from nozzle to nozzle
	Volume   unit.LiquidRate            `yaml:"volume,required" above:"0"`  // of the whole mix
	Tank     unit.Volume                `yaml:"tank,required" above:"0"`
	Nozzles  []nozzle                   `yaml:"nozzles,required"` // sizes on hand
	Pressure label.Range[unit.Pressure] `yaml:"pressure,required"`
	Speed    Speeds                     `yaml:"speed,required"`
	Turn     label.Known[unit.Time]     `yaml:"turn"`     // from one swath into the next
	Sections int                        `yaml:"sections"` // of one width, that close by themselves over ground that is covered; 0 for none
}

// NozzleCount returns how many nozzles the boom carries.
func (b Boom) NozzleCount() int { return int(math.Round(float64(b.Width / b.Spacing))) }

// Flow returns the flow of the whole boom at its volume and a speed.
func (b Boom) Flow(speed unit.Speed) unit.Flow { return flowOver(b.Width, b.Volume, speed) }

// NozzleFlow returns the flow of one nozzle at the boom's volume and a speed.
func (b Boom) NozzleFlow(speed unit.Speed) unit.Flow { return flowOver(b.Spacing, b.Volume, speed) }

// Covers returns how long the boom takes for an area at its usual speed, without turns.
func (b Boom) Covers(a unit.Area) unit.Time { return timeFor(a, b.Width, b.Speed.Usual) }

// timeFor is how long a width takes for an area at a speed: acres an hour = mph·ft/8.25, as
// 43,560/5280 = 8.25.
func timeFor(a unit.Area, width unit.Length, speed unit.Speed) unit.Time {
	return unit.Time(float64(a)*8.25/(float64(width)*float64(speed))) * unit.Hour
}

func (p *problems) boom(b Boom, j *Job) {
	p.positive(float64(b.Pressure.Min), "boom.pressure.min")
	p.failIf(b.Spacing > b.Width, "order", "boom.spacing", fmt.Sprintf("%s is more than the boom's width, %s: compare the units", b.Spacing.Brief(p.s), b.Width.Brief(p.s)))
	p.failIf(b.Pressure.Max <= b.Pressure.Min, "order", "boom.pressure.max", fmt.Sprintf("%s is not above min, %s: swap them", b.Pressure.Max.Brief(p.s), b.Pressure.Min.Brief(p.s)))
	p.speeds(b.Speed, "boom.speed")
	p.turn(b.Turn, "boom.turn")
	p.sections(b.Sections, "boom.sections")
	p.failIf(len(b.Nozzles) == 0, "nozzles", "boom.nozzles", "is empty: list the sizes on hand, such as [03, 04]")
	rate, known := j.StabilizerRate.Get()
	p.failIf(known && rate >= b.Volume, "volume", "boom.volume", fmt.Sprintf("%s is not above the stabilizer alone, %s: it is the volume of the whole mix", b.Volume.Brief(p.s), rate.Brief(p.s)))
	for _, problem := range p.list {
		if strings.HasPrefix(problem.Key, "boom.") && problem.Rule != "speed" && problem.Rule != "turn" && problem.Rule != "sections" {
			return // the nozzles can't be judged on such figures
		}
	}
	p.nozzles(b)
}

// nozzles fails a boom on which no size at hand gives the volume at the usual
// speed, and warns of one on which none holds it over the whole speed range. The
// mix is judged as water; with the label's density the pressures come out a few
// percent higher.
func (p *problems) nozzles(b Boom) {
	fits := b.Fits(WaterDensity)
	best := fits[0]
	volume := p.volume(b.Volume)
	if !best.Usual {
		whys := each.Of(fits, func(f Fit) string { return fmt.Sprintf("%s needs %s", f.Nozzle, f.At[1].Pressure.Brief(p.s)) })
		p.failIf(true, "nozzles", "boom.nozzles", fmt.Sprintf("no size on hand gives %s at %v inside %s to %s: %s; %s",
			volume, b.Speed.Usual.Brief(p.s), b.Pressure.Min.Brief(p.s), b.Pressure.Max.Brief(p.s), strings.Join(whys, ", "), p.advice(b, best)))
		return
	}
	p.warnIf(!best.Holds, "nozzles", "boom.nozzles", fmt.Sprintf("no size on hand holds %s from %v to %v; %s holds it from %s to %s; %s",
		volume, b.Speed.Low.Brief(p.s), b.Speed.High.Brief(p.s), best.Nozzle, best.Speeds.Min.Brief(p.s), best.Speeds.Max.Brief(p.s), p.advice(b, best)))
}

// advice says what would help where no nozzle on hand holds the volume.
func (p *problems) advice(b Boom, best Fit) string {
	if others := b.Others(WaterDensity); len(others) > 0 {
		return "size " + string(others[0].Nozzle) + " would hold it"
	}
	if b.SpansTooMuch() {
		return "no size can, since pressure grows with the square of speed: narrow the speed range"
	}
	held, ok := b.Volumes(best.Nozzle, VolumeStep(p.s), func(unit.LiquidRate) unit.Density { return WaterDensity })
	if !ok {
		return "get another size, or change the volume or the speed range"
	}
	return fmt.Sprintf("%s would hold %s to %s", best.Nozzle, p.volume(held.Min), p.volume(held.Max))
}

// volume prints a spray volume in gal/ac or L/ha, as booms are spoken of, to a
// [VolumeStep].
func (p *problems) volume(v unit.LiquidRate) string {
	hundredths := math.Round(float64(v / VolumeStep(p.s)))
	_, symbol := unit.SprayVolumeUnit(p.s)
	return strconv.FormatFloat(hundredths/100, 'f', -1, 64) + " " + symbol
}

// Fit is how one nozzle size serves a boom at its volume.
type Fit struct {
	Nozzle nozzle
	Holds  bool                         // the volume, from the lowest to the highest speed
	Usual  bool                         // the volume at the usual speed at least
	At     [3]setting                   // at the lowest, usual and highest speed
	Speeds label.Range[unit.Speed]      // at which it holds the volume inside the pressure range
	Volume label.Range[unit.LiquidRate] // which it would hold over the whole speed range; Min > Max if none
}

// setting is the pressure that a nozzle needs at one speed.
type setting struct {
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
	others := slices.DeleteFunc(slices.Clone(nozzleSizes), func(n nozzle) bool { return slices.Contains(b.Nozzles, n) })
	return slices.DeleteFunc(b.fits(others, mix), func(f Fit) bool { return !f.Holds })
}

func (b Boom) fits(nozzles []nozzle, mix unit.Density) []Fit {
	fits := each.Of(nozzles, func(n nozzle) Fit { return b.fit(n, mix) })
	middle := math.Sqrt(float64(b.Pressure.Min * b.Pressure.Max))
	off := func(f Fit) float64 { return math.Abs(samebits.Log(float64(f.At[1].Pressure) / middle)) }
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

// fit tells how one size serves the boom.
func (b Boom) fit(n nozzle, mix unit.Density) Fit {
	f := Fit{Nozzle: n}
	for i, speed := range []unit.Speed{b.Speed.Low, b.Speed.Usual, b.Speed.High} {
		flow := b.NozzleFlow(speed)
		water := waterFlow(flow, mix)
		f.At[i] = setting{speed, flow, water, pressureFor(water, n.Flow(), RatedPressure)}
	}
	least, most := b.flowRange(n, mix)
	f.Speeds = label.Range[unit.Speed]{Min: speedFor(least, b.Spacing, b.Volume), Max: speedFor(most, b.Spacing, b.Volume)}
	f.Volume = label.Range[unit.LiquidRate]{Min: volumeFor(least, b.Spacing, b.Speed.Low), Max: volumeFor(most, b.Spacing, b.Speed.High)}
	f.Usual = b.allows(f.At[1].Pressure)
	f.Holds = b.allows(f.At[0].Pressure) && b.allows(f.At[2].Pressure)
	return f
}

// flowRange returns what a nozzle gives of the mix from the lowest to the highest
// pressure.
func (b Boom) flowRange(n nozzle, mix unit.Density) (least, most unit.Flow) {
	perWater := 1 / waterFlow(1, mix)
	return flowAt(b.Pressure.Min, n.Flow(), RatedPressure) * perWater, flowAt(b.Pressure.Max, n.Flow(), RatedPressure) * perWater
}

// pressureLeeway absorbs rounding at the ends of the pressure range.
const pressureLeeway = 1e-9

func (b Boom) allows(p unit.Pressure) bool {
	return p >= b.Pressure.Min*(1-pressureLeeway) && p <= b.Pressure.Max*(1+pressureLeeway)
}

// SpansTooMuch reports whether no nozzle at all can hold a volume over the speed
// range: pressure grows with the square of speed, so the pressure range must span
// at least the square of what the speed range does.
func (b Boom) SpansTooMuch() bool {
	ratio := float64(b.Speed.High / b.Speed.Low)
	return ratio*ratio > float64(b.Pressure.Max/b.Pressure.Min)*(1+pressureLeeway)
}

// VolumeStep is what a spray volume is spoken of and written in, a hundredth of a gal/ac
// or of a L/ha.
func VolumeStep(s unit.System) unit.LiquidRate {
	one, _ := unit.SprayVolumeUnit(s)
	return one / 100
}

// Volumes returns the least and the most spray volume, in whole steps, that a nozzle size
// holds over the whole speed range inside the pressure range; ok is false if there is
// none. mix gives the density of the mix at a volume, since a thinner mix is lighter.
// Both ends are held as returned: they are rounded inward.
func (b Boom) Volumes(n nozzle, step unit.LiquidRate, mix func(volume unit.LiquidRate) unit.Density) (r label.Range[unit.LiquidRate], ok bool) {
	least := b.settle(mix, func(f Fit) unit.LiquidRate { return f.Volume.Min }, n)
	most := b.settle(mix, func(f Fit) unit.LiquidRate { return f.Volume.Max }, n)
	low, high := math.Ceil(float64(least/step)-pressureLeeway), math.Floor(float64(most/step)+pressureLeeway)
	if !(low <= high) {
		return r, false
	}
	r = label.Range[unit.LiquidRate]{Min: unit.LiquidRate(low) * step, Max: unit.LiquidRate(high) * step}
	return r, b.holdsAt(n, r.Min, mix) && b.holdsAt(n, r.Max, mix)
}

// settle finds an end of the volumes at the density that the mix has there.
func (b Boom) settle(mix func(unit.LiquidRate) unit.Density, end func(Fit) unit.LiquidRate, n nozzle) unit.LiquidRate {
	const rounds = 30 // each takes the error down by more than half, as long as most of the mix is water
	volume := b.Volume
	for range rounds {
		volume = end(b.fit(n, mix(volume)))
	}
	return volume
}

func (b Boom) holdsAt(n nozzle, volume unit.LiquidRate, mix func(unit.LiquidRate) unit.Density) bool {
	b.Volume = volume
	return b.fit(n, mix(volume)).Holds
}
