package taskdata

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// Both sides of each bound of an attribute.
func TestValuesOfAttributes(t *testing.T) {
	for name, c := range map[string]struct {
		check    func(string) string
		good     string // parted by blanks
		bad, why string
	}{
		"whole":      {whole(-5, 10), "-5 0 +3 10", "-6 11", "is not between -5 and 10"},
		"no whole":   {whole(-5, 10), "1", "1.5 x 1e1", "is no whole number"},
		"number":     {number(-90, 90), "-90 +90. .5 1.25", "-90.1 90.000001", "is not between -90 and 90"},
		"no number":  {number(-90, 90), "0", "1e1 nan inf x 0x1 1_0", "is no decimal number"},
		"size":       {size(0, 1), "1 1e-9 0.5", "0 -1 1.0001 nan inf", "is not above 0 and up to 1"},
		"no size":    {size(0, 1), "1", "x 1,5", "is no number"},
		"one of":     {oneOf("1", "2"), "1 2", "3 12", "is not 1 or 2"},
		"id":         {id("PDT"), "PDT1 PDT-9999999999 PDT10", "PDT0 PDT01 PDT12345678901 TSK1 xPDT1 PDT-", "is no ID such as PDT1"},
		"dictionary": {hex4, "0000 00FF", "00ff 00F 000FF", "is no entry of the data dictionary in four hexadecimal digits"},
		"characters": {atMost(3), "abc äöü", "abcd äöüß", "is longer than 3 characters"},
	} {
		for _, v := range strings.Fields(c.good) {
			if why := c.check(v); why != "" {
				t.Errorf("%s: %s %s", name, v, why)
			}
		}
		for _, v := range strings.Fields(c.bad) {
			if why := c.check(v); why != c.why {
				t.Errorf("%s: %s: got %q, want that it %s", name, v, why, c.why)
			}
		}
	}
	const most = 64
	for _, a := range texts("C", "E") {
		if a.valid(strings.Repeat("é", most)) != "" || a.valid(strings.Repeat("é", most+1)) != "is longer than 64 characters" {
			t.Errorf("%s: an address has up to 64 characters", a.name)
		}
	}
}

// A hole is in the shell that holds most of its points, also where these lie level with its corners.
func TestInsideShell(t *testing.T) {
	diamond := orb.Ring{{0, -1}, {1, 0}, {0, 1}, {-1, 0}, {0, -1}}
	turned := orb.Ring{{-1, 0}, {0, 1}, {1, 0}, {0, -1}, {-1, 0}}
	in, out := orb.Point{0, 0}, orb.Point{2, 0}
	for _, c := range []struct {
		ring orb.Ring
		want bool
	}{
		{orb.Ring{in, in, in, in}, true},
		{orb.Ring{out, out, out, out}, false},
		{orb.Ring{{-2, 0}, {-2, 0}, {-2, 0}, {-2, 0}}, false},
		{orb.Ring{{0.6, 0.6}, {0.6, 0.6}, {0.6, 0.6}, {0.6, 0.6}}, false},
		{orb.Ring{{0.4, 0.4}, {0.4, -0.4}, {-0.4, -0.4}, {0.4, 0.4}}, true},
		{orb.Ring{out, in, in, out}, true},
		{orb.Ring{in, out, out, in}, false},
		{orb.Ring{in, out, in, out, in}, false}, // no more than half
	} {
		if a, b := inside(diamond, c.ring), inside(turned, c.ring); a != c.want || b != c.want {
			t.Errorf("%v: inside %v, and of the shell turned round %v; want %v", c.ring, a, b, c.want)
		}
	}
}

func TestDecimals(t *testing.T) {
	for v, want := range map[float64]string{0: "0", math.Copysign(1e-10, -1): "0", 1e-10: "0", 100: "100", -93.5: "-93.5", 1.0000000004: "1", 0.123456789499: "0.123456789"} {
		if got := decimals(v, 9); got != want {
			t.Errorf("%v: got %s, want %s", v, got, want)
		}
	}
}
