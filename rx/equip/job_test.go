package equip

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/label/yamltest"
)

// job is an invented job that says all it can.
const job = `label: label.yaml
layer: field
crs: EPSG:32615
rate-field: [UREA, POTASH]
carrier: UREA
rate-unit: lb/ac
rate-of: product
analysis: [46-0-0, 0-0-60]
stabilizer-rate: 30 fl oz/ac
loading: 320 fl oz/ton
rate-error: 5 %
already-applied: 10 fl oz/ac
units: us
overlap: first
keep-out: keepout.geojson
way: loads
leave-off: yes
blend:
  - {name: urea, grade: 46-0-0, share: 80 %, density: 48 lb/ft3}
  - {name: potash, grade: 0-0-60, share: 20 %, density: 66 lb/ft3}
second-liquid: {name: further liquid, loading: 64 fl oz/ton, density: 9 lb/gal}
blender: {batch: 3 ton, drum: 150 ft3, batch-time: 9 min}
spreader:
  swath: 70 ft
  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}
  rates: {min: 80 lb/ac, max: 500 lb/ac}
  bins: 2
  rate-error: 4 %
  rate-change: 4 s
  default-rate: 0 lb/ac
  lost-rate: 150 lb/ac
  truck: 8 ton
  pan-test: {rate: 200 lb/ac, passes: overlapped, spacing: 70 ft, caught: [9, 10.5, 9]}
boom:
  width: 70 ft
  spacing: 20 in
  volume: 10 gal/ac
  tank: 500 gal
  nozzles: [04, 05, "06"]
  pressure: {min: 15 psi, max: 70 psi}
  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}
prices:
  stabilizer: 40 $/gal
  second-liquid: 25 $/gal
  drying-agent: $0.60/lb
  blending: 12 $/ton
  dry-spreading: 7.50 $/ac
  wet-boom: 4 $/ac
  extra-pass: 7.50 $/ac
  nitrogen: 0.60 $/lb
  crop: 4.25 $/bu
field: North quarter (invented)
customer: name
operator: name
date: 2026-05-01
registration: "00000-000"
`

func TestParseJob(t *testing.T) {
	turns := strings.NewReplacer("  truck: 8 ton\n", "  truck: 8 ton\n  turn: 25 s\n", "prices:\n", "  turn: 15 s\nprices:\n")
	got, err := ParseJob("job.yaml", []byte(turns.Replace(job)))
	if err != nil {
		t.Fatal(err)
	}
	want := &Job{
		Label: "label.yaml", Layer: "field", CRS: "EPSG:32615", RateFields: []string{"UREA", "POTASH"}, Carrier: "UREA",
		RateUnit: "lb/ac", RateOf: "product", Analysis: []Grade{{N: 0.46}, {K2O: 0.6}},
		StabilizerRate: label.Know(unit.LiquidRate(30)), Loading: label.Know(unit.Loading(320)),
		RateError: label.Know(unit.Ratio(0.05)), AlreadyApplied: label.Know(unit.LiquidRate(10)),
		Units: label.Know(unit.US), Overlap: "first", KeepOut: "keepout.geojson", Way: "loads", LeaveOff: true,
		Blend: Blend{
			{"urea", label.Know(Grade{N: 0.46}), 0.8, label.Know(48 * unit.PoundPerCubicFoot)},
			{"potash", label.Know(Grade{K2O: 0.6}), 0.2, label.Know(66 * unit.PoundPerCubicFoot)},
		},
		SecondLiquid:   &secondLiquid{"further liquid", 64, label.Know(unit.Density(9))},
		FurtherLiquids: []Liquid{{Name: "further liquid", Loading: label.Know(unit.Loading(64)), Density: label.Know(unit.Density(9)), Price: label.Know(25 * unit.DollarPerGallon)}},
		Blender:        &Blender{3 * unit.Ton, label.Know(unit.Capacity(150)), label.Know(unit.Time(9))},
		Spreader: &Spreader{
			70, Speeds{10, 15, 18}, label.Know(label.Range[unit.DryRate]{Min: 80, Max: 500}), 2, label.Know(unit.Ratio(0.04)),
			label.Know(4 * unit.Second), label.Know(unit.DryRate(0)), label.Know(unit.DryRate(150)), label.Know(25 * unit.Second), 0, label.Know(8 * unit.Ton),
			[]PanTest{{label.Know(unit.DryRate(200)), Overlapped, 70, []Catch{9, 10.5, 9}}},
		},
		Boom: &Boom{
			70, 20 * unit.Inch, 10 * unit.GallonPerAcre, 500 * unit.Gallon, []nozzle{"04", "05", "06"},
			label.Range[unit.Pressure]{Min: 15, Max: 70}, Speeds{10, 15, 18}, label.Know(15 * unit.Second), 0,
		},
		Prices: Prices{
			label.Know(40 * unit.DollarPerGallon), label.Know(25 * unit.DollarPerGallon), label.Know(1200 * unit.DollarPerTon), label.Know(12 * unit.DollarPerTon),
			label.Know(7.5 * unit.DollarPerAcre), label.Know(4 * unit.DollarPerAcre), label.Know(7.5 * unit.DollarPerAcre),
			label.Know(1200 * unit.DollarPerTon), label.Know(cropPrice{bushel: 4.25 * unit.DollarPerBushel}),
		},
		Field: "North quarter (invented)", Customer: "name", Operator: "name", Date: "2026-05-01", Registration: "00000-000",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
	if e, known := got.SpreadError(); !known || e != 0.05 {
		t.Errorf("got %v, want the job's 5 %% before the spreader's 4 %%", e)
	}
}

// TestParseJobDefaults: an empty mapping is a job that says nothing; one material is
// the whole blend; a spreader has one bin.
func TestParseJobDefaults(t *testing.T) {
	if got, err := ParseJob("j", []byte("{}")); err != nil || !reflect.DeepEqual(got, new(Job)) {
		t.Errorf("got %+v, %v", got, err)
	}
	got, err := ParseJob("j", []byte("blend: {name: urea}\nspreader:\n  swath: 20 m\n  rate-error: 4 %\n  speed: {low: 10 km/h, usual: 15 km/h, high: 18 km/h}\n"))
	if err != nil {
		t.Fatal(err)
	}
	if got.Blend[0].Share != 1 || got.Spreader.Bins != 1 || got.Spreader.TwoBins() {
		t.Errorf("got %+v, %+v", got.Blend, got.Spreader)
	}
	if e, known := got.SpreadError(); !known || e != 0.04 {
		t.Errorf("got %v, want the spreader's 4 %%", e)
	}
}

func TestSharesAddUpToOne(t *testing.T) {
	got, err := ParseJob("j", []byte("blend:\n  - {name: a, share: 33.3 %}\n  - {name: b, share: 33.3 %}\n  - {name: c, share: 33.3 %}\n"))
	if err != nil {
		t.Fatal(err)
	}
	var sum unit.Mass
	for _, m := range got.Blend.Split(3 * unit.Ton) {
		sum += m
	}
	if math.Abs(float64(sum-6000)) > 1e-9 {
		t.Errorf("got %v, want 6000 lb", sum)
	}
}

// TestParseJobRefuses changes one line of the job and wants one error, at its line
// and column.
func TestParseJobRefuses(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"way: loads", "way: fastest", `j:16:6: way: "fastest" is not one of ` + strings.Join(wayNames(), ", ")},
		{"way: loads", "wya: loads", "j:16:1: wya: is not a key that is known here: did you mean way?"},
		{"overlap: first", "overlap: best", `j:14:10: overlap: "best" is not one of error, first, last, max`},
		{"units: us", "units: imperial", `j:13:8: units: "imperial" is not a system of units: want us or metric`},
		{"rate-unit: lb/ac", "rate-unit: gal/ac", `j:6:12: rate-unit: "gal/ac" is not a unit of a dry rate: want one of ` + strings.Join(unit.DryRateUnits(), ", ")},
		{"rate-of: product", "rate-of: P", `j:7:10: rate-of: "P" is not one of product, N`},
		{"rate-of: product", "rate-of: N", "j:8:20: analysis[2]: 0-0-60 has no N: a rate of N can't be met with it"},
		{"analysis: [46-0-0, 0-0-60]", "analysis: [46-0-0]", "j:8:11: analysis: has 1 grades for 2 rate fields: give one for each, in their order"},
		{"analysis: [46-0-0, 0-0-60]", "analysis: [46-0, 0-0-60]", `j:8:12: analysis[1]: "46-0" is not a grade: want N-P2O5-K2O such as "46-0-0"`},
		{"carrier: UREA", "carrier: DAP", `j:5:10: carrier: "DAP" is not among the rate fields: name one of UREA, POTASH`},
		{"rate-error: 5 %", "rate-error: 50 %", "j:11:13: rate-error: 50 % is no machine's: write how far the rate may be off, such as 5 %"},
		{"rate-error: 5 %", "rate-error: 5", `j:11:13: rate-error: "5" has no unit: want a share such as "5 %"`},
		{"loading: 320 fl oz/ton\nrate", "loading: 320 fl oz/ac\nrate", `j:10:10: loading: "320 fl oz/ac" is a liquid rate: want a loading such as "320 fl oz/ton"`},
		{"loading: 320 fl oz/ton\nrate", "loading: 0 fl oz/ton\nrate", "j:10:10: loading: is not above 0: write what it is, or leave it out"},
		{"already-applied: 10 fl oz/ac", "already-applied: -10 fl oz/ac", `j:12:18: already-applied: "-10 fl oz/ac" is negative: want a liquid rate such as "30 fl oz/ac"`},
		{"leave-off: yes", "leave-off: maybe", `j:17:12: leave-off: "maybe" is not yes or no`},
		{"name: urea, grade", "nmae: urea, grade", "j:19:5: blend[1].name: is missing: it has to be given\nj:19:6: blend[1].nmae: is not a key that is known here: did you mean name?"},
		{"share: 20 %", "share: 10 %", "j:19:3: blend: the shares add up to 90 %: they must make 100 %"},
		{"share: 20 %, ", "", "j:20:5: blend[2].share: is missing or 0: write its part of the weight, such as 60 %"},
		{"name: potash", "name: urea", `j:20:12: blend[2].name: "urea" is listed twice: join the two`},
		{"density: 48 lb/ft3", "density: 48 ft3", `j:19:55: blend[1].density: "48 ft3" is a bulk volume: want a density such as "9 lb/gal"`},
		{"loading: 64 fl oz/ton", "loading: 0 fl oz/ton", "j:21:48: second-liquid.loading: is not above 0: write what it is, or leave it out"},
		{"batch: 3 ton", "batch: 3 gal", `j:22:18: blender.batch: "3 gal" is a volume of liquid: want a weight such as "3 ton"`},
		{"batch: 3 ton", "batch: 0 ton", "j:22:18: blender.batch: is not above 0: write what it is, or leave it out"},
		{"blender: {batch: 3 ton, ", "blender: {", "j:22:10: blender.batch: is missing: it has to be given"},
		{"swath: 70 ft", "swath: 0 ft", "j:24:10: spreader.swath: is not above 0: write what it is, or leave it out"},
		{"  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}\n  rates", "  speed: {low: 18 mph, usual: 15 mph, high: 10 mph}\n  rates", "j:25:31: spreader.speed.usual: 15 mph is below low, 18 mph: write low, usual and high in this order\nj:25:45: spreader.speed.high: 10 mph is below usual, 15 mph: write low, usual and high in this order"},
		{"rates: {min: 80 lb/ac, max: 500 lb/ac}", "rates: {min: 500 lb/ac, max: 80 lb/ac}", "j:26:32: spreader.rates.max: 80 lb/ac is not above min, 500 lb/ac: swap them"},
		{"bins: 2", "bins: 3", "j:27:9: spreader.bins: 3 is not 1 or 2"},
		{"bins: 2", "bins: two", `j:27:9: spreader.bins: "two" is not a whole number`},
		{"truck: 8 ton", "truck: 8 ton\n  sections: 65", "j:33:13: spreader.sections: 65 is not 1 to 64"},
		{"truck: 8 ton", "truck: 8 tom", `j:32:10: spreader.truck: "8 tom" has a unit that is not known here: want a weight such as "3 ton"`},
		{"spacing: 20 in", "spacing: 200 ft", "j:36:12: boom.spacing: 200 ft is more than the boom's width, 70 ft: compare the units"},
		{"volume: 10 gal/ac", "volume: 30 fl oz/ac", "j:37:11: boom.volume: 30 fl oz/ac is not above the stabilizer alone, 30 fl oz/ac: it is the volume of the whole mix"},
		{"pressure: {min: 15 psi, max: 70 psi}", "pressure: {min: 70 psi, max: 15 psi}", "j:40:32: boom.pressure.max: 15 psi is not above min, 70 psi: swap them"},
		{"nozzles: [04, 05, \"06\"]", "nozzles: [04, 45]", `j:39:17: boom.nozzles[2]: "45" is not a nozzle size: want one of 01, 015, 02, 025, 03, 04, 05, 06, 08, 10, 15, 20`},
		{"nozzles: [04, 05, \"06\"]", "nozzles: []", "j:39:12: boom.nozzles: is empty: list the sizes on hand, such as [03, 04]"},
		// 0.50505 gal/min a nozzle at 15 mph: 40·(0.50505/0.2)² is 255.1 psi.
		{"nozzles: [04, 05, \"06\"]", "nozzles: [02]", "j:39:12: boom.nozzles: no size on hand gives 10 gal/ac at 15 mph inside 15 psi to 70 psi: 02 needs 255.1 psi; size 05 would hold it"},
		{"stabilizer: 40 $/gal", "stabilizer: -40 $/gal", `j:43:15: prices.stabilizer: "-40 $/gal" is negative: want a price of a liquid such as "38.50 $/gal"`},
		{"stabilizer: 40 $/gal", "stabilizer: 40 $/ac", `j:43:15: prices.stabilizer: "40 $/ac" is a price by area: want a price of a liquid such as "38.50 $/gal"`},
		{"date: 2026-05-01", "date: May 1", `j:55:7: date: "May 1" is not a date: want year-month-day such as "2026-01-15"`},
		{"label: label.yaml", "label: [a, b]", "j:1:8: label: is a list: want one value"},
	} {
		text := strings.Replace(job, c.from, c.to, 1)
		if text == job {
			t.Fatalf("%q is not in the job", c.from)
		}
		got, err := ParseJob("j", []byte(text))
		if got != nil || err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.to, err, c.want)
		}
	}
}

func TestRateOfNNeedsAnalysis(t *testing.T) {
	_, err := ParseJob("j", []byte("rate-of: N\n"))
	want := "j:1:10: rate-of: is N, and no analysis says how much of the product that is: add analysis, such as 46-0-0"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestJobErrorsAreTyped(t *testing.T) {
	_, err := ParseJob("j", []byte("loading: 3 ac\nway: x\n"))
	var all strictyaml.Errors
	var u *unit.Error
	if !errors.As(err, &all) || len(all) != 2 || !errors.As(err, &u) || u.Why != "is an area" {
		t.Errorf("got %v", err)
	}
}

// TestJobProblems: what is odd and not wrong is a warning, by its rule.
func TestJobProblems(t *testing.T) {
	for _, c := range []struct{ from, to, rule, key, text string }{
		{"nozzles: [04, 05, \"06\"]", "nozzles: [04]", "nozzles", "boom.nozzles", "no size on hand holds 10 gal/ac from 10 mph to 18 mph; 04 holds it from 7.275 mph to 15.72 mph; size 05 would hold it"},
		{"nozzles: [04, 05, \"06\"]\n  pressure: {min: 15 psi, max: 70 psi}", "nozzles: [05]\n  pressure: {min: 30 psi, max: 50 psi}", "nozzles", "boom.nozzles", "no size can, since pressure grows with the square of speed: narrow the speed range"},
		{"nozzles: [04, 05, \"06\"]\n  pressure: {min: 15 psi, max: 70 psi}", "nozzles: [05]\n  pressure: {min: 20 psi, max: 70 psi}", "nozzles", "boom.nozzles", "05 holds it from 10.5 mph to 19.64 mph; 05 would hold 10.51 gal/ac to 10.91 gal/ac"},
		{"density: 48 lb/ft3", "density: 9 lb/gal", "", "", ""},
		{"density: 48 lb/ft3", "density: 9 lb/ft3", "density", "blend[1].density", "9 lb/ft3 is outside the 30 lb/ft3 to 90 lb/ft3"},
		{"swath: 70 ft", "swath: 70 m", "swath", "spreader.swath", "is wide for a spreader"},
		{"rate-change: 4 s", "rate-change: 4 min", "rate-change", "spreader.rate-change", "is long to change a rate"},
		{"high: 18 mph}\n  rates", "high: 60 mph}\n  rates", "speed", "spreader.speed.high", "is fast for a field"},
	} {
		text := strings.Replace(job, c.from, c.to, 1)
		if text == job {
			t.Fatalf("%q is not in the job", c.from)
		}
		_, got, err := CheckJob("j", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", c.to, err)
			continue
		}
		if c.rule == "" {
			if len(got) > 0 {
				t.Errorf("%s: got %+v", c.to, got)
			}
			continue
		}
		if len(got) != 1 || got[0].Rule != c.rule || got[0].Severity != label.Warning || got[0].Key != c.key || got[0].Line == 0 || !strings.Contains(got[0].Text, c.text) {
			t.Errorf("%s: got %+v, want %s", c.to, got, c.text)
		}
	}
}

// What is wrong with the liquids, materials and analyses of a job, one mistake a time, and where it stands.
func TestWhatAListGetsWrong(t *testing.T) {
	rate, per := label.Know(5*unit.FluidOuncePerAcre), label.Know(64*unit.FluidOuncePerTon)
	aid, dye := Liquid{Name: "aid", Rate: rate}, Liquid{Name: "dye", Loading: per}
	grade := func(text string) Grade {
		g, err := ParseGrade(text)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	grades := func(list ...string) (all []Grade) {
		for _, text := range list {
			all = append(all, grade(text))
		}
		return all
	}
	urea := Material{Name: "urea", Share: 0.6, Grade: label.Know(grade("46-0-0"))}
	potash := Material{Name: "potash", Share: 0.4, Grade: label.Know(grade("0-0-60"))}
	unknown := Material{Name: "filler", Share: 0.4}
	for _, c := range []struct {
		what string
		job  Job
		want string
	}{
		{"nothing", Job{FurtherLiquids: []Liquid{aid, dye}}, ""}, {"nothing of a second", Job{SecondLiquid: &secondLiquid{}, FurtherLiquids: []Liquid{aid, dye}}, ""},
		{"one without a name", Job{FurtherLiquids: []Liquid{aid, {Name: " ", Rate: rate}}}, "error further-liquids[2].name: is empty: name the liquid"},
		{"the second without a name", Job{SecondLiquid: &secondLiquid{}, FurtherLiquids: []Liquid{{Rate: rate}, aid}}, "error second-liquid.name: is empty: name the liquid"},
		{"one after the second", Job{SecondLiquid: &secondLiquid{}, FurtherLiquids: []Liquid{aid, {Rate: rate}}}, "error further-liquids[1].name: is empty: name the liquid"},
		{"one twice", Job{FurtherLiquids: []Liquid{aid, dye, aid}}, `error further-liquids[3].name: "aid" is listed twice: join the two`},
		{"neither rate nor loading", Job{FurtherLiquids: []Liquid{{Name: "x"}}}, "error further-liquids[1]: says neither rate nor loading: write the rate that is wanted on the ground, such as rate: 5 fl oz/ac, or the loading that the plant has fixed"},
		{"both", Job{FurtherLiquids: []Liquid{{Name: "x", Rate: rate, Loading: per}}}, "error further-liquids[1].loading: stands beside a rate: one follows from the other, keep what is meant"},
		{"a loading by the boom", Job{FurtherLiquids: []Liquid{{Name: "x", Loading: per, On: OnBoom}}}, "error further-liquids[1].loading: is of what a ton of dry takes up, and the liquid goes on by the boom: write its rate"},
		{"a rate by the boom", Job{FurtherLiquids: []Liquid{{Name: "x", Rate: rate, On: OnBoom}}}, ""},
		{"a material without a name", Job{Blend: Blend{urea, {Share: 0.4}}}, "error blend[2].name: is empty: name the material"},
		{"a material twice", Job{Blend: Blend{urea, {Name: "urea", Share: 0.4}}}, `error blend[2].name: "urea" is listed twice: join the two`},
		{"shares nearly as far off as they may be", Job{Blend: Blend{urea, {Name: "x", Share: 0.3951}}}, ""}, {"and farther", Job{Blend: Blend{urea, {Name: "x", Share: 0.3949}}}, "error blend: the shares add up to 99.49 %: they must make 100 %"},
		{"a dense material", Job{Blend: Blend{urea, {Name: "x", Share: 0.4, Density: label.Know(91 * unit.PoundPerCubicFoot)}}}, "warning blend[2].density: 91 lb/ft3 is outside the 30 lb/ft3 to 90 lb/ft3 of dry products: compare the unit"},
		{"an analysis of the blend", Job{Blend: Blend{urea, potash}, Analysis: grades("27.6-0-24")}, ""}, {"within a half", Job{Blend: Blend{urea, potash}, Analysis: grades("28.1-0-24")}, ""},
		{"another", Job{Blend: Blend{urea, potash}, Analysis: grades("28.2-0-24")}, "warning analysis[1]: 28.2-0-24 says 28.2 % N, the blend's materials make 27.6 %: correct one of the two"},
		{"one of a blend that is half known", Job{Blend: Blend{urea, unknown}, Analysis: grades("20-0-0")}, ""},
		{"analyses of the materials", Job{Blend: Blend{urea, potash}, Analysis: grades("46-0-0", "0-0-60")}, ""}, {"of another number of them", Job{Blend: Blend{urea, potash}, Analysis: grades("30-0-0", "30-0-0", "30-0-0")}, ""},
		{"in another order", Job{Blend: Blend{urea, potash}, Analysis: grades("0-0-60", "46-0-0")}, "warning analysis[1]: 0-0-60 says 0 % N, urea, the material in its place, has 46 %: correct one of the two; warning analysis[2]: 46-0-0 says 46 % N, potash, the material in its place, has 0 %: correct one of the two"},
		{"beside one that nobody graded", Job{Blend: Blend{unknown, urea}, Analysis: grades("9-0-0", "45-0-0")}, "warning analysis[2]: 45-0-0 says 45 % N, urea, the material in its place, has 46 %: correct one of the two"},
	} {
		var got []string
		for _, p := range c.job.problemsIn(unit.US, nil) {
			got = append(got, fmt.Sprintf("%v %s: %s", p.Severity, p.Key, p.Text))
		}
		if all := strings.Join(got, "; "); all != c.want {
			t.Errorf("%s: got %q, want %q", c.what, all, c.want)
		}
	}
}

// TestProblemsInMetric: the texts follow the job's units, or those that are asked for.
func TestProblemsInMetric(t *testing.T) {
	metric := strings.Replace(job, "units: us", "units: metric", 1)
	for _, c := range []struct{ from, to, want string }{
		{"nozzles: [04, 05, \"06\"]", "nozzles: [04]", "no size on hand holds 93.54 L/ha from 16.09 km/h to 28.97 km/h; 04 holds it from 11.71 km/h to 25.29 km/h; size 05 would hold it"},
		{"nozzles: [04, 05, \"06\"]\n  pressure: {min: 15 psi, max: 70 psi}", "nozzles: [05]\n  pressure: {min: 20 psi, max: 70 psi}", "05 would hold 98.23 L/ha to 102.08 L/ha"},
		{"density: 48 lb/ft3", "density: 9 lb/ft3", "144.2 kg/m3 is outside the 480.6 kg/m3 to 1,442 kg/m3 of dry products"},
		{"swath: 70 ft", "swath: 70 m", "70 m is wide for a spreader"},
		{"high: 18 mph}\n  rates", "high: 60 mph}\n  rates", "96.56 km/h is fast for a field"},
	} {
		_, own, err := CheckJob("j", []byte(strings.Replace(metric, c.from, c.to, 1)))
		if err != nil {
			t.Fatal(err)
		}
		_, asked, err := CheckJobIn(unit.Metric, "j", []byte(strings.Replace(job, c.from, c.to, 1)))
		if err != nil {
			t.Fatal(err)
		}
		for _, got := range [][]label.Problem{own, asked} {
			if len(got) != 1 || !strings.Contains(got[0].Text, c.want) {
				t.Errorf("%s: got %+v, want %s", c.to, got, c.want)
			}
		}
	}
	_, err := ParseJob("j", []byte(strings.Replace(metric, "nozzles: [04, 05, \"06\"]", "nozzles: [02]", 1)))
	if want := "no size on hand gives 93.54 L/ha at 24.14 km/h inside 1.034 bar to 4.826 bar: 02 needs 17.59 bar; size 05 would hold it"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("got %v, want %s", err, want)
	}
}

// FuzzParseJob looks for panics; a job that is read must be usable, its figures
// finite, and the same when it is read again. Jobs are not written.
func FuzzParseJob(f *testing.F) {
	f.Add([]byte(job))
	f.Add([]byte(JobTemplate("")))
	f.Add([]byte("blend: {name: urea}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := ParseJob("j", data)
		if err != nil {
			return
		}
		if found := yamltest.NotFinite(j); found != "" {
			t.Fatal(found)
		}
		if again, err := ParseJob("j", data); err != nil || !reflect.DeepEqual(again, j) {
			t.Fatalf("read again: %+v, %v; want %+v", again, err, j)
		}
		var sum unit.Ratio
		for _, m := range j.Blend {
			sum += m.Share
		}
		if len(j.Blend) > 0 && math.Abs(float64(sum-1)) > 1e-9 {
			t.Fatalf("the shares add up to %v", sum)
		}
		if j.Boom != nil && len(j.Boom.Fits(WaterDensity)) == 0 {
			t.Fatal("a boom without nozzles")
		}
	})
}
