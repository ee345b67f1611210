package sheet_test

import (
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

// TestMaterialsTogether: what speaks against a blend stands on the sheet with its
// source. Blends that must not be impregnated make no plan, so here are the others.
func TestMaterialsTogether(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 200})
	for _, c := range []struct{ blend, more, want string }{
		{"[{name: urea, share: 50 %}, {name: potash, share: 50 %}]", "", "Take care: urea and potash draw water above 60.3 % relative humidity"},
		{"[{name: urea, share: 50 %}, {name: AMS, share: 50 %}]", "", "[IFDC data: Clayton"},
		{"[{name: urea, share: 50 %}, {name: AMS, share: 50 %}]", "", "neither allows nor forbids AMS as a carrier"},
		{"[{name: urea, share: 50 %}, {name: TSP, share: 50 %}]", "blend-tested: yes\n", "Test confirmed by the job file: urea and triple superphosphate can release water"},
		{"[{name: urea, share: 100 %}]", "", "Nothing is known against it."},
	} {
		sheets, _ := made(t, p, termsOf(t, file(t, "label.yaml"), c.more+"blend: "+c.blend+"\n"), rx.OneLoad)
		if got := dump([]rx.Sheet{{Sections: []rx.Section{section(t, sheets[0], "Do the materials go together")}}}); !strings.Contains(got, c.want) {
			t.Errorf("%s: want %q in\n%s", c.blend, c.want, got)
		}
	}
}

// TestLimeDries: pelletized lime serves as a drying agent above 50 lb/ac of it, not at
// 50; common practice, no source.
func TestLimeDries(t *testing.T) {
	for share, want := range map[string]bool{"25 %": false, "26 %": true} { // of 200 lb/ac
		rest := map[string]string{"25 %": "75 %", "26 %": "74 %"}[share]
		terms := termsOf(t, bareLabel, "blend: [{name: urea, share: "+rest+"}, {name: pell lime, share: "+share+"}]\n")
		sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 200}), terms, rx.OneLoad)
		if got := strings.Contains(all(sheets[0]), "pelletized lime, which serves"); got != want {
			t.Errorf("%s of lime: %v", share, got)
		}
	}
}

// TestLimeDriesOnAllGround: what the lowest rate brings decides. 30 % of 120 lb/ac are
// 36, of 170 they are 51.
func TestLimeDriesOnAllGround(t *testing.T) {
	for lowest, want := range map[unit.DryRate]bool{120: false, 170: true} {
		terms := termsOf(t, bareLabel, "blend: [{name: urea, share: 70 %}, {name: pell lime, share: 30 %}]\n")
		sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 200}, rxtest.Ground{Acres: 30, Rate: lowest}), terms, rx.OneLoad)
		if got := strings.Contains(all(sheets[0]), "pelletized lime, which serves"); got != want {
			t.Errorf("from %v lb/ac up: %v, want %v", float64(lowest), got, want)
		}
	}
}

// TestSecondLiquid: by hand, 64 fl oz/ton are 4 pt; with the 20 pt of 320 fl oz/ton
// that is 24 lb of agent a ton at a pound a pint.
func TestSecondLiquid(t *testing.T) {
	terms := termsOf(t, bareLabel+"density: 9 lb/gal\n", "blender: {batch: 3 ton}\nsecond-liquid: {name: another, loading: 64 fl oz/ton, density: 10 lb/gal}\n")
	terms.Loading = 320
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 200}), terms, rx.OneLoad)
	batches := section(t, sheets[0], "Batches")
	for row, want := range map[string]string{"drying agent": "72.00", "stabilizer": "960", "another": "192"} {
		if got := cell(t, batches, row, "each batch"); got != want {
			t.Errorf("%s: got %s, want %s", row, got, want)
		}
	}
	// 22.5 + 5 lb of liquid and 24 lb of agent
	if got := fact(sheets[0], "Liquid and drying agent add"); got != "51.5 lb a ton" {
		t.Errorf("got %s", got)
	}
	steps := section(t, sheets[0], "Order of adding").Steps
	if !strings.Contains(steps[2], "stabilizer") || !strings.Contains(steps[3], "another") {
		t.Errorf("order: %q", steps)
	}
}

// TestHalfBatches: 6000 lb in one batch of 9 min are two of 3000 lb in 4.5 min each,
// 13.3 an hour instead of 6.7; common practice, no source.
func TestHalfBatches(t *testing.T) {
	terms := termsOf(t, bareLabel, "blender: {batch: 3 ton, batch-time: 9 min}\n")
	terms.Loading = 320
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 200}), terms, rx.OneLoad)
	for what, want := range map[string]string{
		"Half batches": "2", "Stabilizer in each": "480 fl oz", "Batches an hour": "13.3", "Equal batches": "1", "Time in the blender": "9 min",
	} {
		if got := fact(sheets[0], what); got != want {
			t.Errorf("%s: got %s, want %s", what, got, want)
		}
	}
}

// TestTrucks: five batches of 3 ton, treated 6127.5 lb each, are two to a truck of 8 ton.
func TestTrucks(t *testing.T) {
	terms := termsOf(t, bareLabel+"density: 9 lb/gal\n", "blender: {batch: 3 ton}\nspreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, truck: 8 ton}\n")
	terms.Loading = 320
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 150, Rate: 200}), terms, rx.OneLoad)
	for what, want := range map[string]string{"Whole batches on a truck": "2", "Truck loads": "3", "Weight of a full one": "12,255 lb"} {
		if got := fact(sheets[0], what); got != want {
			t.Errorf("%s: got %s, want %s", what, got, want)
		}
	}
	if got := noteOf(sheets[0], "Truck loads"); got != "the last with 1 batch" {
		t.Errorf("got %s", got)
	}
}

// TestSwappedLoads: what one load would do on the ground of the other, by hand from the
// loadings that the sheets print.
func TestSwappedLoads(t *testing.T) {
	sheets, plan := made(t, fourZones(t), termsOf(t, bareLabel, ""), rx.Loads)
	first, second := plan.Layers[0], plan.Layers[1]
	low := unit.StabilizerRate(first.Loading, second.Dry.Min)
	text := strings.Join(section(t, sheets[0], "What this load is").Cautions, "\n")
	if !strings.Contains(text, "layer dry-1 alone") || !strings.Contains(text, "off the label") || !strings.Contains(text, strings.TrimSuffix(low.Brief(unit.US), " fl oz/ac")) {
		t.Errorf("got %s, want %v", text, low)
	}
}

// TestNozzlesThatDoNotHold: each way out that there is, and none that there is not. By
// hand, an 04 gives 0.2828 to 0.5292 gal/min from 20 to 70 psi, which is 7.64 gal/ac at
// 11 mph and 8.73 at 18.
func TestNozzlesThatDoNotHold(t *testing.T) {
	p := fourZones(t)
	const rest = ", width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal}\n"
	for _, c := range []struct {
		name, boom string
		says, not  []string
	}{
		{"another size", "boom: {nozzles: [\"04\"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}" + rest,
			[]string{"Another size: 05 would hold it", "Another speed: with size 04 keep between 11 and 15.7 mph", "Another volume: size 04 would hold 7.64 to 8.73 gal/ac"}, []string{"No size can"}},
		{"too wide a range of speeds", "boom: {nozzles: [\"05\"], pressure: {min: 30 psi, max: 50 psi}, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}" + rest,
			[]string{"No size can: pressure grows with the square of speed, and 10 mph to 20 mph takes 4.00 times the pressure; the range allowed has 1.67 times", "Another speed"}, []string{"Another volume"}},
	} {
		for _, s := range []unit.System{unit.US, unit.Metric} {
			sheets, _ := made(t, p, units(termsOf(t, bareLabel, c.boom), s), rx.WetBoom)
			got := oneOf(t, sheets, rx.BoomSheet)
			if mounted := fact(got, "Mount size"); mounted != "" {
				t.Errorf("%s: says to mount %s", c.name, mounted)
			}
			text := strings.Join(section(t, got, "No size on hand").Steps, "\n")
			if s == unit.Metric {
				noUSUnits(t, text)
				continue
			}
			for _, want := range c.says {
				if !strings.Contains(text, want) {
					t.Errorf("%s: want %q in\n%s", c.name, want, text)
				}
			}
			for _, not := range c.not {
				if strings.Contains(text, not) {
					t.Errorf("%s: %q in\n%s", c.name, not, text)
				}
			}
		}
	}
}

// TestSpreaderWarnings: a rate beyond its reach, and rates of its own.
func TestSpreaderWarnings(t *testing.T) {
	sheets, _ := made(t, fourZones(t), termsOf(t, file(t, "label.yaml"), file(t, "job.yaml")), rx.WetBoom)
	s := oneOf(t, sheets, rx.SpreaderSheet)
	flow := section(t, s, "Flow at the usual speed")
	if len(flow.Cautions) != 1 || !strings.Contains(all(s), "gives 280") { // 300 lb/ac are asked for
		t.Errorf("got %+v", flow)
	}
	own := strings.Join(section(t, s, "What the controller").Cautions, "\n")
	if !strings.Contains(own, "100 lb/ac if position is lost") || strings.Contains(own, "outside") {
		t.Errorf("got %s", own)
	}
}

// TestSeason: the sum of the season against the label, and over it, if more was
// applied than the plan was made with.
func TestSeason(t *testing.T) {
	p := fourZones(t)
	a := rxtest.Grade(t, p, termsOf(t, file(t, "label.yaml"), ""))
	plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	for applied, want := range map[unit.LiquidRate]bool{50: false, 51: true} { // 30 more, at most 80
		a.Terms.AlreadyApplied = applied
		s := section(t, oneOf(t, sheet.For(p, a, plan), rx.FieldSheet), "The season")
		if got := len(s.Cautions) > 0; got != want {
			t.Errorf("%v applied: %q", applied, s.Cautions)
		}
	}
	for _, c := range []struct {
		already []unit.LiquidRate
		want    string
	}{{nil, "as the job says"}, {[]unit.LiquidRate{0, 51, 0, 0}, "by the file that says so"}} {
		a.Terms.Already = c.already
		s := section(t, oneOf(t, sheet.For(p, a, plan), rx.FieldSheet), "The season")
		if f := s.Facts[0]; f.What != "Already applied" || !strings.HasPrefix(f.Note, c.want) {
			t.Errorf("of zones %v: %+v, want %s", c.already, f, c.want)
		}
	}
}

// TestContainers: 4800 fl oz are 37.5 gal: 15 of 2.5 gal; 290 gal are one of 265 gal
// and ten of 2.5.
func TestContainers(t *testing.T) {
	sheets, _ := made(t, fourZones(t), termsOf(t, bareLabel, ""), rx.WetBoom)
	s := oneOf(t, sheets, rx.FieldSheet)
	if got := fact(s, "Stabilizer"); got != "15 containers of 2.5 gal" || fact(s, "or") != "" {
		t.Errorf("got %s, or %s", got, fact(s, "or"))
	}
	terms := termsOf(t, bareLabel, "")
	terms.Loading = 320
	// 2320 ac at 100 lb/ac are 116 ton: 37120 fl oz
	many, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 1160, Rate: 200}), terms, rx.OneLoad)
	s = oneOf(t, many, rx.FieldSheet)
	if fact(s, "Stabilizer") != "116 containers of 2.5 gal" || fact(s, "or") != "1 container of 265 gal and 10 of 2.5 gal" {
		t.Errorf("got %s, or %s", fact(s, "Stabilizer"), fact(s, "or"))
	}
}

// TestCounters: what the counters should read, and 5 % either way; common practice.
func TestCounters(t *testing.T) {
	sheets, _ := made(t, fourZones(t), termsOf(t, bareLabel, ""), rx.WetBoom)
	s := section(t, oneOf(t, sheets, rx.FieldSheet), "After the pass")
	var got []string
	for _, row := range s.Tables[0].Rows {
		got = append(got, strings.Join(row[:3], " "))
		v, low, high := numberOf(t, row[2]), numberOf(t, row[3]), numberOf(t, row[4])
		if math.Abs(low-0.95*v) > 0.51 || math.Abs(high-1.05*v) > 0.51 {
			t.Errorf("from %v to %v for %v", low, high, v)
		}
	}
	want := []string{
		"dry ac 160.00", " lb of dry 30,550",
		"liquid ac 160.00", " gal of stabilizer 37.50",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
