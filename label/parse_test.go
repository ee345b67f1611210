package label

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/label/yamltest"
)

// full is a profile that says all it can.
const full = `name: Demo inhibitor (invented)
registered: yes             # yes | no | unknown
registration: "00000-000"
rate: {min: 20 fl oz/ac, max: 40 fl oz/ac}
season-max: 80 fl oz/ac
below-label: allowed
tank-mix: forbidden
density: 9 lb/gal
base: water
carriers: {allowed: [urea, ammonium sulfate, map, dap, potash], forbidden: [ammonium nitrate]}
min-dry-rate: 100 lb/ac
max-liquid: 3 gal/ton
loading: {min: 100 fl oz/ton, max: 400 fl oz/ton}
drying-agent: 1 lb/pt
mix-minutes: {min: 3, max: 5}
spray-volume: {min: 5 gal/ac, max: 20 gal/ac}
ppe: [chemical-resistant gloves, protective eyewear]
re-entry: 24 h
label: {version: "A1", date: 2026-01-15}
entered: {by: "initials", on: 2026-02-01}
`

// A rate that stands alone is both ends of the range.
func TestOneRateStandsAlone(t *testing.T) {
	got, err := Parse("p", []byte("name: x\nrate: 30 fl oz/ac\n"))
	if err != nil {
		t.Fatal(err)
	}
	if want := (Range[unit.LiquidRate]{Min: 30, Max: 30}); got.Rate != want {
		t.Errorf("got %+v, want %+v", got.Rate, want)
	}
}

func TestParseFull(t *testing.T) {
	got, err := Parse("full.yaml", []byte(full))
	if err != nil {
		t.Fatal(err)
	}
	want := &Profile{
		Name: "Demo inhibitor (invented)", Registered: yes, Registration: "00000-000",
		Rate:      Range[unit.LiquidRate]{Min: 20, Max: 40},
		SeasonMax: Know(80 * unit.FluidOuncePerAcre), BelowLabel: Allowed,
		Density: Know(9 * unit.PoundPerGallon), Base: Water,
		Carriers:   carriers{[]string{"urea", "ammonium sulfate", "map", "dap", "potash"}, []string{"ammonium nitrate"}},
		TankMix:    Forbidden,
		MinDryRate: Know(100 * unit.PoundPerAcre), MaxLiquid: Know(384 * unit.FluidOuncePerTon),
		Loading:     Know(Range[unit.Loading]{Min: 100, Max: 400}),
		DryingAgent: Know(8 * unit.PoundPerGallon),
		MixTime:     Know(Range[unit.Time]{Min: 3, Max: 5}),
		SprayVolume: Know(Range[unit.LiquidRate]{Min: 640, Max: 2560}),
		PPE:         []string{"chemical-resistant gloves", "protective eyewear"},
		ReEntry:     Know(1440 * unit.Minute),
		Version:     Version{"A1", "2026-01-15"}, Entered: Entry{"initials", "2026-02-01"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
}

// TestParseLeast: two keys are enough, and all else is unknown.
func TestParseLeast(t *testing.T) {
	p, err := Parse("least.yaml", []byte("name: x\nrate: {min: 1.5 L/ha, max: 3 L/ha}\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.facts(unit.US) {
		if (f.value != "") != (f.key == "name" || f.key == "rate") {
			t.Errorf("%s: known is %v", f.key, (f.value != ""))
		}
		if !(f.value != "") && f.without == "" {
			t.Errorf("%s: nothing is said of what follows from its being unknown", f.key)
		}
	}
	if p.IsRegistered() || p.ForbidsBelow() {
		t.Error("what is unknown counts as said")
	}
	if _, known := p.SeasonMax.Get(); known {
		t.Error("the season maximum counts as known")
	}
}

func TestParseRefuses(t *testing.T) {
	const head = "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"
	for _, c := range []struct{ text, want string }{
		{"rate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n", "p:1:1: name: is missing: it has to be given"},
		{"name: x\n", "p:1:1: rate: is missing: it has to be given"},
		{`name: " "` + "\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n", "p:1:7: name: is empty: write the name on the label"},
		{"name: x\nrate: {min: 20 lb/ac, max: 40 fl oz/ac}\n", `p:2:13: rate.min: "20 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"`},
		{"name: x\nrate: {min: 20, max: 40 fl oz/ac}\n", `p:2:13: rate.min: "20" has no unit: want a liquid rate such as "30 fl oz/ac"`},
		{"name: x\nrate: {min: 20 oz/ac, max: 40 fl oz/ac}\n", `p:2:13: rate.min: "20 oz/ac" has "oz", which is a weight: a volume is in "fl oz": want a liquid rate such as "30 fl oz/ac"`},
		{"name: x\nrate: {min: -20 fl oz/ac, max: 40 fl oz/ac}\n", `p:2:13: rate.min: "-20 fl oz/ac" is negative: want a liquid rate such as "30 fl oz/ac"`},
		{"name: x\nrate: {min: 0 fl oz/ac, max: 40 fl oz/ac}\n", "p:2:13: rate.min: is not above 0: write the lowest rate on the label"},
		{"name: x\nrate: {min: 40 fl oz/ac, max: 20 fl oz/ac}\n", "p:2:31: rate.max: 20 fl oz/ac is below min, 40 fl oz/ac: write the lowest rate as min and the highest as max, or a label's only rate alone"},
		{"name: x\nrate: [30 fl oz/ac]\n", "p:2:7: rate: is not a mapping: want min, max"},
		{"name: x\nrate: 30 lb/ac\n", `p:2:7: rate: "30 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"`},
		{"name: x\nrate: 0 fl oz/ac\n", "p:2:7: rate.min: is not above 0: write the lowest rate on the label"},
		{head + "spray-volume: 10 gal/ac\n", "p:3:15: spray-volume: is not a mapping: want min, max"},
		{head + "season-max: 39 fl oz/ac\n", "p:3:13: season-max: 39 fl oz/ac is below the highest rate of one pass, 40 fl oz/ac: correct one of them"},
		{head + "seasonmax: 80 fl oz/ac\n", "p:3:1: seasonmax: is not a key that is known here: did you mean season-max?"},
		{head + "name: y\n", "p:3:1: name: stands in line 1 as well: keep one"},
		{head + "registered: true\n", `p:3:13: registered: "true" is not one of unknown, yes, no`},
		{head + "below-label: illegal\n", `p:3:14: below-label: "illegal" is not one of unknown, allowed, forbidden`},
		{head + "base: oil\n", `p:3:7: base: "oil" is not one of unknown, water, solvent`},
		{head + "density: 90 lb/gal\n", "p:3:10: density: 90 lb/gal is no liquid's: water has 8.345 lb/gal (1 kg/L)"},
		{head + "density: 9 lb/ft3\n", "p:3:10: density: 9 lb/ft3 is no liquid's: water has 8.345 lb/gal (1 kg/L)"},
		{head + "carriers: {allowed: [urea, DAP], forbidden: [diammonium phosphate]}\n", `p:3:46: carriers.forbidden[1]: "dap" is allowed as well: keep it in one list`},
		{head + "carriers: {allowed: [\"\"]}\n", "p:3:22: carriers.allowed[1]: is empty: name the material"},
		{head + "min-dry-rate: 0 lb/ac\n", "p:3:15: min-dry-rate: is 0: leave the key out if the label names none"},
		{head + "max-liquid: 0 gal/ton\n", "p:3:13: max-liquid: is 0: leave the key out if the label names none"},
		{head + "max-liquid: 3 gal\n", `p:3:13: max-liquid: "3 gal" is a volume of liquid: want a loading such as "320 fl oz/ton"`},
		{head + "loading: {min: 400 fl oz/ton, max: 100 fl oz/ton}\n", "p:3:36: loading.max: 100 fl oz/ton is below min, 400 fl oz/ton, or min is not above 0: write the range per ton that the label states"},
		{head + "max-liquid: 1 gal/ton\nloading: {min: 200 fl oz/ton, max: 400 fl oz/ton}\n", "p:4:16: loading.min: 200 fl oz/ton is more than a ton takes up, max-liquid 1 gal/ton: no loading is left"},
		{head + "mix-minutes: {min: 5, max: 3}\n", "p:3:28: mix-minutes.max: 3 min is below min, 5 min: swap them"},
		{head + "spray-volume: {min: 20 gal/ac, max: 5 gal/ac}\n", "p:3:37: spray-volume.max: 5 gal/ac is below min, 20 gal/ac, or min is not above 0: correct them"},
		{head + "spray-volume: {min: 20 fl oz/ac, max: 30 fl oz/ac}\n", "p:3:39: spray-volume.max: 30 fl oz/ac is less than the stabilizer alone, 40 fl oz/ac: the spray volume is that of the whole mix"},
		{"name: x\nrate: {min: 1.5 L/ha, max: 3 L/ha}\nseason-max: 2500 mL/ha\n", "p:3:13: season-max: 2500 mL/ha is below the highest rate of one pass, 3 L/ha: correct one of them"},
		{"name: x\nrate: 3 L/ha\nseason-max: 2 L/ha\n", "p:3:13: season-max: 2 L/ha is below the highest rate of one pass, 3 L/ha: correct one of them"},
		{"name: x\nrate: 300 L/ha\nseason-max: 6 L/ha\n", "p:2:7: rate.max: 300 L/ha is above season-max, 6 L/ha: compare its unit with the label first"},
		{head + "loading: {min: 12 L/t, max: 11 L/t}\n", "p:3:29: loading.max: 11 L/t is below min, 12 L/t, or min is not above 0: write the range per ton that the label states"},
		{head + "label: {date: 2026-02-30}\n", `p:3:15: label.date: "2026-02-30" is not a date: want year-month-day such as "2026-01-15"`},
		{head + "entered: {on: 15.1.2026}\n", `p:3:15: entered.on: "15.1.2026" is not a date: want year-month-day such as "2026-01-15"`},
		{head + "re-entry: 24\n", `p:3:11: re-entry: "24" has no unit: want a time such as "5 min"`},
		{head + "ppe:\n", "p:3:6: ppe: has no value: give one, or leave the key out"},
	} {
		p, err := Parse("p", []byte(c.text))
		if p != nil || err == nil || err.Error() != c.want {
			t.Errorf("%q:\n got %v\nwant %s", strings.TrimPrefix(c.text, head), err, c.want)
		}
	}
}

func TestErrorsAreTyped(t *testing.T) {
	_, err := Parse("p", []byte("name: x\nrate: {min: 20 lb/ac, max: 1 gal}\n"))
	var all strictyaml.Errors
	if !errors.As(err, &all) || len(all) != 2 {
		t.Fatalf("got %v, want two mistakes", err)
	}
	if e := all[1]; e.Line != 2 || e.Column != 28 || e.Key != "rate.max" {
		t.Errorf("got %+v", e)
	}
	var u *unit.Error
	if !errors.As(err, &u) || u.Why != "is a dry rate" {
		t.Errorf("got %v, want the cause as *unit.Error", u)
	}
}

func TestTemplate(t *testing.T) {
	_, err := Parse("template", []byte(Template()))
	var all strictyaml.Errors
	if !errors.As(err, &all) || len(all) != 3 {
		t.Errorf("a template that is not filled in gives %v, want mistakes for name, rate.min and rate.max", err)
	}
	filled := strings.NewReplacer("\n#", "\n", "\nname:\n", "\nname: x\n", "rate: {min: , max: }", "rate: {min: 20 fl oz/ac, max: 40 fl oz/ac}")
	var lines []string
	for _, line := range strings.Split(Template(), "\n") {
		if !strings.HasPrefix(line, "# ") && line != "#" {
			lines = append(lines, line)
		}
	}
	p, err := Parse("filled", []byte(filled.Replace("\n"+strings.Join(lines, "\n"))))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.facts(unit.US) {
		if !(f.value != "") && f.key != "below-label" && f.key != "tank-mix" {
			t.Errorf("%s: the template does not show it", f.key)
		}
	}
	if problems := p.problems(new(strictyaml.Document)); len(problems) != 1 || problems[0].Severity != Note {
		t.Errorf("got %v, want the note on the two limits of a loading alone", problems)
	}
}

func TestDemo(t *testing.T) {
	p := demoProfile(t)
	if problems := p.problems(new(strictyaml.Document)); len(problems) > 0 {
		t.Errorf("got %v", problems)
	}
	if !strings.Contains(p.Name, "invented") || !strings.Contains(string(DemoYAML()), "invented") {
		t.Error("the demo profile does not say that it is invented")
	}
	for _, f := range p.facts(unit.Metric) {
		if !(f.value != "") {
			t.Errorf("%s: unknown", f.key)
		}
	}
}

// FuzzParse: what is read has finite figures, a name and a rate, and can be shown.
func FuzzParse(f *testing.F) {
	f.Add([]byte(full))
	f.Add(DemoYAML())
	f.Add([]byte(Template()))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse("p", data)
		if err != nil {
			return
		}
		if found := yamltest.NotFinite(p); found != "" {
			t.Fatal(found)
		}
		if f := p.facts(unit.US); !(f[0].value != "") || !(f[1].value != "") || p.Text(unit.Metric) == "" {
			t.Fatalf("read without a name or a rate: %+v", p)
		}
	})
}

// TestEveryKey: each field of a profile has one key, and each key has what every part
// of the program needs of it, so that none is left half done.
func TestEveryKey(t *testing.T) {
	p := new(Profile)
	field := map[any]string{}
	for i := range reflect.TypeFor[Profile]().NumField() {
		field[reflect.ValueOf(p).Elem().Field(i).Addr().Interface()] = reflect.TypeFor[Profile]().Field(i).Name
	}
	names := map[string]bool{}
	for _, k := range p.keys(unit.US) {
		name := k.yaml.Name
		if name == "" || names[name] {
			t.Errorf("%q: no name, or that of another key", name)
		}
		names[name] = true
		if field[k.yaml.Into] == "" {
			t.Errorf("%s: is read into no field of its own", name)
		}
		delete(field, k.yaml.Into)
		if k.help == "" || k.example == "" && !k.yaml.Required {
			t.Errorf("%s: the template has nothing to say of it", name)
		}
		if k.free == (len(k.rules) > 0) {
			t.Errorf("%s: want rules that check it, or else that it is free", name)
		}
		for _, f := range k.facts {
			if f.what == "" || !k.yaml.Required && (f.value != "" || f.without == "") {
				t.Errorf("%s: of a profile that says nothing it shows %+v", name, f)
			}
		}
		if len(k.facts) == 0 {
			t.Errorf("%s: nothing shows it", name)
		}
	}
	for _, name := range field {
		t.Errorf("%s: no key reads it", name)
	}
}

// demoProfile is the invented profile of the demonstration.
func demoProfile(t *testing.T) *Profile {
	t.Helper()
	p, err := Parse("demo-label.yaml", DemoYAML())
	if err != nil {
		t.Fatal(err)
	}
	return p
}
