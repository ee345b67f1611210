package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// parse adapts Parse to a table.
func parse[Q quantity](s string) (float64, error) {
	v, err := Parse[Q](s)
	return float64(v), err
}

func TestParse(t *testing.T) {
	dry, liquid, loading := parse[DryRate], parse[LiquidRate], parse[Loading]
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		want  float64 // in the base unit
	}{
		{liquid, "30 fl oz/ac", 30},
		{liquid, "30fl oz/ac", 30},
		{liquid, "  30  FL OZ / AC ", 30},
		{liquid, "30 fl. oz. per acre", 30},
		{liquid, "30 fluid ounces per acre", 30},
		{liquid, "30 US fl oz/acre", 30},
		{liquid, "30 floz/ac", 30},
		{liquid, "10 gpa", 1280},
		{liquid, "10 gallons/acre", 1280},
		{liquid, "2.5 pt/ac", 40},
		{liquid, "1 quart per acre", 32},
		{dry, "200 lb/ac", 200},
		{dry, "200 lbs/acre", 200},
		{dry, "2e2 pounds per acre", 200},
		{dry, "2E+2 lb/ac", 200},
		{dry, "1e15 lb/ac", 1e15},
		{dry, "20000e-2 lb/ac", 200},
		{dry, "0.1 ton/ac", 200},
		{dry, "1 tons per acre", 2000},
		{loading, "320 fl oz/ton", 320},
		{loading, "2.5 gal/ton", 320},
		{loading, "20 pints per short ton", 320},
		{parse[Density], "9 lb/gal", 9},
		{parse[Density], "1 lb/pt", 8},
		{parse[Ratio], "5 %", 0.05},
		{parse[Ratio], "5%", 0.05},
		{parse[Ratio], "5 percent", 0.05},
		{parse[Length], "20 in", 20.0 / 12},
		{parse[Length], "70 feet", 70},
		{parse[Speed], "15 miles per hour", 15},
		{parse[Flow], "0.4 gpm", 0.4},
		{parse[Flow], "0.4 gallons per minute", 0.4},
		{parse[Pressure], "40 PSI", 40},
		{parse[Capacity], "180 cubic feet", 180},
		{parse[Capacity], "180 cu. ft.", 180},
		{parse[Capacity], "180 ft³", 180},
		{parse[Capacity], "180 ft^3", 180},
		{parse[Area], "40 acres", 40},
		{parse[Area], "43560 sq ft", 1},
		{parse[Time], "24 h", 1440},
		{parse[Time], "90 seconds", 1.5},
		{parse[Mass], "3 tons", 6000},
		{parse[VolumePrice], "38.50 $/gal", 38.5},
		{parse[VolumePrice], "$38.50/gal", 38.5},
		{parse[VolumePrice], "$ 38.50 per gallon", 38.5},
		{parse[MassPrice], "0.26 $/lb", 520},
		{parse[MassPrice], "$520/ton", 520},
		{parse[AreaPrice], "7.50 dollars per acre", 7.5},
		{parse[GrainPrice], "$4.25/bu", 4.25},
		{parse[Money], "$1200", 1200},
	} {
		got, err := c.parse(c.text)
		if err != nil || math.Abs(got-c.want) > 1e-15*c.want {
			t.Errorf("%q: got %v, %v, want %v", c.text, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		why   string
	}{
		{parse[LiquidRate], "20 lb/ac", "is a dry rate"},
		{parse[DryRate], "30 fl oz/ac", "is a liquid rate"},
		{parse[DryRate], "200 lb", "is a weight"},
		{parse[Loading], "320 fl oz", "is a volume of liquid"},
		{parse[Density], "9 gal", "is a volume of liquid"},
		{parse[MassPrice], "38 $/gal", "is a price of a liquid"},
		{parse[LiquidRate], "30 oz/ac", `has "oz", which is a weight`},
		{parse[Volume], "30 ounces", `has "oz", which is a weight`},
		{parse[Loading], "320 oz/ton", `has "oz", which is a weight`},
		{parse[DryRate], "200", "has no unit"},
		{parse[DryRate], "", "does not start with a number"},
		{parse[DryRate], "lb/ac", "does not start with a number"},
		{parse[DryRate], ". lb/ac", "does not start with a number"},
		{parse[DryRate], "-.e3 lb/ac", "does not start with a number"},
		{parse[DryRate], "2e", "has a unit that is not known here"},
		{parse[DryRate], "2e+", "has a unit that is not known here"},
		{parse[DryRate], "nan lb/ac", "does not start with a number"},
		{parse[DryRate], "inf lb/ac", "does not start with a number"},
		{parse[DryRate], "-inf lb/ac", "does not start with a number"},
		{parse[DryRate], "-200 lb/ac", "is negative"},
		{parse[DryRate], "-0 lb/ac", "is negative"},
		{parse[VolumePrice], "-$3/gal", "does not start with a number"},
		{parse[VolumePrice], "$-3/gal", "is negative"},
		{parse[DryRate], "1e400 lb/ac", "has a number that can't be read"},
		{parse[DryRate], "1e308 ton/ac", "is too large"},
		{parse[DryRate], "1.001e15 lb/ac", "is too large"},
		{parse[DryRate], "1.2.3 lb/ac", "has a number that can't be read"},
		{parse[DryRate], "1,000 lb/ac", "has a comma in its number"},
		{parse[DryRate], "12,5 lb/ac", "has a comma in its number"},
		{parse[DryRate], "1 000 lb/ac", "has a unit that is not known here"},
		{parse[DryRate], "0x1p4 lb/ac", "has a unit that is not known here"},
		{parse[DryRate], "200 lb/furlong", "has a unit that is not known here"},
		{parse[DryRate], "2e lb/ac", "has a unit that is not known here"},
		{parse[DryRate], "2e+ lb/ac", "has a unit that is not known here"},
	} {
		got, err := c.parse(c.text)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%q: got %v, %v, want an *Error", c.text, got, err)
			continue
		}
		if !strings.HasPrefix(e.Why, c.why) {
			t.Errorf("%q: got why %q, want %q", c.text, e.Why, c.why)
		}
		if got != 0 {
			t.Errorf("%q: got %v beside the error", c.text, got)
		}
	}
}

func TestErrorSaysWhatWasWanted(t *testing.T) {
	_, err := Parse[LiquidRate]("20 lb/ac")
	want := `"20 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	_, err = ParseDryRateUnit("gal/ac")
	want = `"gal/ac" is not a unit of a dry rate: want one of ` + strings.Join(DryRateUnits(), ", ")
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// TestSymbolsAreCanonical guards against a symbol that its own spelling rules
// would rewrite, and so never find.
func TestSymbolsAreCanonical(t *testing.T) {
	for _, d := range append(tables(), bulkDensities) {
		for _, u := range d.units {
			if got := canonical(u.name); got != strings.ToLower(u.name) {
				t.Errorf("%s: %q is rewritten to %q", d.what, u.name, got)
			}
		}
		for _, u := range d.shown {
			if f, err := d.factor(u.name); err != nil || f != u.factor || f == 0 {
				t.Errorf("%s: shown unit %q can't be read back: %v, %v", d.what, u.name, f, err)
			}
		}
		if _, err := d.parse(d.example); err != nil {
			t.Errorf("%s: own example: %v", d.what, err)
		}
	}
}

// Every name, plural and abbreviation of a unit is that unit: names and symbols as NIST Handbook 44,
// Appendix C, has them; how else people shorten them is common practice, no source.
func TestSpellings(t *testing.T) {
	for symbol, spelled := range map[string]string{
		"fl oz": "floz, fluid ounce, fluid ounces, fl. oz., US fl oz, US fluid ounces", "pt": "pint, pints, pts, US pt", "qt": "quart, quarts, qts, US qt", "gal": "gallon, gallons, gals, US gal",
		"lb": "pound, pounds, lbs, LB, lb.", "ton": "tons, short ton", "t": "tonne, tonnes, metric ton, metric tons", "kg": "kilogram, kilograms", "g": "gram, grams", "oz": "ounce, ounces",
		"l": "liter, liters, litre, litres, L", "ml": "milliliter, milliliters, millilitre, millilitres, mL", "ac": "acre, acres", "ha": "hectare, hectares", "bu": "bushel, bushels",
		"s": "second, seconds, sec", "min": "minute, minutes, mins", "h": "hour, hours, hr, hrs", "d": "day, days",
		"ft": "foot, feet", "in": "inch, inches", "m": "meter, meters, metre, metres", "mi": "mile, miles", "km/h": "kilometers per hour, kilometer/h, kilometre/hr, kilometres per hour, kph, kmh",
		"ft2": "sq ft, square feet, ft², ft^2", "m2": "sq m, square meters, m²", "ft3": "cu ft, cubic feet, ft³", "m3": "cu m, cubic meters, m³",
		"$": "dollar, dollars, USD", "%": "percent", "gal/ac": "gpa, gallons per acre", "gal/min": "gpm, gal per min", "l/min": "lpm", "mph": "mi/h, miles per hour", "psi": "psig",
	} {
		for name := range strings.SplitSeq(spelled, ", ") {
			if got := canonical(name); got != symbol {
				t.Errorf("%q is %q, want %q", name, got, symbol)
			}
		}
	}
}
