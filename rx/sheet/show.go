package sheet

import (
	"math"
	"strconv"
	"strings"

	"rxsplit/label/unit"
)

// blank is where a figure is written by hand.
const blank = "________"

// show prints quantities in the user's units: a method named for the quantity prints
// it with its unit, and one that ends in N the bare number, for tables.
type show struct{ s unit.System }

// num prints a number with so many decimals and a comma between thousands.
func num(v float64, decimals int) string {
	digits, negative := strings.CutPrefix(unit.Thousands(strconv.FormatFloat(v, 'f', decimals, 64)), "-")
	if negative && strings.Trim(digits, "0.,") != "" {
		digits = "-" + digits
	}
	return digits
}

// trim prints a number with at most so many decimals, without idle zeros.
func trim(v float64, decimals int) string {
	text := num(v, decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// inward rounds the ends of a range to so many decimals so that they stay in it; where it
// holds no such number, the lower end comes out above the upper one. An end may miss a
// number by a small part of a step from rounding alone.
func inward(low, high float64, decimals int) (least, most float64) {
	const slack = 1e-6
	steps := math.Pow10(decimals)
	return math.Ceil(float64(low*steps)-slack) / steps, math.Floor(float64(high*steps)+slack) / steps
}

// pick returns the first for US units, the second for metric ones.
func pick[T any](w show, us, metric T) T {
	if w.s == unit.Metric {
		return metric
	}
	return us
}

func (w show) areaUnit() string            { return unit.Symbol[unit.Area](w.s) }
func (w show) areaN(a unit.Area) string    { return num(a.In(w.s), 2) }
func (w show) area(a unit.Area) string     { return w.areaN(a) + " " + w.areaUnit() }
func (w show) dryUnit() string             { return unit.Symbol[unit.DryRate](w.s) }
func (w show) dryN(r unit.DryRate) string  { return trim(r.In(w.s), 1) }
func (w show) dry(r unit.DryRate) string   { return w.dryN(r) + " " + w.dryUnit() }
func (w show) dry2N(r unit.DryRate) string { return trim(r.In(w.s), pick(w, 2, 1)) }

func (w show) massUnit() string          { return unit.Symbol[unit.Mass](w.s) }
func (w show) massN(m unit.Mass) string  { return num(m.In(w.s), 0) }
func (w show) mass(m unit.Mass) string   { return w.massN(m) + " " + w.massUnit() }
func (w show) bulkUnit() string          { return pick(w, "ton", "t") }
func (w show) bulkOne() unit.Mass        { return pick(w, unit.Ton, unit.MetricTon) }
func (w show) bulkN(m unit.Mass) string  { return num(float64(m/w.bulkOne()), 3) }
func (w show) bulk(m unit.Mass) string   { return w.bulkN(m) + " " + w.bulkUnit() }
func (w show) agentN(m unit.Mass) string { return num(m.In(w.s), 2) }

// loading prints a loading to a tenth, or in whole milliliters.
func (w show) loading(l unit.Loading) string {
	return trim(l.In(w.s), pick(w, 1, 0)) + " " + unit.Symbol[unit.Loading](w.s)
}

// Liquids are dosed in fluid ounces or milliliters and ordered in gallons or liters.
func (w show) dropUnit() string           { return unit.Symbol[unit.Volume](w.s) }
func (w show) canUnit() string            { return pick(w, "gal", "L") }
func (w show) canOne() unit.Volume        { return pick(w, unit.Gallon, unit.Liter) }
func (w show) canN(v unit.Volume) string  { return num(float64(v/w.canOne()), 2) }
func (w show) can(v unit.Volume) string   { return w.canN(v) + " " + w.canUnit() }
func (w show) dropN(v unit.Volume) string { return trim(v.In(w.s), 2) }
func (w show) drop(v unit.Volume) string  { return w.dropN(v) + " " + w.dropUnit() }

func (w show) rateUnit() string               { return unit.Symbol[unit.LiquidRate](w.s) }
func (w show) rateN(r unit.LiquidRate) string { return num(r.In(w.s), pick(w, 2, 0)) }
func (w show) rate(r unit.LiquidRate) string {
	return trim(r.In(w.s), pick(w, 2, 0)) + " " + w.rateUnit()
}

// A spray volume is spoken of in gal/ac or L/ha.
func (w show) sprayUnit() string {
	_, symbol := unit.SprayVolumeUnit(w.s)
	return symbol
}
func (w show) spray(r unit.LiquidRate) string {
	one, symbol := unit.SprayVolumeUnit(w.s)
	return trim(float64(r/one), 2) + " " + symbol
}

func (w show) bulkDensityUnit() string { return pick(w, "lb/ft3", "kg/m3") }
func (w show) bulkDensity(d unit.Density) string {
	return trim(float64(d/pick(w, unit.PoundPerCubicFoot, unit.KilogramPerCubicMeter)), pick(w, 1, 0)) + " " + w.bulkDensityUnit()
}

func (w show) flowN(q unit.Flow) string         { return num(q.In(w.s), 3) }
func (w show) flowUnit() string                 { return unit.Symbol[unit.Flow](w.s) }
func (w show) pressureN(p unit.Pressure) string { return num(p.In(w.s), pick(w, 1, 2)) }
func (w show) pressure(p unit.Pressure) string {
	return trim(p.In(w.s), pick(w, 1, 2)) + " " + unit.Symbol[unit.Pressure](w.s)
}
func (w show) speedN(v unit.Speed) string { return trim(v.In(w.s), 1) }
func (w show) speed(v unit.Speed) string  { return w.speedN(v) + " " + unit.Symbol[unit.Speed](w.s) }
func (w show) length(l unit.Length) string {
	return trim(l.In(w.s), pick(w, 0, 1)) + " " + unit.Symbol[unit.Length](w.s)
}

func (w show) spacing(l unit.Length) string {
	return pick(w, trim(float64(l/unit.Inch), 2)+" in", trim(float64(l/unit.Meter), 3)+" m")
}

func (w show) minutes(t unit.Time) string { return trim(float64(t/unit.Minute), 1) + " min" }
func percent(r unit.Ratio) string         { return trim(r.In(unit.US), 2) + " %" }
func money(v float64) string              { return unit.Cents(unit.Money(v)) }

// between joins two ends that carry the same unit; one of them where they look equal.
func between(low, high string) string {
	if low == high {
		return low
	}
	if _, unit, ok := strings.Cut(high, " "); ok {
		low = strings.TrimSuffix(low, " "+unit)
	}
	return low + " to " + high
}

// plural prints a count with its noun.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return num(float64(n), 0) + " " + many
}

// days prints a time of whole days as such, and others in hours.
func (w show) days(t unit.Time) string { return unit.Days(t, w.s) }
