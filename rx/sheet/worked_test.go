package sheet_test

import (
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

const bareLabel = "name: Test inhibitor (invented)\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"

// TestWorkedFigures reads figures off finished sheets. D is exact arithmetic that can
// be redone by hand; S a published source; P common practice without a source.
func TestWorkedFigures(t *testing.T) {
	threeTons := []rxtest.Ground{{Acres: 30, Rate: 200}} // 6000 lb
	oneTon := []rxtest.Ground{{Acres: 1, Rate: 2000}}
	const heavy = bareLabel + "density: 9 lb/gal\ndrying-agent: 1 lb/pt\n"
	const urea = "blend: [{name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}]\n"
	const spreader = "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, truck: 8 ton}\n"
	for _, c := range []struct {
		name, label, job string
		grounds          []rxtest.Ground
		loading          unit.Loading
		kind             rx.SheetKind
		section, row     string
		column, want     string
	}{
		{"D 3 ton x 320 fl oz/ton", heavy, "blender: {batch: 3 ton}\n", threeTons, 320, rx.BlenderSheet, "Batches", "stabilizer", "each batch", "960"},
		{"D 960 fl oz / 128", heavy, "blender: {batch: 3 ton}\n", threeTons, 320, rx.BlenderSheet, "Batches", "  the same", "each batch", "7.50"},
		{"D 320 fl oz are 20 pt, at P 1 lb a pint", bareLabel, "", threeTons, 320, rx.BlenderSheet, "Batches", "drying agent", "1 ton", "20.00"},
		{"D 35 fl oz are 2.1875 pt, at P 1 lb a pint", bareLabel, "blender: {batch: 3 ton}\n", oneTon, 35, rx.BlenderSheet, "Batches", "drying agent", "each batch", "2.19"},
		{"D 32 x 2000 / 2042.5", heavy, "", threeTons, 320, rx.BlenderSheet, "The spreader's setting", "every zone", "if not raised", "31.33"},
		{"D 32 x 2000 / 2022.5, no agent", bareLabel + "density: 9 lb/gal\ndrying-agent: 0 lb/pt\n", "", threeTons, 320, rx.BlenderSheet, "The spreader's setting", "every zone", "if not raised", "31.64"},
		{"D 200 x 43.5 / 48; the fall is P", heavy, urea, threeTons, 320, rx.BlenderSheet, "The meter", "200", "delivers", "181.25"},
		{"D 16 fl oz per 100 lb", heavy, "", threeTons, 320, rx.BlenderSheet, "Stabilizer by what was weighed", "100", "fl oz", "16.00"},
		{"D 200 x 15 x 70 / 495", bareLabel, spreader, threeTons, 320, rx.SpreaderSheet, "Flow at the usual speed", "dry", "lb/min", "424.2"},
		{"D 424.24 / 43.5", bareLabel, spreader + urea, threeTons, 320, rx.SpreaderSheet, "Flow at the usual speed", "dry", "ft3/min", "9.75"},
		// Caught 8, 10, 12: s with n-1 is 2, over 10.
		{"D CV by hand", bareLabel, strings.Replace(spreader, "truck", "pan-test: {passes: overlapped, spacing: 25 ft, caught: [8, 10, 12]}, truck", 1), threeTons, 320, rx.SpreaderSheet, "Pattern, pan test 1", "1", "from the center", "25 ft left"},
		// A box of 6 pans 15 ft apart and its neighbor 70 ft away, whose first pan is at 32.5 ft
		// and which fades from there to nothing at 17.5 ft: at 22.5 ft it adds a third of 6.
		{"D boxes that overlap", bareLabel, strings.Replace(spreader, "truck", "pan-test: {passes: single, spacing: 15 ft, caught: [6, 6, 6, 6, 6, 6]}, truck", 1), threeTons, 320, rx.SpreaderSheet, "Pattern, pan test 1", "5", "in rounds", "8"},
		{"D 424.24 lb/min for half a minute", bareLabel, spreader, threeTons, 320, rx.SpreaderSheet, "Static catch", "dry", "in 30 s, lb", "212.1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			terms := termsOf(t, c.label, c.job)
			terms.Loading = c.loading
			sheets, _ := made(t, rxtest.Plain(c.grounds...), terms, rx.OneLoad)
			if got := cell(t, section(t, oneOf(t, sheets, c.kind), c.section), c.row, c.column); got != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
		})
	}
}

// TestAgentIsRoundedUp: plants round 2.19 lb up to 2.5; common practice, no source.
func TestAgentIsRoundedUp(t *testing.T) {
	terms := termsOf(t, bareLabel, "blender: {batch: 3 ton}\n")
	terms.Loading = 35
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 1, Rate: 2000}), terms, rx.OneLoad)
	if text := all(sheets[0]); !strings.Contains(text, "up to the next half pound: 2.5 lb") {
		t.Error(text)
	}
}

// TestBoomFigures reads the wet boom's handbook figures off its sheet.
func TestBoomFigures(t *testing.T) {
	p := fourZones(t)
	const boom = "boom: {width: 70 ft, spacing: 20 in, volume: 5 gal/ac, tank: 500 gal, nozzles: [\"025\"], pressure: {min: 15 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}\n"
	const slow = "boom: {width: 60 ft, spacing: 20 in, volume: 15 gal/ac, tank: 500 gal, nozzles: [\"04\"], pressure: {min: 15 psi, max: 60 psi}, speed: {low: 5 mph, usual: 6 mph, high: 8 mph}}\n"
	const metric = "boom: {width: 20 m, spacing: 0.5 m, volume: 100 L/ha, tank: 2000 L, nozzles: [\"02\"], pressure: {min: 1 bar, max: 5 bar}, speed: {low: 8 km/h, usual: 10 km/h, high: 12 km/h}}\n"
	for _, c := range []struct {
		name, job            string
		s                    unit.System
		section, row, column string
		want                 string
	}{
		{"D 500 gal / 5 gal/ac", boom, unit.US, "Tank fills", "1", "ac", "100.00"},
		{"D 100 ac x 30 fl oz", boom, unit.US, "Tank fills", "1", "stabilizer fl oz", "3,000"},
		{"D 500 gal less 3000/128", boom, unit.US, "Tank fills", "1", "water gal", "476.56"},
		{"D the last 60 ac", boom, unit.US, "Tank fills", "2 (last)", "ac", "60.00"},
		{"D 60 ac x 30 fl oz", boom, unit.US, "Tank fills", "2 (last)", "stabilizer fl oz", "1,800"},
		{"D 300 gal less 1800/128", boom, unit.US, "Tank fills", "2 (last)", "water gal", "285.94"},
		{"D 4800 fl oz in all", boom, unit.US, "Tank fills", "in all", "stabilizer fl oz", "4,800"},
		{"D 15 x 6 x 20 / 5940, method S UF/IFAS EDIS WG013", slow, unit.US, "Flow of the mix", "6", "one nozzle gal/min", "0.303"},
		{"D 40 x (0.30303/0.40)^2", slow, unit.US, "Nozzles", "04", "6 mph", "23.0"},
		{"D 100 x 10 x 0.5 / 600", metric, unit.Metric, "Flow of the mix", "10", "one nozzle L/min", "0.833"},
		{"S course at 15 in: Ohio State Univ. Bulletin 817", "", unit.US, "Catch test", "15 in", "course", "272 ft"},
		{"S course at 20 in", "", unit.US, "Catch test", "20 in", "course", "204 ft"},
		{"S course at 30 in", "", unit.US, "Catch test", "30 in", "course", "136 ft"},
		{"S course at 40 in: LSU AgCenter", "", unit.US, "Catch test", "40 in", "course", "102 ft"},
		{"D 10 m2 at 0.5 m", "", unit.Metric, "Catch test", "0.5 m", "course", "20 m"},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheets, _ := made(t, p, units(termsOf(t, bareLabel, c.job), c.s), rx.WetBoom)
			if got := cell(t, section(t, oneOf(t, sheets, rx.BoomSheet), c.section), c.row, c.column); got != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
		})
	}
	sheets, _ := made(t, p, termsOf(t, bareLabel, boom), rx.WetBoom)
	s := oneOf(t, sheets, rx.BoomSheet)
	for what, want := range map[string]string{"Course": "204 ft", "One nozzle gives": "5 fl oz", "Time on it": "9.3 s"} { // 204.19 ft at 22 ft/s
		if got := fact(s, what); got != want {
			t.Errorf("%s: got %s, want %s", what, got, want)
		}
	}
}

// TestIfNobodyDoes grades by hand: at 320 fl oz/ton, 125 and 250 lb/ac get 20 and 40
// fl oz/ac, both on the edge. Whatever takes off takes the 10 ac below; only a loss of
// more than half would take the 20 ac.
func TestIfNobodyDoes(t *testing.T) {
	terms := termsOf(t, bareLabel+"density: 9 lb/gal\ndrying-agent: 1 lb/pt\n", "blend: [{name: urea, share: 100 %, density: 48 lb/ft3}]\n")
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 125}, rxtest.Ground{Acres: 20, Rate: 250}, rxtest.Ground{Acres: 5, Rate: 0}), terms, rx.OneLoad)
	s := section(t, sheets[0], "What the verdicts become")
	for _, c := range []struct{ row, delivers, rates, below, within string }{
		{"as planned", "100.0 %", "20.00 to 40.00", "0.00", "30.00"},
		{"setting not raised for weight", "97.9 %", "19.58 to 39.17", "10.00", "20.00"}, // 2000/2042.5
		{"meter not recalibrated", "90.6 %", "18.12 to 36.25", "10.00", "20.00"},        // 43.5/48
		{"neither done", "88.7 %", "17.75 to 35.50", "10.00", "20.00"},
	} {
		for column, want := range map[string]string{"delivers": c.delivers, "fl oz/ac": c.rates, "below": c.below, "within": c.within, "above": "0.00"} {
			if got := cell(t, s, c.row, column); got != want {
				t.Errorf("%s, %s: got %s, want %s", c.row, column, got, want)
			}
		}
	}
}

// Left-over blend lands at another loading: at 170 fl oz/ton, by hand, 250 and 320 lb/ac get 21.25 and 27.20 fl oz/ac, and with
// the meter not recalibrated the first falls below 20. It weighs less, too: 170/128 gal of 9 lb, and 10.6 lb of agent, a ton.
func TestIfNobodyDoesWithLeftOver(t *testing.T) {
	terms := termsOf(t, bareLabel+"density: 9 lb/gal\ndrying-agent: 1 lb/pt\n", "blend: [{name: urea, share: 100 %, density: 48 lb/ft3}]\n")
	terms.Loading, terms.LeftOver = 215*unit.FluidOuncePerTon, []unit.Loading{170 * unit.FluidOuncePerTon}
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 250}, rxtest.Ground{Acres: 20, Rate: 320}), terms, rx.OneLoad)
	s := section(t, sheets[0], "What the verdicts become")
	if got := cell(t, s, "meter not recalibrated", "below"); got != "0.00" {
		t.Errorf("as blended: %s below", got)
	}
	if len(s.Tables) != 2 || s.Tables[1].Title != "Where left-over blend lands, at 170 fl oz/ton" {
		t.Fatalf("%+v", s.Tables)
	}
	s.Tables = s.Tables[1:]
	for _, c := range [][3]string{{"as planned", "21.25 to 27.20", "0.00"}, {"setting not raised for weight", "21.01 to 26.90", "0.00"}, {"meter not recalibrated", "19.26 to 24.65", "10.00"}} {
		if rates, below := cell(t, s, c[0], "fl oz/ac"), cell(t, s, c[0], "below"); rates != c[1] || below != c[2] {
			t.Errorf("%s: %s, %s below", c[0], rates, below)
		}
	}
}

// TestBreakEven: cost over price, by hand. 4800 fl oz are 37.5 gal, at $40 $1500; the
// boom is $640; $2140 / $4 are 535 bu on 160 ac.
func TestBreakEven(t *testing.T) {
	sheets, _ := made(t, fourZones(t), termsOf(t, file(t, "label.yaml"), file(t, "job.yaml")), rx.WetBoom)
	s := oneOf(t, sheets, rx.FieldSheet)
	if got, note := fact(s, "Break-even"), noteOf(s, "Break-even"); got != "3.34 bu/ac" || note != "535 bu at $4.00/bu" {
		t.Errorf("got %s, %s", got, note)
	}
	if got := fact(s, "Without dry spreading and its driving"); got != "$2,140.00" {
		t.Errorf("got %s", got)
	}
}

// A further liquid would be paid without the stabilizer too, with its drying agent. By
// hand: 8000 lb of dry on 40 ac are one batch of 4 ton; 4 · 64 = 256 fl oz are 2 gal, at
// $25 $50; 16 pt take 16 lb of agent, at $0.50 $8. The stabilizer: 4 · 300 = 1200 fl oz are
// 9.375 gal, at $40 $375; 75 pt take 75 lb, $37.50. $412.50 / 200 $/t are 2.1 t.
func TestBreakEvenComparesLikeWithLike(t *testing.T) {
	const prices = "prices: {stabilizer: 40 $/gal, second-liquid: 25 $/gal, drying-agent: 0.50 $/lb, crop: 200 $/t}\n"
	terms := termsOf(t, bareLabel+"drying-agent: 1 lb/pt\n", "second-liquid: {name: another, loading: 64 fl oz/ton}\nblender: {batch: 4 ton}\n"+prices)
	terms.Loading = 300
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 40, Rate: 200}), terms, rx.OneLoad)
	s := oneOf(t, sheets, rx.FieldSheet)
	if all, alone := fact(s, "Without dry spreading and its driving"), fact(s, "Of that the stabilizer"); all != "$470.50" || alone != "$412.50" {
		t.Errorf("got %s, of that %s", all, alone)
	}
	if note := noteOf(s, "Of that the stabilizer"); !strings.Contains(note, "$58.00") {
		t.Error(note)
	}
	if got, note := fact(s, "Break-even"), noteOf(s, "Break-even"); got != "0.057 ton/ac" || note != "2.3 ton at $181.40/ton" {
		t.Errorf("got %s, %s", got, note)
	}
}
