// Package figures prints numbers and Quantities for people, in the units that they
// chose.
package figures

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Fixed prints a number with so many decimals.
func Fixed(v float64, decimals int) string { return fmt.Sprintf("%.*f", decimals, v) }

// Short prints up to one decimal, none where it is zero.
func Short(v float64) string { return strings.TrimSuffix(Fixed(v, 1), ".0") }

// Trim prints up to six digits, without zeros at the end, and what nobody counts in full as a
// power of ten: 3.4e+38 may stand for no data.
func Trim(v float64) string {
	if math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', 6, 64)
	}
	return strings.ReplaceAll(unit.Digits(v, 6), ",", "")
}

// Count prints a whole number, in groups of three digits.
func Count[N int | int64](n N) string { return Thousands(fmt.Sprint(n)) }

// Plural prints a number with the noun that goes with it.
func Plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Count(n) + " " + many
}

// Thousands does what [unit.Thousands] does.
func Thousands(s string) string { return unit.Thousands(s) }

// Quantities prints quantities in the user's units, most of them without the symbol.
type Quantities struct{ System unit.System }

// In returns the printer for a system of units.
func In(s unit.System) Quantities { return Quantities{s} }

// Symbols are the units that heads of columns name.
func (q Quantities) Symbols() (area, dry, rate string) {
	return unit.Symbol[unit.Area](q.System), unit.Symbol[unit.DryRate](q.System), unit.Symbol[unit.LiquidRate](q.System)
}

// Area prints an area with two decimals, in groups of three digits.
func (q Quantities) Area(a unit.Area) string { return Thousands(Fixed(a.In(q.System), 2)) }

// Patch prints the area of a zone or a few, however small.
func (q Quantities) Patch(a unit.Area) string {
	if a > 0 && a.In(q.System) < 0.005 {
		return "under 0.01"
	}
	return q.Area(a)
}

// Dry prints a dry rate.
func (q Quantities) Dry(r unit.DryRate) string { return Short(r.In(q.System)) }

// DryRange prints two dry rates, or one where they read the same.
func (q Quantities) DryRange(low, high unit.DryRate) string { return span(q.Dry(low), q.Dry(high)) }

// DryWindow prints dry rates that stay on label, rounded inward to a tenth, so that what is
// printed does too; as [Quantities.DryRange] does where that leaves none.
func (q Quantities) DryWindow(r rx.Range[unit.DryRate]) string {
	const tenths, rounding = 10, 1e-7
	low, high := math.Ceil(float64(r.Min.In(q.System)*tenths)-rounding)/tenths, math.Floor(float64(r.Max.In(q.System)*tenths)+rounding)/tenths
	if low > high {
		return q.DryRange(r.Min, r.Max)
	}
	return span(Short(low), Short(high))
}

// Rate prints a rate of stabilizer with one decimal; from 1,000 mL/ha on a tenth is not worth
// saying, as in the text of a quantity ([unit.Quantity.Brief]).
func (q Quantities) Rate(r unit.LiquidRate) string {
	v := r.In(q.System)
	return q.liquid(v, q.tenths(v))
}

// Plain prints a rate of stabilizer as [Quantities.Rate] does, without an idle zero: so the
// decision prints it, and so text and legends do that stand beside it.
func (q Quantities) Plain(r unit.LiquidRate) string { return strings.TrimSuffix(q.Rate(r), ".0") }

// tenths is how many decimals a rate of stabilizer is printed with.
func (q Quantities) tenths(v float64) int {
	if q.System == unit.Metric && v >= 1000 {
		return 0
	}
	return 1
}

// Window prints a loading that ends those that stay on label, as [Quantities.Rate] does.
func (q Quantities) Window(l unit.Loading) string { return q.liquid(l.In(q.System), 1) }

func (q Quantities) liquid(v float64, decimals int) string {
	text := Fixed(v, decimals)
	if q.System == unit.Metric {
		text = Thousands(strings.TrimSuffix(text, ".0"))
	}
	return text
}

// RateRange prints two rates of stabilizer as [Quantities.Plain] does, or one where they read
// the same.
func (q Quantities) RateRange(low, high unit.LiquidRate) string {
	return span(q.Plain(low), q.Plain(high))
}

// SideRate prints a rate with as many decimals as show on which side of the label's
// ends it lies: 40.004 is not printed as 40.0 where 40 is the most.
func (q Quantities) SideRate(s unit.LiquidRate, label rx.Range[unit.LiquidRate]) string {
	v, one := s.In(q.System), unit.LiquidRate(1).In(q.System)
	for decimals := q.tenths(v); decimals < 6; decimals++ {
		text := q.liquid(v, decimals)
		shown, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
		if read := unit.LiquidRate(shown / one); err != nil || label.Under(s) == label.Under(read) && label.Over(s) == label.Over(read) {
			return text
		}
	}
	return q.Rate(s)
}

// SideRange prints both ends of a range as [Quantities.SideRate] does, or one where
// they read the same.
func (q Quantities) SideRange(s, label rx.Range[unit.LiquidRate]) string {
	return span(q.SideRate(s.Min, label), q.SideRate(s.Max, label))
}

func span(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}

// Loading prints a loading as it was graded, not rounded again.
func (q Quantities) Loading(l unit.Loading) string { return Thousands(l.Text(q.System)) }

// Mass prints lb or kg, or tons where there are many.
func (q Quantities) Mass(m unit.Mass) string {
	if q.System == unit.Metric {
		if m >= unit.MetricTon {
			return Fixed(float64(m/unit.MetricTon), 3) + " t"
		}
		return Fixed(m.In(q.System), 1) + " kg"
	}
	return Thousands(Fixed(float64(m), 0)) + " lb"
}

// Volume prints gallons or liters, and the small unit where it is little.
func (q Quantities) Volume(v unit.Volume) string {
	switch {
	case q.System == unit.Metric && v < unit.Liter:
		return Fixed(v.In(q.System), 0) + " mL"
	case q.System == unit.Metric:
		return Fixed(float64(v/unit.Liter), 1) + " L"
	case v < unit.Gallon:
		return Fixed(float64(v), 1) + " fl oz"
	}
	return Thousands(Fixed(float64(v), 0)) + " fl oz (" + Fixed(float64(v/unit.Gallon), 2) + " gal)"
}

// Drops prints fluid ounces or milliliters alone, as a meter is read.
func (q Quantities) Drops(v unit.Volume) string {
	return Thousands(Fixed(v.In(q.System), 0)) + " " + unit.Symbol[unit.Volume](q.System)
}

// Tank prints gallons or liters alone.
func (q Quantities) Tank(v unit.Volume) string {
	if q.System == unit.Metric {
		return Thousands(Fixed(float64(v/unit.Liter), 1)) + " L"
	}
	return Thousands(Fixed(float64(v/unit.Gallon), 2)) + " gal"
}

// Place prints latitude and longitude, the way a phone takes them.
func Place(p orb.Point) string { return fmt.Sprintf("%.5f, %.5f", p[1], p[0]) }
