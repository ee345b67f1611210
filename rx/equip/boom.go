package equip

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Speeds are the lowest, usual and highest ground speed of a machine.
type Speeds struct {
	Low   unit.Speed `yaml:"low,required"`
	Usual unit.Speed `yaml:"usual,required"`
	High  unit.Speed `yaml:"high,required"`
}

// Boom is a wet boom. One from a job file has all values above 0, in order, and at
// least one nozzle.
type Boom struct {
	Width    unit.Length                `yaml:"width,required"`
	Spacing  unit.Length                `yaml:"spacing,required"` // from nozzle to nozzle
	Volume   unit.LiquidRate            `yaml:"volume,required"`  // of the whole mix
	Tank     unit.Volume                `yaml:"tank,required"`
	Nozzles  []Nozzle                   `yaml:"nozzles,required"` // sizes on hand
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
	before := len(p.list)
	positive(p, b.Width, "boom.width")
	positive(p, b.Spacing, "boom.spacing")
	positive(p, b.Volume, "boom.volume")
	positive(p, b.Tank, "boom.tank")
	positive(p, b.Pressure.Min, "boom.pressure.min")
	p.failIf(b.Spacing > b.Width, "order", "boom.spacing", fmt.Sprintf("%s is more than the boom's width, %s: compare the units", b.Spacing.Brief(p.s), b.Width.Brief(p.s)))
	p.failIf(b.Pressure.Max <= b.Pressure.Min, "order", "boom.pressure.max", fmt.Sprintf("%s is not above min, %s: swap them", b.Pressure.Max.Brief(p.s), b.Pressure.Min.Brief(p.s)))
	p.speeds(b.Speed, "boom.speed")
	p.turn(b.Turn, "boom.turn")
	p.sections(b.Sections, "boom.sections")
	p.failIf(len(b.Nozzles) == 0, "nozzles", "boom.nozzles", "is empty: list the sizes on hand, such as [03, 04]")
	rate, known := j.StabilizerRate.Get()
	p.failIf(known && rate >= b.Volume, "volume", "boom.volume", fmt.Sprintf("%s is not above the stabilizer alone, %s: it is the volume of the whole mix", b.Volume.Brief(p.s), rate.Brief(p.s)))
	for _, problem := range p.list[before:] {
		if problem.Rule != "speed" && problem.Rule != "turn" && problem.Rule != "sections" {
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
		var whys []string
		for _, f := range fits {
			whys = append(whys, fmt.Sprintf("%s needs %s", f.Nozzle, f.At[1].Pressure.Brief(p.s)))
		}
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
