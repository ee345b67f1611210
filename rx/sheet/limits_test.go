package sheet_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// TestWindowOnTheSheet: the dry rates that a sheet calls on label, and those at which it
// has left-over blend spread, by hand at a loading that the plant has fixed, for 20 to 40
// fl oz/ac. Every limit of a pass counts, and the ends are rounded inward.
func TestWindowOnTheSheet(t *testing.T) {
	for _, c := range []struct {
		name, more, want string
		loading          unit.Loading
		applied          unit.LiquidRate
	}{
		{"the label's range", "", "125 to 250 lb/ac", 320, 0},
		{"rounded inward", "", "133.4 to 266.6 lb/ac", 300, 0}, // 133.33 to 266.67
		{"the season's room", "season-max: 60 fl oz/ac\n", "125 to 200 lb/ac", 320, 28},
		{"the smallest impregnated rate", "min-dry-rate: 150 lb/ac\n", "150 to 250 lb/ac", 320, 0},
		{"both", "season-max: 60 fl oz/ac\nmin-dry-rate: 150 lb/ac\n", "150 to 200 lb/ac", 320, 28},
	} {
		terms := termsOf(t, bareLabel+c.more, "")
		terms.Loading, terms.AlreadyApplied = c.loading, c.applied
		sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 160}, rxtest.Ground{Acres: 30, Rate: 190}), terms, rx.OneLoad)
		if got := fact(sheets[0], "On label at this loading"); got != c.want {
			t.Errorf("%s: got %s, want %s", c.name, got, c.want)
		}
		if text := strings.Join(section(t, sheets[0], "Treated blend that is left over").Notes, " "); !strings.Contains(text, "at "+c.want+" of dry") {
			t.Errorf("%s: left over: %s", c.name, text)
		}
	}
}

// TestWindowHoldsItsLayer: a layer at the end of its window is inside it as printed, in as
// many decimals as that takes: 125 lb/ac at 320 fl oz/ton are 140.106 kg/ha.
func TestWindowHoldsItsLayer(t *testing.T) {
	terms := units(termsOf(t, bareLabel, ""), unit.Metric)
	terms.Loading = 320
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 125}, rxtest.Ground{Acres: 30, Rate: 190}), terms, rx.OneLoad)
	const what = "On label at this loading"
	if got, note := fact(sheets[0], what), noteOf(sheets[0], what); got != "140.11 to 280.21 kg/ha" || note != "of dry; this layer has 140.11 to 212.96 kg/ha" {
		t.Errorf("got %s (%s)", got, note)
	}
}

// TestSwappedLoadsCountEveryLimit: the load for 100 lb/ac has 400 fl oz/ton and puts 40.2
// fl oz/ac on 201 lb/ac, above 40; on 195 it puts 39, which the label allows and the
// season, 60 less 22, does not.
func TestSwappedLoadsCountEveryLimit(t *testing.T) {
	for _, c := range []struct {
		more    string
		applied unit.LiquidRate
		high    unit.DryRate
	}{{"", 0, 201}, {"season-max: 60 fl oz/ac\n", 22, 195}} {
		terms := termsOf(t, bareLabel+c.more, "")
		terms.AlreadyApplied, terms.Intended = c.applied, 20
		sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 100}, rxtest.Ground{Acres: 30, Rate: c.high}), terms, rx.Loads)
		if text := all(sheets[0]); !strings.Contains(text, "Spread with layer dry-2") || !strings.Contains(text, ", off the label") {
			t.Errorf("%v lb/ac: nothing is told of in\n%s", float64(c.high), text)
		}
	}
}

// TestDosesSayWhichLimit: a dose that is not the nearest whole one names the limit that
// the nearest would pass, by hand for one batch at one dry rate.
func TestDosesSayWhichLimit(t *testing.T) {
	const blender = "blender: {batch: 4 ton}\n"
	for _, c := range []struct {
		name, more, want string
		ground           rxtest.Ground
		intended         unit.LiquidRate
		applied          unit.LiquidRate
	}{
		{
			// 3005 lb in one batch; 380 fl oz/ton put 28.5 fl oz/ac on 150 lb/ac
			"loading per ton", "loading: {min: 150 fl oz/ton, max: 380 fl oz/ton}\n",
			"take 570.95 fl oz, rounded down to 570 fl oz: the nearest whole fluid ounce, 571, would load more than the label's most, 380 fl oz/ton.",
			rxtest.Ground{Acres: 3005 / 150.0, Rate: 150}, 35, 0,
		},
		{
			"most liquid", "max-liquid: 380 fl oz/ton\n",
			"take 570.95 fl oz, rounded down to 570 fl oz: the nearest whole fluid ounce, 571, would load more than the label allows: a ton takes up 380 fl oz/ton at most.",
			rxtest.Ground{Acres: 3005 / 150.0, Rate: 150}, 35, 0,
		},
		{
			// 40 fl oz/ac on 200 lb/ac are 400 fl oz/ton
			"rate per acre", "",
			"take 600.8 fl oz, rounded down to 600 fl oz: the nearest whole fluid ounce, 601, would put ground above the label's most, 40 fl oz/ac.",
			rxtest.Ground{Acres: 3004 / 200.0, Rate: 200}, 40, 0,
		},
		{
			"rate per acre, at the least", "",
			"take 300.4 fl oz, rounded up to 301 fl oz: the nearest whole fluid ounce, 300, would leave ground below the label's least, 20 fl oz/ac.",
			rxtest.Ground{Acres: 3004 / 200.0, Rate: 200}, 20, 0,
		},
		{
			// room for 32 fl oz/ac, 320 fl oz/ton
			"season", "season-max: 60 fl oz/ac\n",
			"take 480.64 fl oz, rounded down to 480 fl oz: the nearest whole fluid ounce, 481, would put ground above the 32 fl oz/ac that the season maximum leaves.",
			rxtest.Ground{Acres: 3004 / 200.0, Rate: 200}, 32, 28,
		},
	} {
		terms := termsOf(t, bareLabel+c.more, blender)
		terms.Intended, terms.AlreadyApplied = c.intended, c.applied
		sheets, _ := made(t, rxtest.Plain(c.ground), terms, rx.OneLoad)
		if text := strings.Join(section(t, sheets[0], "Batches").Notes, "\n"); !strings.Contains(text, c.want) {
			t.Errorf("%s: want %q in\n%s", c.name, c.want, text)
		}
	}
}

// TestFillsSayWhy: the stabilizer of each fill is rounded inward near an end of the label,
// and the sheet says so; a full tank is 350/8 = 43.75 ac.
func TestFillsSayWhy(t *testing.T) {
	const boom = "boom: {width: 60 ft, spacing: 15 in, volume: 8 gal/ac, tank: 350 gal, nozzles: [\"03\"], pressure: {min: 18 psi, max: 65 psi}, speed: {low: 9 mph, usual: 13 mph, high: 17 mph}}\n"
	for _, c := range []struct {
		name, label           string
		rate, applied         unit.LiquidRate
		full, last, all, note string
	}{
		{"at the most", "{min: 16 fl oz/ac, max: 37 fl oz/ac}", 37, 0, "1,618", "1,130", "2,748", "43.75 ac at the planned rate take 1,618.75 fl oz, rounded down to 1,618 fl oz: the nearest whole fluid ounce, 1,619, would put ground above the label's most, 37 fl oz/ac."},
		{"at the least", "{min: 16.01 fl oz/ac, max: 37 fl oz/ac}", 16.01, 0, "701", "490", "1,191", "take 700.438 fl oz, rounded up to 701 fl oz: the nearest whole fluid ounce, 700, would leave ground below the label's least, 16.01 fl oz/ac."},
		{"inside", "{min: 16 fl oz/ac, max: 37 fl oz/ac}", 26.5, 0, "1,159", "810", "1,969", "take 1,159.375 fl oz, rounded down to 1,159 fl oz, the nearest whole fluid ounce."},
		{"whole", "{min: 16 fl oz/ac, max: 37 fl oz/ac}", 32, 0, "1,400", "978", "2,378", "take 1,400 fl oz, which a meter reads."},
		{"the season's most", "{min: 16 fl oz/ac, max: 37 fl oz/ac}\nseason-max: 60 fl oz/ac", 29.65, 30.35, "1,297", "906", "2,203", "take 1,297.188 fl oz, rounded down to 1,297 fl oz, the nearest whole fluid ounce."},
		// 700.0875 to 700.2625 and 489.021 to 489.143 fl oz
		{"none is whole", "{min: 16.002 fl oz/ac, max: 16.006 fl oz/ac}", 16.004, 0, "700.2", "489.1", "1,189.3", "take 700.175 fl oz, dosed as 700.2 fl oz: no whole fluid ounce keeps all of the ground on label, so measure it finer."},
	} {
		terms := termsOf(t, "name: Test inhibitor (invented)\nrate: "+c.label+"\n", boom)
		terms.Intended, terms.AlreadyApplied = c.rate, c.applied
		field := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 74.31, Rate: 200}))
		sheets, plan := made(t, field, terms, rx.WetBoom)
		s := section(t, oneOf(t, sheets, rx.BoomSheet), "Tank fills")
		for row, want := range map[string]string{"1": c.full, "2 (last)": c.last, "in all": c.all} {
			if got := cell(t, s, row, "stabilizer fl oz"); got != want {
				t.Errorf("%s: fill %s: got %s, want %s", c.name, row, got, want)
			}
		}
		if text := strings.Join(s.Notes, "\n"); !strings.Contains(text, c.note) {
			t.Errorf("%s: want %q in\n%s", c.name, c.note, text)
		}
		if got := strings.TrimSuffix(fmt.Sprintf("%.1f", float64(plan.Way.Metered)), ".0"); got != strings.ReplaceAll(c.all, ",", "") {
			t.Errorf("%s: %s fl oz are priced, %s are on the sheet", c.name, got, c.all)
		}
	}
}

// TestLiquidAllTogether: both liquids are held against what a ton takes up; 3 gal are 384
// fl oz, and 64 of another leave 320.
func TestLiquidAllTogether(t *testing.T) {
	const second = "second-liquid: {name: another, loading: 64 fl oz/ton}\n"
	const what = "Liquid, all together"
	p := rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 180})
	for _, c := range []struct{ more, job, want string }{
		{"", "", ""},
		{"max-liquid: 3 gal/ton\n", "", "333.3 fl oz/ton"}, // 30 fl oz/ac
		{"max-liquid: 3 gal/ton\n", second, "384 fl oz/ton"},
		{"", second, ""},
	} {
		sheets, _ := made(t, p, termsOf(t, bareLabel+c.more, c.job), rx.OneLoad)
		if got := fact(sheets[0], what); got != c.want {
			t.Errorf("%q, %q: got %s, want %s", c.more, c.job, got, c.want)
		}
		if note := noteOf(sheets[0], what); c.want != "" && note != "of the 384 fl oz/ton that a ton of dry takes up at most, by the label" {
			t.Errorf("got %s", note)
		}
		if got, want := strings.Contains(all(sheets[0]), "label profile, max-liquid"), c.more == ""; got != want {
			t.Errorf("%q, %q: asked for is %v, want %v", c.more, c.job, got, want)
		}
	}
}

var suggested = regexp.MustCompile(`would hold ([0-9.]+) to ([0-9.]+) gal/ac at every speed`)

// TestSuggestedVolumesAreHeld: a boom that is set to either end of the volumes that its
// sheet suggests is told that its nozzles hold, whatever the liquid weighs.
func TestSuggestedVolumesAreHeld(t *testing.T) {
	const boom = "boom: {width: 60 ft, spacing: 15 in, volume: %s gal/ac, tank: 350 gal, nozzles: [\"02\", \"025\", \"03\", \"04\"], pressure: {min: 18 psi, max: 65 psi}, speed: {low: 9 mph, usual: 13 mph, high: 17 mph}}\n"
	field := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 40, Rate: 200}))
	for _, density := range []string{"", "density: 8.6 lb/gal\n", "density: 15 lb/gal\n"} {
		at := func(volume string) rx.Sheet {
			sheets, _ := made(t, field, termsOf(t, bareLabel+density, fmt.Sprintf(boom, volume)), rx.WetBoom)
			return oneOf(t, sheets, rx.BoomSheet)
		}
		m := suggested.FindStringSubmatch(all(at("8")))
		if m == nil {
			t.Fatalf("%q: no volume is suggested", density)
		}
		for _, volume := range m[1:] {
			if fact(at(volume), "Mount size") == "" {
				t.Errorf("%q: %s gal/ac is suggested and refused", density, volume)
			}
		}
		for i, step := range []float64{-0.01, 0.01} { // nothing that is held is left out
			v, err := strconv.ParseFloat(m[1+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			if volume := fmt.Sprintf("%.2f", v+step); fact(at(volume), "Mount size") == "03" {
				t.Errorf("%q: %s gal/ac is held and not suggested", density, volume)
			}
		}
	}
}

// TestSmallTank: a tank for 0.75 ac, by hand: 26 fl oz/ac x 0.75 ac = 19.5 fl oz, rounded
// to 20, 40 times, and 8 for the 0.3 ac left make 808 where 30.3 ac take 787.8. A machine
// of one speed has one column of pressures and one line of flows.
func TestSmallTank(t *testing.T) {
	terms := termsOf(t, bareLabel, `boom: {width: 60 ft, spacing: 30 in, volume: 16 gal/ac, tank: 12 gal, nozzles: ["08"], pressure: {min: 18 psi, max: 65 psi}, speed: {low: 12 mph, usual: 12 mph, high: 12 mph}}
`)
	terms.Intended = 26
	sheets, _ := made(t, rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 30.3, Rate: 160})), terms, rx.WetBoom)
	const want = "The layer takes 787.8 fl oz of stabilizer; the fills, each rounded as a meter reads, make 808 fl oz."
	if notes := strings.Join(section(t, sheets[1], "Tank fills").Notes, "\n"); !strings.Contains(notes, want) {
		t.Errorf("no %q in\n%s", want, notes)
	}
	if head := section(t, sheets[1], "Nozzles").Tables[0].Head; strings.Join(head, "|") != "size|12 mph|" {
		t.Errorf("columns of pressures: %q", head)
	}
	if rows := section(t, sheets[1], "Flow of the mix").Tables[0].Rows; len(rows) != 1 {
		t.Errorf("lines of flow: %v", rows)
	}
}
