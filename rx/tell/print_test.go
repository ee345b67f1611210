package tell

import (
	"fmt"
	"reflect"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/words"
)

// Every form of the catalogue by hand, in both systems where they differ; what a form is not for
// is not printed in it. An acre is 0.40468564 ha, a pound 0.45359237 kg, a fluid ounce 29.573530 mL,
// a foot 0.3048 m (NIST Handbook 44, appendix C).
func TestFormsByHand(t *testing.T) {
	type rates = rx.Range[unit.LiquidRate]
	type weights = rx.Range[unit.Mass]
	at := orb.Point{-90.123456, 47.5}
	f := &rx.Finding{Zones: []int{3, 4, 5, 9}, Area: 1234.5, Place: &at, Field: `N "a"`, Data: struct {
		Rate, Other unit.LiquidRate
		Rates, Same rates
		Weight      weights
		Wait        unit.Time
		Far         unit.Length
		Name        string
		Names       []string
		Times, Once int
		Sum         float64
		Known       bool
		Parts       []struct{ Name string }
		Whole       *struct{ Name string }
		None        *struct{ Name string }
		Area        unit.Area
	}{
		1234.56, 40, rates{Min: 20.04, Max: 40.06}, rates{Min: 20.04, Max: 20.06}, weights{Min: 2000, Max: 2100}, 90 * unit.Second, 3281, "x", []string{"a", "b", "c"}, 2500, 1, 0.125, true,
		[]struct{ Name string }{{"one"}, {"two"}, {"three"}}, &struct{ Name string }{"all"}, nil, 1234.5,
	}}
	book, err := words.Parse("\n## a\nown: {name} of {times}\n")
	if err != nil {
		t.Fatal(err)
	}
	p := printer{entry: book["a"], f: f}
	for _, c := range []struct{ name, form, us, metric string }{
		{"rate", "", "1,235 fl oz/ac", "90,219 mL/ha"}, {"rate", "full", "1,234.56 fl oz/ac", "90,218.90783 mL/ha"}, {"rate", "1 decimal", "1,234.6 fl oz/ac", "90,219 mL/ha"}, {"rate", "2 digits", "1,200 fl oz/ac", "90,000 mL/ha"},
		{"rate", "a spray volume", "9.645 gal/ac", "90.22 L/ha"}, {"wait", "in s", "90 s", "90 s"}, {"wait", "", "1.5 min", "1.5 min"}, {"far", "in m or km", "1 km", "1 km"}, {"far", "in mm", "1,000,000 mm", "1,000,000 mm"},
		{"rates", "", "20.04 fl oz/ac to 40.06 fl oz/ac", "1,464 mL/ha to 2,927 mL/ha"}, {"rates", "1 decimal", "20 to 40.1 fl oz/ac", "1,464 to 2,927 mL/ha"}, {"rates", "2 decimals", "20.04 to 40.06 fl oz/ac", "1,464 to 2,927 mL/ha"},
		{"same", "1 decimal", "20 fl oz/ac", "1,464 to 1,466 mL/ha"}, {"rates min", "", "20.04 fl oz/ac", "1,464 mL/ha"}, {"rates max", "full", "40.06 fl oz/ac", "2,927.495989 mL/ha"},
		{"weight", "", "2,000 lb to 2,100 lb", "907.2 kg to 952.5 kg"}, {"weight", "3 digits", "2,000 to 2,100 lb", "907 to 953 kg"},
		{"name", "", "x", "x"}, {"field", "quoted", `"N \"a\""`, `"N \"a\""`}, {"names", "", "a, b, c", "a, b, c"}, {"names", "first 2", "a, b and 1 more", "a, b and 1 more"},
		{"times", "", "2,500", "2,500"}, {"times", "time | times", "times", "times"}, {"once", "time | times", "time", "time"}, {"names", "name | names", "names", "names"}, {"sum", "", "0.125", "0.125"}, {"count", "", "4", "4"},
		{"place", "", "47.5° N 90.12° W", "47.5° N 90.12° W"}, {"area", "", "1,234.50 ac", "499.58 ha"}, {"zones", "", "4 zones (1,234.50 ac)", "4 zones (499.58 ha)"}, {"which zones", "", "zones 3, 4, 5 and 9", "zones 3, 4, 5 and 9"},
		{"parts", `as own joined by "; "`, "one of 2,500; two of 2,500; three of 2,500", "one of 2,500; two of 2,500; three of 2,500"}, {"whole", "as own", "all of 2,500", "all of 2,500"}, {"none", "as own", "x of 2,500", "x of 2,500"},
		{"name", "full", "-", "-"}, {"names", "first", "-", "-"}, {"times", "full", "-", "-"}, {"wait", "in mm", "-", "-"}, {"far", "in s", "-", "-"}, {"weight", "a spray volume", "-", "-"}, {"rate", "2 marks", "-", "-"}, {"rate", "many digits", "-", "-"}, {"rate", "as gone", "-", "-"},
		{"gone", "", "-", "-"}, {"rate", "beside gone", "-", "-"}, {"rate", "beside other", "-", "-"}, {"name", "beside rate", "-", "-"}, {"known", "", "-", "-"}, {"known", "one | many", "-", "-"}, {"place", "full", "-", "-"}, {"sum", "full", "-", "-"},
	} {
		for s, want := range map[unit.System]string{unit.US: c.us, unit.Metric: c.metric} {
			p.system = s
			got, ok := p.Text(c.name, c.form)
			if !ok {
				got = "-"
			}
			if got != want {
				t.Errorf("{%s: %s} in %v: %q, want %q", c.name, c.form, s, got, want)
			}
		}
	}
	for name, want := range map[string]bool{"rate": true, "names": true, "known": true, "zones": true, "place": true, "none": false, "gone": false} {
		if p.Holds(name) != want {
			t.Errorf("%s is held: %v", name, !want)
		}
	}
	if empty := (printer{f: &rx.Finding{Data: struct{ Names []string }{[]string{}}}}); empty.Holds("names") || empty.Holds("place") || empty.Holds("zones") {
		t.Error("an empty list is held")
	}
	for at, want := range map[orb.Point]string{{0, 0}: "0° N 0° E", {12.34567, -0.5}: "0.5° S 12.35° E", {-0.25, 89.99999}: "90° N 0.25° W"} {
		if got := degrees(at); got != want {
			t.Errorf("%v: %s, want %s", at, got, want)
		}
	}
	if _, ok := inForm(reflect.ValueOf(struct{ Min, Max string }{"a", "b"}), "", unit.US); ok {
		t.Error("a range of texts is printed")
	}
}

// Rates next to a limit read as on their side of it, however near they are.
func TestRatesBesideALimit(t *testing.T) {
	for _, c := range []struct {
		low, high, limit    unit.LiquidRate
		system              unit.System
		wantRates, wantEdge string
	}{
		{41, 45.25, 40, unit.US, "41 to 45.2 fl oz/ac", "40 fl oz/ac"}, {45, 45, 40, unit.US, "45 fl oz/ac", "40 fl oz/ac"},
		{40.004, 45, 40, unit.US, "40.004 to 45 fl oz/ac", "40 fl oz/ac"}, {40.04, 45.06, 40, unit.US, "40.04 to 45.06 fl oz/ac", "40 fl oz/ac"}, {40.06, 45, 40, unit.US, "40.1 to 45 fl oz/ac", "40 fl oz/ac"},
		{10, 19.996, 20, unit.US, "10 to 19.996 fl oz/ac", "20 fl oz/ac"}, {10, 19.94, 20, unit.US, "10 to 19.9 fl oz/ac", "20 fl oz/ac"},
		{40.0000001, 41, 40, unit.US, "40 to 41 fl oz/ac", "40 fl oz/ac"}, // nearer than is printed
		{1200.3, 1300, 1200.25, unit.US, "1,200.3 to 1,300 fl oz/ac", "1,200 fl oz/ac"}, {1200.7, 1300, 1200.6, unit.US, "1,200.7 to 1,300 fl oz/ac", "1,200.6 fl oz/ac"},
		{30, 31, 28.8, unit.Metric, "2,192 to 2,265 mL/ha", "2,105 mL/ha"}, {28.802, 30, 28.8, unit.Metric, "2,104.8 to 2,192.3 mL/ha", "2,104.640152 mL/ha"},
	} {
		r := rx.Range[unit.LiquidRate]{Min: c.low, Max: c.high}
		rates, ok1 := beside(r, c.limit, c.system)
		edge, ok2 := beside(c.limit, r, c.system)
		if got, want := fmt.Sprint(rates, "; ", edge, ok1, ok2), fmt.Sprint(c.wantRates, "; ", c.wantEdge, true, true); got != want {
			t.Errorf("%v to %v beside %v: %s, want %s", float64(c.low), float64(c.high), float64(c.limit), got, want)
		}
	}
}
