package equip

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
)

func (p *problems) boom(b Boom, j *Job) {
	before := len(*p)
	positive(p, b.Width, "boom.width")
	positive(p, b.Spacing, "boom.spacing")
	positive(p, b.Volume, "boom.volume")
	positive(p, b.Tank, "boom.tank")
	positive(p, b.Pressure.Min, "boom.pressure.min")
	p.failIf(b.Spacing > b.Width, "order", "boom.spacing", fmt.Sprintf("%v is more than the boom's width, %v: compare the units", b.Spacing, b.Width))
	p.failIf(b.Pressure.Max <= b.Pressure.Min, "order", "boom.pressure.max", fmt.Sprintf("%v is not above min, %v: swap them", b.Pressure.Max, b.Pressure.Min))
	p.speeds(b.Speed, "boom.speed")
	p.failIf(len(b.Nozzles) == 0, "nozzles", "boom.nozzles", "is empty: list the sizes on hand, such as [03, 04]")
	rate, known := j.StabilizerRate.Get()
	p.failIf(known && rate >= b.Volume, "volume", "boom.volume", fmt.Sprintf("%v is not above the stabilizer alone, %v: it is the volume of the whole mix", b.Volume, rate))
	for _, problem := range (*p)[before:] {
		if problem.Rule != "speed" {
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
	volume := gallons(b.Volume)
	if !best.Usual {
		var whys []string
		for _, f := range fits {
			whys = append(whys, fmt.Sprintf("%s needs %s", f.Nozzle, f.At[1].Pressure.Brief(unit.US)))
		}
		p.failIf(true, "nozzles", "boom.nozzles", fmt.Sprintf("no size on hand gives %s at %v inside %s to %s: %s; %s",
			volume, b.Speed.Usual, b.Pressure.Min, b.Pressure.Max, strings.Join(whys, ", "), b.advice(best)))
		return
	}
	p.warnIf(!best.Holds, "nozzles", "boom.nozzles", fmt.Sprintf("no size on hand holds %s from %v to %v; %s holds it from %s to %s; %s",
		volume, b.Speed.Low, b.Speed.High, best.Nozzle, best.Speeds.Min.Brief(unit.US), best.Speeds.Max.Brief(unit.US), b.advice(best)))
}

// advice says what would help where no nozzle on hand holds the volume.
func (b Boom) advice(best Fit) string {
	if others := b.Others(WaterDensity); len(others) > 0 {
		return "size " + string(others[0].Nozzle) + " would hold it"
	}
	if b.SpansTooMuch() {
		return "no size can, since pressure grows with the square of speed: narrow the speed range"
	}
	if best.Volume.Min > best.Volume.Max {
		return "get another size, or change the volume or the speed range"
	}
	return fmt.Sprintf("%s would hold %s to %s", best.Nozzle, gallons(best.Volume.Min), gallons(best.Volume.Max))
}

// gallons prints a spray volume in gal/ac, as booms are spoken of.
func gallons(v unit.LiquidRate) string {
	return fmt.Sprintf("%.4g gal/ac", float64(v/unit.GallonPerAcre))
}
