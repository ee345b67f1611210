package sheet

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// nozzles lists the sizes on hand with the pressure that each needs.
func (d *draft) nozzles(b equip.Boom, fits []equip.Fit, mix unit.Density, known bool) {
	table := rx.Table{
		Title: "Pressure in " + unit.PressureSymbol(d.s) + " by speed, the best first",
		Head:  []string{"size"}, Left: []bool{true},
	}
	speeds := apart(b.Speed)
	for _, at := range speeds {
		table.Head, table.Left = append(table.Head, d.speed(speedsOf(b.Speed)[at])), append(table.Left, false)
	}
	table.Head, table.Left = append(table.Head, ""), append(table.Left, true)
	for _, f := range fits {
		row := []string{string(f.Nozzle)}
		for _, at := range speeds {
			row = append(row, d.pressureN(f.At[at].Pressure))
		}
		table.Rows = append(table.Rows, append(row, d.standing(b, f)))
	}
	gravity := float64(mix / equip.WaterDensity)
	s := rx.Section{Title: "Nozzles", Tables: []rx.Table{table}, Facts: []rx.Fact{
		{What: "Pressure allowed", Value: between(d.pressure(b.Pressure.Min), d.pressure(b.Pressure.Max))},
	}}
	if best := fits[0]; best.Holds {
		s.Facts = append(s.Facts, rx.Fact{What: "Mount size", Value: string(best.Nozzle), Note: d.pressure(best.At[1].Pressure) + " at " + d.speed(b.Speed.Usual)})
	}
	if known {
		s.Facts = append(s.Facts, rx.Fact{
			What: "Specific gravity of the mix", Value: num(gravity, 4),
			Note: "tables for water must read " + num(math.Sqrt(gravity), 4) + " times the flow; it is in the pressures below",
		})
	}
	s.Notes = []string{fmt.Sprintf("Size %s gives %s %s of water at %s, and the others in proportion; sizes that are named at 3 bar differ by 1.3 %%. Never over the pressure that hoses, tips and pump are rated for.",
		fits[0].Nozzle, d.flowN(fits[0].Nozzle.Flow()), d.flowUnit(), d.pressure(equip.RatedPressure))}
	d.add(s)
}

// speedsOf lists the lowest, the usual and the highest speed.
func speedsOf(s equip.Speeds) [3]unit.Speed { return [3]unit.Speed{s.Low, s.Usual, s.High} }

// apart lists the places in [speedsOf] of the speeds that differ: a machine may have one.
func apart(s equip.Speeds) []int {
	list := []int{0}
	for at, v := range speedsOf(s) {
		if v > speedsOf(s)[list[len(list)-1]] {
			list = append(list, at)
		}
	}
	return list
}

// standing says how a nozzle stands to the pressure range, in the user's units.
func (d *draft) standing(b equip.Boom, f equip.Fit) string {
	switch {
	case f.Holds:
		return "holds at every speed"
	case f.At[0].Pressure > b.Pressure.Max:
		return "too small"
	case f.At[2].Pressure < b.Pressure.Min:
		return "too large"
	}
	return "only " + d.speeds(f.Speeds.Min, f.Speeds.Max)
}

// speeds prints a range of speeds, its ends rounded inward.
func (d *draft) speeds(low, high unit.Speed) string {
	least, most := inward(low.In(d.s), high.In(d.s), 1)
	if least > most {
		return between(d.speed(low), d.speed(high))
	}
	return between(trim(least, 1)+" "+unit.SpeedSymbol(d.s), trim(most, 1)+" "+unit.SpeedSymbol(d.s))
}

// noNozzle says what helps where no size on hand holds the volume over all speeds.
func (d *draft) noNozzle(b equip.Boom, l *rx.Layer, fits []equip.Fit, mix unit.Density) {
	best := fits[0]
	s := rx.Section{Title: "No size on hand holds the volume at every speed"}
	s.Cautions = []string{"Outside its pressures a nozzle does not give the rate on this sheet. Choose one of these first:"}
	var sizes []string
	for _, f := range b.Others(mix) {
		sizes = append(sizes, string(f.Nozzle))
	}
	switch {
	case len(sizes) > 0:
		s.Steps = append(s.Steps, "Another size: "+strings.Join(sizes, ", ")+" would hold it.")
	case b.SpansTooMuch():
		s.Steps = append(s.Steps, fmt.Sprintf("No size can: pressure grows with the square of speed, and %s to %s takes %s times the pressure; the range allowed has %s times. Narrow the speeds.",
			d.speed(b.Speed.Low), d.speed(b.Speed.High), num(math.Pow(float64(b.Speed.High/b.Speed.Low), 2), 2), num(float64(b.Pressure.Max/b.Pressure.Min), 2)))
	default:
		s.Steps = append(s.Steps, "Another size: none would hold this volume.")
	}
	if held, ok := b.Volumes(best.Nozzle, equip.VolumeStep(d.s), d.mixAt(l)); ok {
		s.Steps = append(s.Steps, fmt.Sprintf("Another volume: size %s would hold %s at every speed; keep inside the label's spray volume, and make this plan again with it, since the fills change.",
			best.Nozzle, between(d.spray(held.Min), d.spray(held.Max))))
	}
	if best.Speeds.Max >= b.Speed.Low && best.Speeds.Min <= b.Speed.High {
		s.Steps = append(s.Steps, fmt.Sprintf("Another speed: with size %s keep between %s.", best.Nozzle,
			strings.Replace(d.speeds(max(best.Speeds.Min, b.Speed.Low), min(best.Speeds.Max, b.Speed.High)), " to ", " and ", 1)))
	}
	d.add(s)
}
