package read

import (
	"errors"
	"strings"
	"testing"

	"rxsplit/geo"
	"rxsplit/geo/crs"
)

// A name in other capitals stands for a field only where no field is spelled so, and
// where no other is as near.
func TestNamed(t *testing.T) {
	for _, c := range []struct {
		meant   string
		names   []string
		at      int
		several bool
	}{
		{"Rate", []string{"RATE", "Rate", "rate"}, 1, false},
		{"rate", []string{"A", "RATE"}, 1, false},
		{"Rate", []string{"RATE", "rate"}, -1, true},
		{"RATE", []string{"RATE", "A", "RATE"}, -1, true},
		{"B", []string{"A"}, -1, false},
	} {
		if at, several := named(c.names, c.meant); at != c.at || several != c.several {
			t.Errorf("%q of %q: %d, %v, want %d, %v", c.meant, c.names, at, several, c.at, c.several)
		}
	}
}

// Two fields whose names differ in capitals alone are two products, and the carrier is
// the one that is spelled as it was named.
func TestCarrierIsSpelledAsNamed(t *testing.T) {
	fields := Options{RateFields: []string{"Urea_a", "Urea_A"}, RateUnit: "lb/ac"}
	for carrier, want := range map[string]float64{"Urea_a": 100, "Urea_A": 50} {
		opt := fields
		opt.Carrier = carrier
		p := prescription(t, field(`"Urea_a":100,"Urea_A":50`, `"Urea_a":250,"Urea_A":0`), opt)
		if got := float64(p.Zones[0].Carrier); got != want {
			t.Errorf("--carrier %s: %v lb/ac, want %v", carrier, got, want)
		}
	}
}

func TestNamesThatAreTwoFields(t *testing.T) {
	text := field(`"Rate":100,"rate":50`, `"Rate":250,"rate":0`)
	for _, c := range []struct {
		opt  Options
		want string
	}{
		{Options{RateFields: []string{"RATE"}}, "--rate-field RATE can be more than one field"},
		{Options{RateFields: []string{"Rate", "rate"}, Carrier: "RATE"}, "--carrier RATE can be more than one field"},
	} {
		if _, err := Prescription(open(t, text), c.opt); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, want %q", c.opt, err, c.want)
		}
	}
}

// Which fields are taken for a rate unasked, which when they are named, and why not: both ends of 0 to 20,000, some above 1.
func TestWhyAFieldIsNoRate(t *testing.T) {
	whole := FieldRange{Field: geo.Field{Name: "R", Kind: geo.Number}, Numbers: 3, Min: 0, Max: 20000}
	for _, c := range []struct {
		why    string
		named  bool
		change func(*FieldRange)
	}{
		{"", true, func(*FieldRange) {}}, {"", true, func(r *FieldRange) { r.Max = 1.001 }}, {"none above 1", true, func(r *FieldRange) { r.Max = 1 }}, {"above 20000", true, func(r *FieldRange) { r.Max = 20000.1 }},
		{"below 0", false, func(r *FieldRange) { r.Negative = true }}, {"a row number", false, func(r *FieldRange) { r.RowID = true }}, {"the areas in ha", false, func(r *FieldRange) { r.Area = "ha" }},
		{geo.Number.String(), false, func(r *FieldRange) { r.Numbers = 0 }}, {"as text", true, func(r *FieldRange) { r.Kind = geo.Text }},
		{geo.Bool.String(), true, func(r *FieldRange) { r.Kind = geo.Bool }}, {geo.Date.String(), false, func(r *FieldRange) { r.Kind = geo.Date }}, {geo.Other.String(), false, func(r *FieldRange) { r.Kind = geo.Other }},
		{"", true, func(r *FieldRange) { r.Unit = "lb/ac" }}, {"in mph", false, func(r *FieldRange) { r.Unit = "mph" }}, {"", true, func(r *FieldRange) { r.Unit, r.RowID = "kg/ha", false }},
	} {
		r := whole
		c.change(&r)
		if got := r.whyNoRate(); got != c.why || r.canBeRate() != (c.why == "") || r.canBeNamed() != c.named {
			t.Errorf("%+v: %q, named %t, want %q, %t", r, got, r.canBeNamed(), c.why, c.named)
		}
	}
	if got := (FieldRange{Sum: 6, Numbers: 4}).Mean(); got != 1.5 {
		t.Errorf("mean %v", got)
	}
	if got := (FieldRange{}).Mean(); got != 0 {
		t.Errorf("mean of none %v", got)
	}
}

// Choices, words of a shell, and names of systems as they are printed.
func TestWordsOfReading(t *testing.T) {
	overlap := func(s string) string {
		o, err := ParseOverlap(s)
		return string(o) + map[bool]string{true: "!"}[err != nil]
	}
	system := func(m LogMap, asked string) string {
		s, err := csvSystem("log.csv", &m, asked)
		if e, ok := err.(*Error); ok {
			return e.File + ": " + e.What + "; " + e.Hint
		}
		return s.Name()
	}
	places := logColumns{Lon: "X", Lat: "Y"}
	for _, c := range []struct{ what, got, want string }{
		{"a CSV in degrees", system(LogMap{Columns: places}, ""), crs.WGS84().Name()}, {"one in a system", system(LogMap{Columns: places, CRS: "EPSG:26915"}, ""), "NAD83 / UTM zone 15N"}, {"one in another, as asked", system(LogMap{Columns: places, CRS: "EPSG:26915"}, "EPSG:26916"), "NAD83 / UTM zone 16N"},
		{"one without places", system(LogMap{CRS: "EPSG:26915"}, ""), "log.csv: is CSV, and the map names no columns for its places; give columns: lon and lat"},
		{"one in no system", system(LogMap{Columns: places, CRS: "EPSG:1"}, ""), "crs: \"EPSG:1\": not among the systems known: those of WGS 84 and NAD 83 in EPSG's registry over the projections that field files use; name the system by its EPSG code, such as EPSG:26915"},
		{"no choice", overlap(""), string(OverlapError)}, {"the first", overlap("first"), "first"}, {"the last", overlap("last"), "last"}, {"the most", overlap("max"), "max"}, {"another", overlap("best"), "!"},
		{"a word", flagWord("RATE"), "RATE"}, {"two words", flagWord("N RATE"), `"N RATE"`},
		{"any error", whySystem(errors.New("torn")), "torn"}, {"a refusal", whySystem(&crs.RefusedError{Why: "is torn"}), "is torn"}, {"one with its part", whySystem(&crs.RefusedError{Found: "PROJCS", Why: "is torn"}), "PROJCS: is torn"},
		{"a name for YAML", yamlName("Boom_1"), "Boom_1"}, {"letters and digits", yamlName("Za09_zA"), "Za09_zA"}, {"what stands beside them", yamlName("a/") + yamlName("a:") + yamlName("a@") + yamlName("a[") + yamlName("a`") + yamlName("a{"), "'a/''a:''a@''a[''a`''a{'"}, {"one with a space", yamlName("a b"), "'a b'"}, {"one with a quote", yamlName("a'b"), "'a''b'"}, {"none", yamlName(""), "''"}, {"a word of YAML", yamlName("No"), "'No'"}, {"a digit", yamlName("0"), "0"},
		{"a map of one rate", strings.Split(newTaskLogMap("x.zip", []string{"urea +"}), "\n")[4], "  rate: 'urea +' # the product or the element that applied it; one map each"},
		{"a map of two rates", strings.Join(strings.Split(newTaskLogMap("x.zip", []string{"a", "b"}), "\n")[1:5], "|"), "#   a, b|# layer: liquid               # of the plan; needed where it could be several|columns:|  # rate: # the product or the element that applied it; one map each"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %q, want %q", c.what, c.got, c.want)
		}
	}
}
