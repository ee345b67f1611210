package equip

import (
	"fmt"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Each bound holds at its end and not beyond it.
func TestEndsOfBounds(t *testing.T) {
	for parts, want := range map[float64]bool{1: true, mostLoads: true, mostLoads + 1: false} {
		if n, each, ok := equalParts(unit.Mass(parts), 1); ok != want || ok && (float64(n) != parts || each != 1) {
			t.Errorf("%v parts: %d of %v, %v", parts, n, float64(each), ok)
		}
		boom := Boom{Volume: unit.GallonPerAcre, Tank: unit.Gallon}
		if f, err := boom.Fills(unit.Area(parts), 1); (err == nil) != want || want && (float64(f.Count) != parts || f.Last.Area != 0) {
			t.Errorf("%v fills: %+v, %v", parts, f, err)
		}
	}
	limits := Spreader{Rates: label.Know(label.Range[unit.DryRate]{Min: 1000, Max: 2000})}
	for rate, want := range map[unit.DryRate]unit.DryRate{0: 0, 998.9: 1000, 999.0001: 999.0001, 999: 999, 1500: 1500, 2001.99: 2001.99, 2002.1: 2000} {
		limits.Rates = label.Know(label.Range[unit.DryRate]{Min: 1000, Max: 2000})
		if got := limits.Delivered(rate); got != want {
			t.Errorf("%v lb/ac asked: %v, want %v", float64(rate), float64(got), float64(want))
		}
	}
	var c Catch
	for text, want := range map[string]string{"0": "<nil>", "1e9": "<nil>", "1000000001": "want a number", "-1": "want a number", "NaN": "want a number", "-0": "<nil>"} {
		if err := c.UnmarshalText([]byte(text)); (err == nil) != (want == "<nil>") {
			t.Errorf("%s: %v", text, err)
		}
	}
	for pans, want := range map[int]bool{fewestPans - 1: true, fewestPans: false, mostPans: false, mostPans + 1: true} {
		p := problems{}
		test := PanTest{Spacing: unit.Meter, Caught: make([]Catch, pans)}
		test.Caught[0] = 1
		if got := p.noPanTest(test, "pan-test"); got != want {
			t.Errorf("%d pans: refused %v, %v", pans, got, fmt.Sprint(p.list))
		}
	}
	line := PanTest{Spacing: unit.Meter, Caught: make([]Catch, mostPans)}
	for swath, want := range map[float64]bool{2 * mostPans: true, 2*mostPans + 1: false, fewestPans - 1: true, fewestPans - 1.5: false} {
		if places, _ := line.Laid(unit.Length(swath)*unit.Meter, false); (places != nil) != want {
			t.Errorf("a swath of %v m: %d places", swath, len(places))
		}
	}
}
