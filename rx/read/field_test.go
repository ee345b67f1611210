package read

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// squareAcres is what a square of 0.005 by 0.005 degrees at 47.3 north measures:
// 210195.4 square meters by GeographicLib's Planimeter 2.1.2.
const squareAcres = 210195.4 / 4046.8564224

// square is the ring of the i-th of squares side by side, as GeoJSON.
func square(i int) string {
	west := -90.4 + 0.005*float64(i)
	return fmt.Sprintf("[[%.3f,47.3],[%.3f,47.3],[%.3f,47.305],[%.3f,47.305],[%.3f,47.3]]", west, west+0.005, west+0.005, west, west)
}

// field returns GeoJSON of squares side by side with the given properties.
func field(properties ...string) string {
	features := make([]string, len(properties))
	for i, p := range properties {
		features[i] = fmt.Sprintf(`{"type":"Feature","properties":{%s},"geometry":{"type":"Polygon","coordinates":[%s]}}`, p, square(i))
	}
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",\n") + `]}`
}

// rates returns properties with one rate field.
func rates(name string, values ...string) []string {
	list := make([]string, len(values))
	for i, v := range values {
		list[i] = fmt.Sprintf("%q:%s", name, v)
	}
	return list
}

func open(t *testing.T, text string) *File {
	t.Helper()
	f, err := Open("-", FileOptions{Stdin: strings.NewReader(text)})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func prescription(t *testing.T, text string, opt Options) *rx.Prescription {
	t.Helper()
	p, err := Prescription(open(t, text), opt)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// rules lists the findings' rules with their severity, in order.
func rules(findings []rx.Finding) string {
	list := make([]string, len(findings))
	for i, f := range findings {
		list[i] = f.Rule() + " " + f.Severity.String()
	}
	return strings.Join(list, ", ")
}

func finding(t *testing.T, findings []rx.Finding, rule string) rx.Finding {
	t.Helper()
	for _, f := range findings {
		if f.Rule() == rule {
			return f
		}
	}
	t.Fatalf("no finding %s among: %s", rule, rules(findings))
	return rx.Finding{}
}

func write(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func about(got, want unit.DryRate) bool {
	return math.Abs(float64(got-want)) <= 1e-9*math.Abs(float64(want))
}

func TestFieldIsChosen(t *testing.T) {
	const id, area, name = `"ID":%d`, `"AC":51.9%d`, `"NAME":"zone %d"`
	with := func(patterns ...string) string {
		var properties []string
		for i := range 4 {
			var p []string
			for _, pattern := range patterns {
				if strings.Contains(pattern, "%") {
					pattern = fmt.Sprintf(pattern, i)
				}
				p = append(p, pattern)
			}
			properties = append(properties, strings.Join(p, ","))
		}
		return field(properties...)
	}
	for _, c := range []struct {
		name, text string
		take       []string
		want       string // the fields taken, or part of the error
	}{
		{"the only number", with(`"RATE":2%d0`, name), nil, "RATE"},
		{"row number left out", with(id, `"RATE":200`), nil, "RATE"},
		{"row number from 7 on", with(`"N":1%d`, `"RATE":200`), nil, "RATE"},
		{"acres left out", with(area, `"RATE":200`), nil, "RATE"},
		{"hectares left out", with(`"HA":21.0%d`, `"RATE":200`), nil, "RATE"},
		{"square meters left out", with(`"M2":21022%d`, `"RATE":200`), nil, "RATE"},
		{"negative left out", with(`"SLOPE":-%d.5`, `"RATE":200`), nil, "RATE"},
		{"shares left out", with(`"SHARE":0.%d`, `"RATE":200`), nil, "RATE"},
		{"beyond any rate left out", with(`"POPULATION":3200%d`, `"RATE":200`), nil, "RATE"},
		{"text is not guessed at", with(`"PRODUCT":"20%d"`, `"RATE":200`), nil, "RATE"},
		{"two numbers", with(`"RATE":2%d0`, `"OTHER":1%d.5`), nil, "more than one field can be the dry rate"},
		{"none", with(name, id), nil, "no field is taken for the dry rate unasked"},
		{"named", with(`"RATE":2%d0`, `"OTHER":1%d.5`), []string{"OTHER"}, "OTHER"},
		{"named in another case", with(`"RATE":2%d0`, `"OTHER":1%d.5`), []string{"other"}, "OTHER"},
		{"two records don't count rows", field(`"RATE":100`, `"RATE":101`), nil, "RATE"},
		{"the exact name wins", with(`"Rate":2%d0`, `"RATE":1%d.5`), []string{"RATE"}, "RATE"},
		{"an id may be named", with(id, name), []string{"ID"}, "ID"},
		{"unknown", with(`"RATE":2%d0`), []string{"RATES"}, "has no field RATES"},
		{"named twice", with(`"RATE":2%d0`), []string{"RATE", "rate"}, "is named twice"},
	} {
		p, err := Prescription(open(t, c.text), Options{RateFields: c.take, RateUnit: "lb/ac"})
		switch {
		case err != nil && (c.want == "" || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: error %q, want %q", c.name, err, c.want)
		case err == nil && strings.Join(fieldNames(p.Fields), " ") != c.want:
			t.Errorf("%s: took %v, want %s", c.name, fieldNames(p.Fields), c.want)
		}
	}
}

// The fields that an error lists come with their ranges, and what gave them away.
func TestFieldListTellsRanges(t *testing.T) {
	f := open(t, field(`"ID":1,"RATE":100,"OTHER":2.5,"AC":51.9,"NAME":"a"`, `"ID":2,"RATE":300,"OTHER":7.25,"AC":51.9,"NAME":"b"`, `"ID":3,"RATE":null,"OTHER":3,"AC":51.9,"NAME":"c"`))
	_, err := Prescription(f, Options{})
	var e *Error
	want := "ID (1 to 3, a row number), RATE (100 to 300), OTHER (2.5 to 7.25), AC (51.9 to 51.9, the areas in ac), NAME (text)"
	if !errors.As(err, &e) || !strings.Contains(e.Hint, want) {
		t.Errorf("error %v, hint %q, want in it %q", err, e.Hint, want)
	}
	ranges := f.fieldRanges()
	if r := ranges[1]; r.Numbers != 2 || r.Nulls != 1 || r.Min != 100 || r.Max != 300 || r.Mean() != 200 {
		t.Errorf("RATE: %+v", r)
	}
}

// Units: factors of NIST SP 811 (1 lb = 0.45359237 kg, 1 ac = 4046.8564224 m²);
// grades in per cent by weight.
func TestRatesByUnit(t *testing.T) {
	for _, c := range []struct {
		name, cell string
		opt        Options
		want       unit.DryRate // lb/ac of product
		rules      string
	}{
		{"lb/ac", "200", Options{RateUnit: "lb/ac"}, 200, ""},
		{"nothing said", "200", Options{}, 200, "rate-unit note"},
		{"kg/ha", "224.1702311", Options{RateUnit: "kg/ha"}, 224.1702311 / 1.1208511561944893, ""},
		{"ton/ac", "0.5", Options{RateFields: []string{"R"}, RateUnit: "ton/ac"}, 1000, ""},
		{"t/ha", "1", Options{RateFields: []string{"R"}, RateUnit: "t/ha"}, 1000 / 1.1208511561944893, ""},
		{"N as urea", "92", Options{RateUnit: "lb/ac", RateOf: "N", Analysis: []string{"46-0-0"}}, 200, ""},
		{"n in small letters", "92", Options{RateUnit: "lb/ac", RateOf: "n", Analysis: []string{"46-0-0"}}, 200, ""},
		{"100 lb of N is 217.391 lb of urea", "100", Options{RateUnit: "lb/ac", RateOf: "N", Analysis: []string{"46-0-0"}}, 100 / 0.46, ""},
		{"N as ammonium sulfate, kg/ha", "42", Options{RateUnit: "kg/ha", RateOf: "N", Analysis: []string{"21-0-0-24S"}}, 200 / 1.1208511561944893, ""},
		{"a grade alone changes nothing", "200", Options{RateUnit: "lb/ac", Analysis: []string{"46-0-0"}}, 200, ""},
		{"product", "200", Options{RateUnit: "lb/ac", RateOf: "product", Analysis: []string{"46-0-0"}}, 200, ""},
		{"a number as text", `"200"`, Options{RateFields: []string{"R"}, RateUnit: "lb/ac"}, 200, "rate-as-text warning"},
		{"an exponent", "2e2", Options{RateUnit: "lb/ac"}, 200, ""},
	} {
		p := prescription(t, field(rates("R", c.cell, c.cell)...), c.opt)
		if got := p.Zones[0].Dry; !about(got, c.want) || p.Zones[0].Carrier != got {
			t.Errorf("%s: %v lb/ac, carrier %v, want %v", c.name, float64(got), float64(p.Zones[0].Carrier), float64(c.want))
		}
		if got := rules(p.Findings); got != c.rules {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.rules)
		}
	}
}

// A field whose name speaks of another unit than the one that was assumed.
func TestNamesThatSpeakOfUnits(t *testing.T) {
	for name, warns := range map[string]bool{
		"RATE": false, "DRY_LBAC": false, "UREA_KGHA": true, "KG_HA": true, "kg/ha": true, "TgtKgHa": true,
		"GAL_AC": true, "LITERS_HA": true, "DRY_OZ": true, "RATE_OZAC": true, "OZONE": false, "PCT": true, "Percent": true, "RATE_HA": true, "SHARE": false, "ALPHA": false, "Hay": false, "KGB": false, "LB_PER_AC": false, "rate kg per ha": true, "TonsPerAcre": false,
	} {
		p := prescription(t, field(rates(name, "200", "210")...), Options{})
		want := map[bool]string{true: "rate-unit warning", false: "rate-unit note"}[warns]
		if name == "DRY_LBAC" || name == "LB_PER_AC" { // spelled out, and taken so: nothing had to be assumed
			want = ""
		}
		if got := rules(p.Findings); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
		p = prescription(t, field(rates(name, "200", "210")...), Options{RateUnit: "lb/ac"}) // of a job that is used again
		if got := rules(p.Findings); got != map[bool]string{true: "rate-unit warning"}[warns] {
			t.Errorf("%s with its unit given: %s", name, got)
		}
	}
}

// What the options may not say, each with its reason.
func TestOptionsAreRefused(t *testing.T) {
	for _, c := range []struct {
		opt  Options
		want string
	}{
		{Options{RateUnit: "lb"}, `--rate-unit: "lb"`},
		{Options{RateUnit: "fl oz/ac"}, `--rate-unit: "fl oz/ac"`},
		{Options{RateOf: "N"}, "--rate-of: rates of N need the analysis"},
		{Options{RateOf: "P"}, `--rate-of: "P" is neither product nor N`},
		{Options{RateOf: "N", Analysis: []string{"0-0-60"}}, "--analysis: 0-0-60 has no N"},
		{Options{Analysis: []string{"urea"}}, `--analysis: "urea"`},
		{Options{Analysis: []string{"46-0-0", "0-0-60"}}, "--analysis: 2 analyses for 1 rate field"},
		{Options{Carrier: "B"}, "--carrier B is none of its rate fields"},
	} {
		_, err := Prescription(open(t, field(rates("R", "200")...)), c.opt)
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) || e.Hint == "" {
			t.Errorf("%+v: %v, want %q and a hint", c.opt, err, c.want)
		}
	}
	if _, err := ParseOverlap("both"); err == nil {
		t.Error("--overlap both is taken")
	}
}

// Every bad rate is told in one pass, in order, on any number of blocks.
func TestBadRates(t *testing.T) {
	values := make([]string, 9000)
	for i := range values {
		values[i] = "200"
	}
	for at, bad := range map[int]string{0: `"12,5"`, 7: "-1", 8191: "1e999", 8192: "[1]", 8999: "true"} {
		values[at] = bad
	}
	_, err := Prescription(open(t, field(rates("R", values...)...)), Options{RateFields: []string{"R"}})
	want := []string{
		`standard input: record 1: field R: "12,5" is not a number: write the decimals with a point`,
		`standard input: record 8: field R: "-1" is negative`,
		`standard input: record 8192: field R: "1e999" is no finite number`,
		`standard input: record 8193: field R: "[1]" is not a number`,
		`standard input: record 9000: field R: "true" is not a number`,
	}
	var bad *geo.BadFileError
	if !errors.As(err, &bad) || err.Error() != strings.Join(want, "\n") || bad.Hint == "" {
		t.Errorf("got %v, want %s", err, strings.Join(want, "\n"))
	}
	for i := range values {
		values[i] = "-1"
	}
	_, err = Prescription(open(t, field(rates("R", values...)...)), Options{RateFields: []string{"R"}})
	if !errors.As(err, &bad) || len(bad.Bad) != geo.MaxBadRecords || bad.More != 9000-geo.MaxBadRecords {
		t.Errorf("of 9000 bad records %d are listed and %d more counted", len(bad.Bad), bad.More)
	}
}

// said are the words of a finding; none of what was not found.
func said(f rx.Finding) tell.Words {
	if f.Kind == nil {
		return tell.Words{}
	}
	return tell.Finding(f, unit.US)
}

// A table of very many fields is not listed whole where one is to be named.
func TestFieldsThatAreTooManyToList(t *testing.T) {
	more := ""
	for i := range 70 {
		more += fmt.Sprintf(`,"F%d":1%d.5`, i, i)
	}
	at := filepath.Join(t.TempDir(), "many.geojson")
	text := `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"RATE":200` + more + `},"geometry":{"type":"Polygon","coordinates":[[[-90.4,47.3],[-90.399,47.3],[-90.399,47.301],[-90.4,47.301],[-90.4,47.3]]]}}]}`
	if err := os.WriteFile(at, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	f, err := Open(at, FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = Prescription(f, Options{})
	var told *Error
	if !errors.As(err, &told) || !strings.HasSuffix(told.Hint, "and 11 more") || strings.Count(told.Hint, " to ") != 60 {
		t.Errorf("%v, want 60 fields and 11 more", err)
		if told != nil {
			t.Log(told.Hint)
		}
	}
}
