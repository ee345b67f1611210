package label

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// Every plausible bound has two sides: the last figure that passes, and the next one, which is
// told. The bounds are common practice, no source: 10 gal/ac and 1 fl oz/ac, eight times from
// the lowest to the highest rate, 6 to 16 lb/gal (4 and 20 are no liquid's), 4 lb of agent a
// pint, an hour of mixing, 30 days and 90.
func TestBothSidesOfEachBound(t *testing.T) {
	const inch = 1e-9 // of a figure: the next one above or below
	rates := func(low, high unit.LiquidRate) func(*Profile) {
		return func(p *Profile) {
			p.Rate = Range[unit.LiquidRate]{Min: low, Max: high}
			p.SeasonMax, p.SprayVolume = Known[unit.LiquidRate]{}, Known[Range[unit.LiquidRate]]{}
		}
	}
	density := func(d unit.Density) func(*Profile) { return func(p *Profile) { p.Density = Know(d) } }
	loading := func(low, high, most unit.Loading) func(*Profile) {
		return func(p *Profile) {
			p.Loading, p.MaxLiquid = Know(Range[unit.Loading]{Min: low, Max: high}), Know(most)
		}
	}
	mix := func(low, high unit.Time) func(*Profile) {
		return func(p *Profile) { p.MixTime = Know(Range[unit.Time]{Min: low, Max: high}) }
	}
	volume := func(low, high unit.LiquidRate) func(*Profile) {
		return func(p *Profile) { p.SprayVolume = Know(Range[unit.LiquidRate]{Min: low, Max: high}) }
	}
	for name, c := range map[string]struct {
		fine, odd func(*Profile)
		severity  Severity
	}{
		"highest rate":      {rates(200, 1280), rates(200, 1280*(1+inch)), Warning},
		"lowest rate":       {rates(1, 2), rates(1-inch, 2), Warning},
		"ratio":             {rates(5, 40), rates(5*(1-inch), 40), Warning},
		"ratio of the most": {rates(160, 1280), rates(160*(1-inch), 1280), Warning},
		"rate in order":     {rates(30, 30), rates(30, 30*(1-inch)), Error},
		"lightest liquid":   {density(6), density(6 * (1 - inch)), Warning},
		"heaviest liquid":   {density(16), density(16 * (1 + inch)), Warning},
		"lightest possible": {density(4), density(4 * (1 - inch)), Error},
		"heaviest possible": {density(20), density(20 * (1 + inch)), Error},
		"loading in order":  {loading(200, 200, 300), loading(200, 200*(1-inch), 300), Error},
		"loading above 0":   {loading(inch, 200, 300), loading(0, 200, 300), Error},
		"ton takes some":    {loading(200, 200, 200), loading(200, 200, 200*(1-inch)), Error},
		"ton takes all":     {loading(100, 200, 200), loading(100, 200, 200*(1-inch)), Note},
		"drying agent":      {func(p *Profile) { p.DryingAgent = Know(4 * unit.PoundPerPint) }, func(p *Profile) { p.DryingAgent = Know(4 * (1 + inch) * unit.PoundPerPint) }, Warning},
		"mix in order":      {mix(5*unit.Minute, 5*unit.Minute), mix(5*unit.Minute, 5*(1-inch)*unit.Minute), Error},
		"mix":               {mix(1*unit.Minute, 60*unit.Minute), mix(1*unit.Minute, 60*(1+inch)*unit.Minute), Warning},
		"volume in order":   {volume(640, 640), volume(640, 640*(1-inch)), Error},
		"volume above 0":    {volume(inch, 640), volume(0, 640), Error},
		"volume of all":     {volume(10, 40), volume(10, 40*(1-inch)), Error},
		"season":            {func(p *Profile) { p.SeasonMax = Know(p.Rate.Max) }, func(p *Profile) { p.SeasonMax = Know(p.Rate.Max * (1 - inch)) }, Error},
		"re-entry":          {func(p *Profile) { p.ReEntry = Know(30 * unit.Day) }, func(p *Profile) { p.ReEntry = Know(30 * (1 + inch) * unit.Day) }, Warning},
		"incorporate":       {func(p *Profile) { p.Incorporate = Know(30 * unit.Day) }, func(p *Profile) { p.Incorporate = Know(30 * (1 + inch) * unit.Day) }, Warning},
		"hold":              {func(p *Profile) { p.Hold = Know(90 * unit.Day) }, func(p *Profile) { p.Hold = Know(90 * (1 + inch) * unit.Day) }, Warning},
		"smallest dry rate": {func(p *Profile) { p.MinDryRate = Know(unit.DryRate(inch)) }, func(p *Profile) { p.MinDryRate = Know(unit.DryRate(0)) }, Error},
		"dates":             {func(p *Profile) { p.Entered.On = p.Version.Date }, func(p *Profile) { p.Entered.On = "2000-01-01" }, Warning},
	} {
		worst := func(change func(*Profile)) (has bool) {
			p := demoProfile(t)
			change(p)
			return slices.ContainsFunc(p.problems(new(strictyaml.Document)), func(f Problem) bool { return f.Severity == c.severity && f.Text != "" })
		}
		if worst(c.fine) {
			t.Errorf("%s: the last figure that passes is told", name)
		}
		if !worst(c.odd) {
			t.Errorf("%s: the next figure is not told", name)
		}
	}
}

// Which of two figures is told of: the one that is likelier to be wrong. A figure at its bound
// is not the likelier one.
func TestTheLikelierFigureIsTold(t *testing.T) {
	const inch = 1e-9
	for name, c := range map[string]struct {
		change func(*Profile)
		want   string
	}{
		"lowest rate at its bound": {func(p *Profile) { p.Rate = Range[unit.LiquidRate]{Min: 1280, Max: 30} }, "rate.max"},
		"lowest rate above it":     {func(p *Profile) { p.Rate = Range[unit.LiquidRate]{Min: 1280 * (1 + inch), Max: 30} }, "rate.min"},
		"highest rate, whole mix": {func(p *Profile) {
			p.Rate.Max = 640
			p.SeasonMax = Known[unit.LiquidRate]{}
			p.SprayVolume = Know(Range[unit.LiquidRate]{Min: 10, Max: 640})
		}, ""},
		"highest rate above the mix": {func(p *Profile) {
			p.Rate.Max = 640
			p.SeasonMax = Known[unit.LiquidRate]{}
			p.SprayVolume = Know(Range[unit.LiquidRate]{Min: 10, Max: 640 * (1 - inch)})
		}, "rate.max"},
		"a carrier without a name":  {func(p *Profile) { p.Carriers.Allowed = []string{"urea", ""} }, "carriers.allowed[2]"},
		"a forbidden one without":   {func(p *Profile) { p.Carriers.Forbidden = []string{"gravel", "lime", ""} }, "carriers.forbidden[3]"},
		"only the label has a date": {func(p *Profile) { p.Entered.On = "" }, ""},
	} {
		p := demoProfile(t)
		c.change(p)
		got := ""
		for _, f := range p.problems(new(strictyaml.Document)) {
			if f.Severity == Error || f.Rule == "dates" {
				got = f.Key
			}
		}
		if got != c.want {
			t.Errorf("%s: told of %q, want %q", name, got, c.want)
		}
	}
}

// Words fill a line to its last column, and one that has more than a line stands alone. A key
// of several facts is asked for by its own name, without the example of how it is written in a file.
func TestLinesAndQuestions(t *testing.T) {
	if got, want := wrap("abc de f toolong  x yz", 6), []string{"abc de", "f", "toolong", "x yz"}; !slices.Equal(got, want) {
		t.Errorf("lines are %q, want %q", got, want)
	}
	asked := map[string]question{}
	for _, q := range Questions() {
		asked[q.Key] = q
		if strings.Contains(q.Help, "{") || !strings.HasSuffix(q.Help, ".") {
			t.Errorf("%s is asked for with %q", q.Key, q.Help)
		}
	}
	for key, want := range map[string]string{"carriers": "carriers", "rate": "label rate", "density": "density", "ppe": "protective equipment"} {
		if got := asked[key].What; got != want {
			t.Errorf("%s is asked for as %q, want %q", key, got, want)
		}
	}
	if said := demoProfile(t).Said(unit.US); said["density"] != "9 lb/gal" || said["rate"] != "20 to 40 fl oz/ac" {
		t.Errorf("the profile says %v", said)
	}
}

// The names of a material in the trade, spelled in either way, in full or by their letters:
// common practice, no source.
func TestNamesOfTheTrade(t *testing.T) {
	for name, others := range map[string][]string{
		"urea":                     {"Urea", "prilled urea", "granular urea"},
		"ammonium sulfate":         {"AMS", "ammonium sulphate", "sulfate of ammonia"},
		"ammonium nitrate":         {"AN", "Ammonium Nitrate"},
		"calcium ammonium nitrate": {"CAN"},
		"ammonium sulfate nitrate": {"ASN", "ammonium sulphate nitrate", "ammonium nitrate sulfate", "ammonium nitrate sulphate"},
		"calcium nitrate":          {"nitrate of lime"},
		"map":                      {"MAP", "monoammonium phosphate", "mono-ammonium phosphate"},
		"dap":                      {"DAP", "diammonium phosphate", "di-ammonium phosphate"},
		"potash":                   {"MOP", "KCl", "muriate of potash", "potassium chloride"},
		"sulfate of potash":        {"SOP", "potassium sulfate", "potassium sulphate"},
		"potassium nitrate":        {"nitrate of potash"},
		"sodium nitrate":           {"nitrate of soda"},
		"single superphosphate":    {"SSP", "superphosphate", "ordinary superphosphate"},
		"triple superphosphate":    {"TSP", "concentrated superphosphate"},
		"pelletized lime":          {"pell-lime", "pelleted lime", "lime"},
	} {
		if !IsCarrierName(name) {
			t.Errorf("%s is not known", name)
		}
		for _, other := range others {
			if got := CarrierName(other); got != name {
				t.Errorf("%s: %q, want %q", other, got, name)
			}
		}
	}
	if IsCarrierName("gravel") {
		t.Error("gravel is known")
	}
}
