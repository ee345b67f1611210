package split

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/readout"
)

// What is found of untreated strips.
var (
	stripsPower  = rx.NewRule[power]("strips-power", rx.AboutPlan, rx.EveryPlan)
	stripsPlaced = rx.NewRule[placed]("strips", rx.AboutPlan, rx.EveryPlan)
	stripsHeader = rx.NewRule[header]("strips-header", rx.AboutPlan, rx.EveryPlan)
)

// power is what difference strips can show.
type power struct {
	Strips        int
	Seen          unit.Ratio  // of the yield, in four of five fields
	Noise         unit.Ratio  // of one strip against its neighbors
	Length        unit.Length // of a strip that is read
	Twice         int         // as many strips
	SeenTwice     unit.Ratio
	Few           bool
	Example, Gain float64 // yield in bu/ac, and Seen of it
}

// placed is where strips lie, and what they leave out.
type placed struct {
	Strips, Places, Most int
	Azimuth              float64
	Length, Whole, Width unit.Length
	Untreated, Read      unit.Area
	Partial              unit.Area  // treated ground at their ends, that gets part of the rate
	Unlike               unit.Ratio // how far their dry rates are from those beside them; 0 if that is rounding
	Seed                 int
	Saved                unit.Volume
}

// header is how passes of a combine lie in a strip.
type header struct {
	Width, Header, Over unit.Length
	Passes              int
	Odd                 bool
}

// roundedRates is how much of a difference between dry rates is the rounding of their means.
const roundedRates = 1e-6

// usualYield is that of the example, in bu/ac.
const usualYield = 180

// often is how often a difference is to be seen that is there, and believed how surely.
const often, surely = 0.8, 0.95

// detectable is the difference that strips of some noise see, as a share of the yield, to four
// decimals: beyond them the arithmetic may differ from one processor to another.
func detectable(strips int, noise float64) unit.Ratio {
	return unit.Ratio(math.Round(readout.Detectable(strips, often, surely)*noise*1e4) / 1e4)
}

// drawStrips adds the strips to a plan and to its liquid layer, as pieces of rate 0: where a
// polygon lacks, a machine may take its default rate.
func (t *Task) drawStrips(plan *rx.Plan, liquid *rx.Layer) {
	s, _ := t.untreated()
	if s == nil {
		return
	}
	plan.Strips = s
	for _, one := range s.List {
		liquid.Pieces.Append(orb.MultiPolygon{one.Ground})
		liquid.PieceArea = append(liquid.PieceArea, one.Area)
	}
	liquid.Untreated = len(s.List)
	plan.Findings = append(plan.Findings, s.Power, placedNote(s, liquid.Rate), headerNote(s))
}

// powerNote tells what strips of a length can show, before they go out.
func powerNote(strips int, length unit.Length) rx.Finding {
	noise := readout.UsualNoise(unit.Meters(length))
	d := power{
		Strips: strips, Seen: detectable(strips, noise), Noise: unit.Ratio(noise), Length: length,
		Twice: 2 * strips, SeenTwice: detectable(2*strips, noise), Example: usualYield,
	}
	d.Gain = math.Round(float64(d.Seen)*usualYield*10) / 10
	severity := rx.Note
	if strips <= readout.Fewest {
		severity, d.Few = rx.Warning, true
	}
	return stripsPower.Find(severity, d)
}

func placedNote(s *rx.Strips, rate unit.LiquidRate) rx.Finding {
	d := placed{
		Strips: len(s.List), Places: s.Places, Most: s.Most, Azimuth: s.Azimuth, Length: s.Length, Whole: s.Length + 2*s.Ends, Width: s.Width,
		Untreated: s.Area, Read: s.Read, Seed: int(s.Seed), Saved: unit.VolumeOver(rate, s.Area),
	}
	d.Partial = unit.Area(float64(len(s.List))*2*unit.Meters(s.Width)*unit.Meters(s.Change)) * unit.SquareMeter
	for _, one := range s.List {
		d.Unlike = max(d.Unlike, unit.Ratio(math.Abs(float64(one.Dry/one.DrySide)-1)))
	}
	if d.Unlike < roundedRates {
		d.Unlike = 0
	}
	f := stripsPlaced.Find(rx.Note, d)
	f.Area = s.Area
	return f
}

// headerNote tells whether whole passes of the combine fill a strip, as many up as down.
func headerNote(s *rx.Strips) rx.Finding {
	d := header{Width: s.Width, Header: s.Header, Passes: headerPasses(s)}
	if d.Passes == 0 {
		return stripsHeader.Find(rx.Note, d)
	}
	d.Odd, d.Over = d.Passes%2 == 1, s.Width-unit.Length(unit.Length(d.Passes)*s.Header)
	severity := rx.Note
	if d.Odd || d.Over > 2*spare+unit.Length(s.Header/4) {
		severity = rx.Warning
	}
	return stripsHeader.Find(severity, d)
}
