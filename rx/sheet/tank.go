package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// mostFills is how many fills one sheet lists line by line.
const mostFills = 30

// fills lists the tank fills, the last partial one with figures of its own. Totals
// are the sums of what is printed.
func (d *draft) fills(b equip.Boom, l *rx.Layer) {
	s := rx.Section{Title: "Tank fills"}
	all, metered, err := d.a.Terms.Fills(b, l.Area, l.Rate)
	if err != nil {
		s.Cautions = []string{sentence(err.Error()) + " The fills are not worked out: compare the units in the job file."}
		d.add(s)
		return
	}
	const line = "______"
	table := rx.Table{
		Head: []string{"fill", d.areaUnit(), "water " + d.canUnit(), "stabilizer " + d.dropUnit(), d.canUnit(), "acres read", "initials"},
		Left: make([]bool, 7),
	}
	table.Head[5] = pick(d.show, "acres read", "ha read")
	row := func(name string, f equip.Fill) {
		table.Rows = append(table.Rows, []string{name, d.areaN(f.Area), d.canN(f.Water), d.dropN(f.Product), d.canN(f.Product), line, line})
	}
	if all.Number() <= mostFills {
		for i := range all.Count {
			row(fmt.Sprint(i+1), metered.Full)
		}
	} else {
		row("each of 1 to "+num(float64(all.Count), 0), metered.Full)
	}
	if all.Last.Area > 0 {
		row(fmt.Sprintf("%d (last)", all.Number()), metered.Last)
	}
	sum := metered.Total()
	table.Total = []string{"in all", d.areaN(l.Area), d.canN(sum.Water), d.dropN(sum.Product), d.canN(sum.Product), line, line}
	s.Facts = []rx.Fact{
		{What: "Tank", Value: d.can(b.Tank), Note: d.area(all.Full.Area) + " a full one at " + d.spray(b.Volume)},
		{What: "Fills", Value: fillsText(all)},
	}
	s.Tables = []rx.Table{table}
	s.Notes = []string{"Water and stabilizer together make the spray volume. Measure the stabilizer by the " + pick(d.show, "fluid ounces", "milliliters") + "."}
	if exact := l.Volume; num(sum.Product.In(d.s), 0) != num(exact.In(d.s), 0) {
		s.Notes = append(s.Notes, fmt.Sprintf("The layer takes %s %s of stabilizer; the fills, each rounded as a meter reads, make %s.", num(exact.In(d.s), 1), d.dropUnit(), d.drop(sum.Product)))
	}
	if all.Count > 0 {
		s.Notes = append(s.Notes, d.fillNote("A full tank", all.Full, metered.Full))
	}
	if all.Last.Area > 0 {
		s.Notes = append(s.Notes, d.fillNote("The last one", all.Last, metered.Last))
	}
	d.add(s)
}

// fillNote says how the stabilizer of a fill was rounded, and why.
func (d *draft) fillNote(which string, exact, metered equip.Fill) string {
	return fmt.Sprintf("%s: %s at the planned rate take %s %s", which, d.area(exact.Area), trim(exact.Product.In(d.s), 3), d.dropUnit()) +
		d.rounding(exact.Product, metered.Product, func(v unit.Volume) string { return d.a.Terms.WhyNotRate(exact.Rate(v)) })
}

func fillsText(f equip.Fills) string {
	switch {
	case f.Last.Area == 0:
		return plural(f.Count, "full one", "full ones")
	case f.Count == 0:
		return "1, not full"
	}
	return plural(f.Count, "full one", "full ones") + " and a last one that is not full"
}

// usualSpacings are those of common booms, for a catch course where no boom is given.
func (c *crew) usualSpacings() []unit.Length {
	if c.s == unit.Metric {
		return []unit.Length{0.25 * unit.Meter, 0.5 * unit.Meter, 0.75 * unit.Meter, 1 * unit.Meter}
	}
	return []unit.Length{15 * unit.Inch, 20 * unit.Inch, 30 * unit.Inch, 40 * unit.Inch}
}

// catch gives the course on which what one nozzle gives, in fluid ounces or
// milliliters, is the volume in gal/ac or L/ha.
func (d *draft) catch(spacing unit.Length, b *equip.Boom) {
	course := func(spacing unit.Length) unit.Length {
		return pick(d.show, equip.CatchCourse(spacing), equip.MetricCatchCourse(spacing))
	}
	s := rx.Section{Title: "Catch test"}
	if b == nil {
		table := rx.Table{Head: []string{"nozzles apart", "course"}, Left: []bool{false, false}}
		for _, spacing := range d.usualSpacings() {
			table.Rows = append(table.Rows, []string{d.spacing(spacing), d.length(course(spacing))})
		}
		s.Tables = []rx.Table{table}
	} else {
		time := equip.CatchTime(course(spacing), b.Speed.Usual)
		caught := equip.Caught(b.Volume, course(spacing), spacing)
		s.Facts = []rx.Fact{
			{What: "Course", Value: d.length(course(spacing)), Note: "for nozzles " + d.spacing(spacing) + " apart"},
			{What: "Time on it", Value: num(float64(time/unit.Second), 1) + " s", Note: "at " + d.speed(b.Speed.Usual)},
			{What: "One nozzle gives", Value: d.drop(caught), Note: "in that time, which is " + d.spray(b.Volume)},
		}
	}
	s.Steps = []string{
		"Drive the course at the usual speed with the machine loaded; take the time three times.",
		"Standing, at the pressure of that speed, catch one nozzle for that time.",
		"The " + pick(d.show, "fluid ounces caught are the gal/ac", "milliliters caught are the L/ha") + ". Catch every nozzle: one that is 10 % off the mean is cleaned or replaced (common practice, no source).",
	}
	s.Notes = []string{pick(d.show, "[Ohio State Univ. Extension Bulletin 817; LSU AgCenter, Ounces Equal Gallons]", "The course has 10 m2 under one nozzle, on which 1 mL is 1 L/ha.")}
	s.Blanks = []string{
		"Time: " + blank + " s, " + blank + " s, " + blank + " s; Caught, " + d.dropUnit() + ": " + blank + ", " + blank + ", " + blank,
	}
	d.add(s)
}
