package label

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// TestProblems asserts which rule speaks, and how loud, on a profile that is
// readable and odd.
func TestProblems(t *testing.T) {
	for _, c := range []struct {
		change   func(*Profile)
		rule     string
		severity Severity
		key      string
	}{
		{func(p *Profile) { p.Name = "" }, "name", Error, "name"},
		{func(p *Profile) { p.Registration = "" }, "registration", Warning, "registration"},
		{func(p *Profile) { p.Registered = Unknown }, "registration", Warning, "registration"},
		{func(p *Profile) { p.Registered = No }, "registration", Warning, "registration"},
		{func(p *Profile) { p.Registration = "none" }, "registration", Warning, "registration"},
		{func(p *Profile) { p.Rate.Min = 0 }, "rate-order", Error, "rate.min"},
		{func(p *Profile) { p.Rate.Max = p.Rate.Min - 1 }, "rate-order", Error, "rate.max"},
		{func(p *Profile) {
			p.Rate.Max, p.SeasonMax, p.SprayVolume = 1281, Know(unit.LiquidRate(1281)), Known[Range[unit.LiquidRate]]{}
		}, "rate-plausible", Warning, "rate.max"},
		{func(p *Profile) { p.Rate.Min = 4.9 }, "rate-plausible", Warning, "rate.max"},
		{func(p *Profile) { p.Rate = Range[unit.LiquidRate]{Min: 0.16, Max: 0.32} }, "rate-plausible", Warning, "rate.min"},
		{func(p *Profile) { p.SeasonMax = Know(unit.LiquidRate(39.9)) }, "season-max", Error, "season-max"},
		{func(p *Profile) { p.Rate.Min = 20 * unit.GallonPerAcre }, "rate-order", Error, "rate.min"},
		{func(p *Profile) { p.Density = Know(unit.Density(5.9)) }, "density", Warning, "density"},
		{func(p *Profile) { p.Density = Know(unit.Density(16.1)) }, "density", Warning, "density"},
		{func(p *Profile) { p.Density = Know(unit.Density(3.9)) }, "density", Error, "density"},
		{func(p *Profile) { p.Density = Know(unit.Density(20.1)) }, "density", Error, "density"},
		{func(p *Profile) { p.Carriers.Forbidden = []string{"Muriate of Potash"} }, "carriers", Error, "carriers.forbidden[1]"},
		{func(p *Profile) { p.Carriers.Allowed = []string{"urea", "Urea"} }, "carriers", Warning, "carriers.allowed[2]"},
		{func(p *Profile) { p.MinDryRate = Know(unit.DryRate(0)) }, "min-dry-rate", Error, "min-dry-rate"},
		{func(p *Profile) { p.MaxLiquid = Know(unit.Loading(0)) }, "max-liquid", Error, "max-liquid"},
		{func(p *Profile) { p.MaxLiquid = Know(unit.Loading(511)) }, "loading", Note, "loading.max"},
		{func(p *Profile) { p.MaxLiquid = Know(unit.Loading(99)) }, "loading", Error, "loading.min"},
		{func(p *Profile) { p.Loading = Know(Range[unit.Loading]{Min: 200, Max: 199}) }, "loading", Error, "loading.max"},
		{func(p *Profile) { p.DryingAgent = Know(5 * unit.PoundPerPint) }, "drying-agent", Warning, "drying-agent"},
		{func(p *Profile) { p.MixTime = Know(Range[unit.Time]{Min: 5, Max: 4}) }, "mix-minutes", Error, "mix-minutes.max"},
		{func(p *Profile) { p.MixTime = Know(Range[unit.Time]{Min: 5, Max: 61}) }, "mix-minutes", Warning, "mix-minutes.max"},
		{func(p *Profile) { p.SprayVolume = Know(Range[unit.LiquidRate]{Min: 640, Max: 639}) }, "spray-volume", Error, "spray-volume.max"},
		{func(p *Profile) { p.SprayVolume = Know(Range[unit.LiquidRate]{Min: 10, Max: 39}) }, "spray-volume", Error, "spray-volume.max"},
		{func(p *Profile) { p.ReEntry = Know(31 * unit.Day) }, "re-entry", Warning, "re-entry"},
		{func(p *Profile) { p.Incorporate = Know(31 * unit.Day) }, "incorporate-within", Warning, "incorporate-within"},
		{func(p *Profile) { p.Hold = Know(91 * unit.Day) }, "hold", Warning, "hold"},
		{func(p *Profile) { p.Entered.On = "2026-01-14" }, "dates", Warning, "entered.on"},
		{func(p *Profile) { p.Version.Date = "2019-03-01" }, "dates", Note, "label.date"},
		{func(p *Profile) { p.Version.Date, p.Entered.On = "2023-12-31", "" }, "dates", Note, "label.date"},
		{func(p *Profile) { p.Entered.On = "2029-01-01" }, "dates", Note, "label.date"},
	} {
		p := demoProfile(t)
		c.change(p)
		got := p.problems(new(strictyaml.Document))
		if len(got) != 1 || got[0].Rule != c.rule || got[0].Severity != c.severity || got[0].Key != c.key || got[0].Text == "" {
			t.Errorf("want %s %s %s: got %+v", c.severity, c.rule, c.key, got)
		}
	}
}

// A highest rate in the wrong unit is marked itself, and not what it is held against.
func TestWrongUnitOfTheHighestRate(t *testing.T) {
	p := demoProfile(t)
	p.Rate.Max = 40 * unit.GallonPerAcre
	var rules []string
	for _, f := range p.problems(new(strictyaml.Document)) {
		rules = append(rules, f.Rule)
		if f.Key != "rate.max" {
			t.Errorf("marked is %+v", f)
		}
	}
	if want := []string{"rate-plausible", "season-max", "spray-volume"}; !slices.Equal(rules, want) {
		t.Errorf("found by %q, want %q", rules, want)
	}
}

func TestCheckPlacesProblems(t *testing.T) {
	p, odd, err := Check("p", []byte("name: x\nregistered: yes\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\ndensity: 5 lb/gal\n"))
	if err != nil || p == nil || len(odd) != 2 {
		t.Fatalf("got %+v, %v", odd, err)
	}
	if odd[0].Rule != "registration" || odd[0].Line != 1 || odd[0].Column != 1 {
		t.Errorf("a key that is not there: got %+v, want the head of the file", odd[0])
	}
	if odd[1].Rule != "density" || odd[1].Line != 4 || odd[1].Column != 10 {
		t.Errorf("got %+v, want line 4, column 10", odd[1])
	}
}

// Rates out of all proportion are in doubt; other oddities are not.
func TestDoubtsAreOfRates(t *testing.T) {
	for _, c := range []struct {
		rate  string
		rules string
		doubt bool
	}{
		{"{min: 20 fl oz/ac, max: 40 pt/ac}", "rate-plausible two-units", true}, // 32 times
		{"{min: 1 fl oz/ac, max: 400 fl oz/ac}", "rate-plausible", true},
		{"{min: 0.16 fl oz/ac, max: 0.32 fl oz/ac}", "rate-plausible", true},
		{"{min: 20 fl oz/ac, max: 1 qt/ac}", "two-units", false},
		{"{min: 5 fl oz/ac, max: 40 fl oz/ac}", "", false},
		{"{min: 4e1 FL. OZ. per acre, max: 60 fl  oz/ac}", "", false},
		{"30 fl oz/ac", "", false},
	} {
		_, odd, err := Check("p", []byte("name: x\nrate: "+c.rate+"\n"))
		var rules []string
		for _, p := range odd {
			rules = append(rules, p.Rule)
			if p.Doubt != (p.Rule == "rate-plausible") || p.Line != 2 {
				t.Errorf("%s: %+v", c.rate, p)
			}
		}
		if got := strings.Join(rules, " "); err != nil || got != c.rules {
			t.Errorf("%s: got %q, %v, want %q", c.rate, got, err, c.rules)
		}
	}
}

// TestEdgesAreAllowed: the ends of the plausible ranges themselves pass.
func TestEdgesAreAllowed(t *testing.T) {
	for _, change := range []func(*Profile){
		func(p *Profile) { p.SeasonMax = Know(p.Rate.Max) },
		func(p *Profile) { p.Density = Know(unit.Density(6)) },
		func(p *Profile) { p.Density = Know(unit.Density(16)) },
		func(p *Profile) { p.MixTime = Know(Range[unit.Time]{Min: 5, Max: 5}) },
		func(p *Profile) { p.Entered.On = p.Version.Date },
		func(p *Profile) { p.MaxLiquid = Know(unit.Loading(512)) },
	} {
		p := demoProfile(t)
		change(p)
		if got := p.problems(new(strictyaml.Document)); len(got) > 0 {
			t.Errorf("got %+v", got)
		}
	}
}

func TestCarriers(t *testing.T) {
	c := carriers{Allowed: []string{"Urea", "MAP"}, Forbidden: []string{"ammonium nitrate"}}
	for name, want := range map[string]Permission{
		"urea": Allowed, "UREA": Allowed, "granular urea": Allowed, "mono-ammonium phosphate": Allowed,
		"AN": Forbidden, "Ammonium  Nitrate": Forbidden, "potash": Unsaid, "": Unsaid,
	} {
		if got := c.Of(name); got != want {
			t.Errorf("%q: got %v, want %v", name, got, want)
		}
	}
}

// TestCarrierNames: every name stands for one material only.
func TestCarrierNames(t *testing.T) {
	seen := map[string]string{}
	for name, others := range carrierNames {
		for _, n := range append(slices.Clone(others), name) {
			if prior, again := seen[n]; again {
				t.Errorf("%q stands for %s and for %s", n, prior, name)
			}
			seen[n] = name
			if CarrierName(n) != name {
				t.Errorf("%q: got %q, want %q", n, CarrierName(n), name)
			}
		}
	}
}

func TestText(t *testing.T) {
	p := &Profile{Name: "x", Rate: Range[unit.LiquidRate]{Min: 20, Max: 40}, Density: Know(unit.Density(9)),
		DryingAgent: Know(2 * unit.PoundPerPint), SprayVolume: Know(Range[unit.LiquidRate]{Min: 20 * unit.GallonPerAcre, Max: 40 * unit.GallonPerAcre})}
	us, metric := p.Text(unit.US), p.Text(unit.Metric)
	for _, want := range []string{"label rate                     20 to 40 fl oz/ac\n", "density                        9 lb/gal\n",
		"drying agent per liquid        2 lb/pt\n", "spray volume                   20 to 40 gal/ac\n",
		"\nunknown, and what follows:\n", "season maximum                 the sum of a season's passes is not checked\n"} {
		if !strings.Contains(us, want) {
			t.Errorf("%q is not in\n%s", want, us)
		}
	}
	// 1 lb is 0.45359237 kg, 1 pt 0.473176473 L, 1 gal/ac 9.35396 L/ha (NIST Handbook 44, appendix C).
	for _, want := range []string{"label rate                     1,462 to 2,923 mL/ha\n", "drying agent per liquid        1.917 kg/L\n", "spray volume                   187.1 to 374.2 L/ha\n"} {
		if !strings.Contains(metric, want) {
			t.Errorf("%q is not in\n%s", want, metric)
		}
	}
	for _, line := range strings.Split(us, "\n") {
		if len(line) > 80 {
			t.Errorf("%q is longer than 80 columns", line)
		}
	}
	if strings.Contains(demoProfile(t).Text(unit.US), "unknown") {
		t.Error("a profile that says all has unknown lines")
	}
}

func TestMiddleOfRange(t *testing.T) {
	if r := (Range[unit.LiquidRate]{Min: 20, Max: 40}); r.Middle() != 30 {
		t.Errorf("got %v", r.Middle())
	}
}

// A label may have one rate alone, by the acre and by the ton.
func TestOneRateAlone(t *testing.T) {
	const text = "name: x\nrate: {min: 30 fl oz/ac, max: 30 fl oz/ac}\nloading: {min: 300 fl oz/ton, max: 300 fl oz/ton}\n"
	p, err := Parse("p", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if found := p.problems(new(strictyaml.Document)); len(found) != 0 {
		t.Errorf("got %+v", found)
	}
	for _, f := range p.facts(unit.US) {
		if want, ok := map[string]string{"rate": "30 fl oz/ac", "loading": "300 fl oz/ton"}[f.key]; ok && f.value != want {
			t.Errorf("%s: got %q, want %q", f.key, f.value, want)
		}
	}
}
