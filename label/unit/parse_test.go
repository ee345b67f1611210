package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// asFloat adapts a Parse function to a table.
func asFloat[Q ~float64](parse func(string) (Q, error)) func(string) (float64, error) {
	return func(s string) (float64, error) { v, err := parse(s); return float64(v), err }
}

func TestParse(t *testing.T) {
	dry, liquid, loading := asFloat(ParseDryRate), asFloat(ParseLiquidRate), asFloat(ParseLoading)
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
		{dry, "0.1 ton/ac", 200},
		{dry, "1 tons per acre", 2000},
		{loading, "320 fl oz/ton", 320},
		{loading, "2.5 gal/ton", 320},
		{loading, "20 pints per short ton", 320},
		{asFloat(ParseDensity), "9 lb/gal", 9},
		{asFloat(ParseDensity), "1 lb/pt", 8},
		{asFloat(ParseRatio), "5 %", 0.05},
		{asFloat(ParseRatio), "5%", 0.05},
		{asFloat(ParseRatio), "5 percent", 0.05},
		{asFloat(ParseLength), "20 in", 20.0 / 12},
		{asFloat(ParseLength), "70 feet", 70},
		{asFloat(ParseSpeed), "15 miles per hour", 15},
		{asFloat(ParseFlow), "0.4 gpm", 0.4},
		{asFloat(ParseFlow), "0.4 gallons per minute", 0.4},
		{asFloat(ParsePressure), "40 PSI", 40},
		{asFloat(ParseCapacity), "180 cubic feet", 180},
		{asFloat(ParseCapacity), "180 cu. ft.", 180},
		{asFloat(ParseCapacity), "180 ft³", 180},
		{asFloat(ParseCapacity), "180 ft^3", 180},
		{asFloat(ParseArea), "40 acres", 40},
		{asFloat(ParseArea), "43560 sq ft", 1},
		{asFloat(ParseTime), "24 h", 1440},
		{asFloat(ParseTime), "90 seconds", 1.5},
		{asFloat(ParseMass), "3 tons", 6000},
		{asFloat(ParseVolumePrice), "38.50 $/gal", 38.5},
		{asFloat(ParseVolumePrice), "$38.50/gal", 38.5},
		{asFloat(ParseVolumePrice), "$ 38.50 per gallon", 38.5},
		{asFloat(ParseMassPrice), "0.26 $/lb", 520},
		{asFloat(ParseMassPrice), "$520/ton", 520},
		{asFloat(ParseAreaPrice), "7.50 dollars per acre", 7.5},
		{asFloat(ParseGrainPrice), "$4.25/bu", 4.25},
		{asFloat(ParseMoney), "$1200", 1200},
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
		{asFloat(ParseLiquidRate), "20 lb/ac", "is a dry rate"},
		{asFloat(ParseDryRate), "30 fl oz/ac", "is a liquid rate"},
		{asFloat(ParseDryRate), "200 lb", "is a weight"},
		{asFloat(ParseLoading), "320 fl oz", "is a volume of liquid"},
		{asFloat(ParseDensity), "9 gal", "is a volume of liquid"},
		{asFloat(ParseMassPrice), "38 $/gal", "is a price of a liquid"},
		{asFloat(ParseLiquidRate), "30 oz/ac", `has "oz", which is a weight`},
		{asFloat(ParseVolume), "30 ounces", `has "oz", which is a weight`},
		{asFloat(ParseLoading), "320 oz/ton", `has "oz", which is a weight`},
		{asFloat(ParseDryRate), "200", "has no unit"},
		{asFloat(ParseDryRate), "", "does not start with a number"},
		{asFloat(ParseDryRate), "lb/ac", "does not start with a number"},
		{asFloat(ParseDryRate), "nan lb/ac", "does not start with a number"},
		{asFloat(ParseDryRate), "inf lb/ac", "does not start with a number"},
		{asFloat(ParseDryRate), "-inf lb/ac", "does not start with a number"},
		{asFloat(ParseDryRate), "-200 lb/ac", "is negative"},
		{asFloat(ParseDryRate), "-0 lb/ac", "is negative"},
		{asFloat(ParseVolumePrice), "-$3/gal", "does not start with a number"},
		{asFloat(ParseVolumePrice), "$-3/gal", "is negative"},
		{asFloat(ParseDryRate), "1e400 lb/ac", "has a number that can't be read"},
		{asFloat(ParseDryRate), "1e308 ton/ac", "is too large"},
		{asFloat(ParseDryRate), "1.2.3 lb/ac", "has a number that can't be read"},
		{asFloat(ParseDryRate), "1,000 lb/ac", "has a comma in its number"},
		{asFloat(ParseDryRate), "12,5 lb/ac", "has a comma in its number"},
		{asFloat(ParseDryRate), "1 000 lb/ac", "has a unit that is not known here"},
		{asFloat(ParseDryRate), "0x1p4 lb/ac", "has a unit that is not known here"},
		{asFloat(ParseDryRate), "200 lb/furlong", "has a unit that is not known here"},
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
	_, err := ParseLiquidRate("20 lb/ac")
	want := `"20 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	_, err = ParseDryRateUnit("gal/ac")
	want = `"gal/ac" is not a unit of a dry rate: want one of lb/ac, ton/ac, kg/ha, t/ha`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// TestSymbolsAreCanonical guards against a symbol that its own spelling rules
// would rewrite, and so never find.
func TestSymbolsAreCanonical(t *testing.T) {
	for _, d := range dimensions {
		for _, u := range d.symbols {
			if got := canonical(u.name); got != u.name {
				t.Errorf("%s: %q is rewritten to %q", d.what, u.name, got)
			}
		}
		for _, u := range d.shown {
			if f, err := d.factor(u.name); err != nil || f != u.factor {
				t.Errorf("%s: shown unit %q can't be read back: %v, %v", d.what, u.name, f, err)
			}
		}
		if _, err := d.parse(d.example); err != nil {
			t.Errorf("%s: own example: %v", d.what, err)
		}
	}
}
