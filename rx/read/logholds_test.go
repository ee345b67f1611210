package read

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
)

// What a map says to be in a log: shares, rates in rates, loadings; what is none of them is named.
func TestWhatALogHolds(t *testing.T) {
	for _, c := range []struct {
		unit, part string
		each       float64
		why        string
	}{
		{"gal/ac", "30 fl oz/ac in 10 gal/ac", 30.0 / 1280, ""},
		{"L/ha", "2.5 %", 0.025, ""},
		{"lb/ac", "320 fl oz/ton", 320.0 / 2000, ""},
		{"kg/ha", "3 L/t", 3 / 0.0295735295625 / 2204.6226218487757, ""},
		{"gal/ac", "320 fl oz/ton", 0, "is neither a share"},
		{"gal/ac", "120 %", 0, "more than all of it"},
		{"gal/ac", "10 gal/ac in 30 fl oz/ac", 0, "more than all of it"},
		{"gal/ac", "30 fl oz/ac in 0 gal/ac", 0, "want the rate of the whole"},
		{"lb/ac", "2 %", 0, "is a share: want a loading"},
		{"lb/ac", "0 fl oz/ton", 0, "not above 0"},
	} {
		of := "dry"
		if _, err := unit.Parse[unit.LiquidRate]("1 " + c.unit); err == nil {
			of = "mix"
		}
		m, err := ParseLogMap("m", []byte("columns: {rate: R}\nwidth: 20 m\nrate-unit: "+c.unit+"\nof: "+of+"\nholds: [{liquid: stabilizer, part: "+c.part+"}]\n"))
		switch {
		case c.why != "":
			if err == nil || !strings.Contains(err.Error(), c.why) {
				t.Errorf("%s of %s: %v, want %q", c.part, c.unit, err, c.why)
			}
		case err != nil:
			t.Error(err)
		case math.Abs(m.Holds[0].Each()/c.each-1) > 1e-9:
			t.Errorf("%s of %s: %v, want %v", c.part, c.unit, m.Holds[0].Each(), c.each)
		}
	}
}
