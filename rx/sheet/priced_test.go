package sheet_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

// TestCostAgreesWithTheSheets: what the field sheet orders, at its price, is what the
// cost says to the cent, whatever the way and the units.
func TestCostAgreesWithTheSheets(t *testing.T) {
	second := "second-liquid: {name: another, loading: 64 fl oz/ton, density: 10 lb/gal}\n"
	for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads, rx.Refit} {
		for _, s := range []unit.System{unit.US, unit.Metric} {
			for _, more := range []string{"", second} {
				terms := units(termsOf(t, file(t, "label.yaml"), more+file(t, "job.yaml")), s)
				sheets, plan := made(t, fourZones(t), terms, way)
				field := oneOf(t, sheets, rx.FieldSheet)
				order, cost := section(t, field, "To order"), plan.Way.Cost
				if text := strings.Join(section(t, field, "What it costs").Notes, "\n"); strings.Contains(text, "for want of a price: another.") != (more != "") {
					t.Errorf("%s, with %q: %s", way, more, text)
				}
				amount := func(what string) float64 {
					for _, i := range cost.Items {
						if i.What == what {
							return i.Amount
						}
					}
					return 0
				}
				// 40 $/gal, 0.60 $/lb, by the last, exact column.
				gallon, pound := 128.0, 1.0
				if s == unit.Metric {
					gallon, pound = 3785.411784, 0.45359237
				}
				if want := numberOf(t, cell(t, order, "stabilizer", "that is")) / gallon * 40; math.Abs(amount("stabilizer")-want) > 0.005 {
					t.Errorf("%s, %v: stabilizer $%.3f, the sheet orders $%.3f", way, s, amount("stabilizer"), want)
				}
				if way == rx.WetBoom {
					continue
				}
				if want := numberOf(t, cell(t, order, "drying agent", "that is")) / pound * 0.6; math.Abs(amount("drying agent")-want) > 0.01 {
					t.Errorf("%s, %v: agent $%.3f, the sheet orders $%.3f", way, s, amount("drying agent"), want)
				}
			}
		}
	}
}

// TestCostPerAcreOfAllDry: with 40 of 160 ac left off, the sheet's column goes by the 160 ac
// that are spread, as the way's own figure does; the break-even by the 120 ac that get
// stabilizer. By hand: 160 ac at $7.50 are $1,200, so that the line reads 7.50.
func TestCostPerAcreOfAllDry(t *testing.T) {
	terms := termsOf(t, bareLabel, "prices: {stabilizer: 40 $/gal, dry-spreading: 7.50 $/ac, crop: 4 $/bu}\n")
	terms.LeaveOff = true
	sheets, plan := made(t, rxtest.Plain(rxtest.FourGrounds()...), terms, rx.OneLoad)
	s, cost := section(t, oneOf(t, sheets, rx.FieldSheet), "What it costs"), plan.Way.Cost
	if got := cell(t, s, "dry spreading", "$/ac spread"); plan.Way.LeftOff != 40 || got != "7.50" {
		t.Errorf("%v ac left off, dry spreading $%s/ac", float64(plan.Way.LeftOff), got)
	}
	if got := numberOf(t, s.Tables[0].Total[4]); math.Abs(got-cost.PerAcre) > 0.005 || math.Abs(160*cost.PerAcre-cost.High) > 1e-9 {
		t.Errorf("in all $%v/ac, the way says %v of %v", got, cost.PerAcre, cost.High)
	}
	field := oneOf(t, sheets, rx.FieldSheet)
	bushels := (cost.High - 1200) / 4
	if got := numberOf(t, strings.Fields(fact(field, "Break-even"))[0]); math.Abs(got-bushels/120) > 0.005 {
		t.Errorf("break-even %v bu/ac of %v bu", got, bushels)
	}
	if note := noteOf(field, "Break-even"); !strings.HasSuffix(note, "at $4.00/bu, on the 120.00 ac that get stabilizer") {
		t.Error(note)
	}
}

// A refit that leaves out N worth more than all else has no break-even. By hand: 1 ac comes
// from 1000 to 200 lb/ac, which is 368 lb of N, $221; 11 ac of stabilizer are less than
// 11·40 fl oz, $138.
func TestNothingToPayBack(t *testing.T) {
	job := "blend: [{name: urea, grade: 46-0-0, share: 100 %}]\nprices: {stabilizer: 40 $/gal, nitrogen: 0.60 $/lb, crop: 4 $/bu}\n"
	sheets, plan := made(t, rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 100}, rxtest.Ground{Acres: 1, Rate: 1000}), termsOf(t, bareLabel, job), rx.Refit)
	field := oneOf(t, sheets, rx.FieldSheet)
	s := section(t, field, "What it costs")
	if text := strings.Join(s.Notes, "\n"); plan.Way.Cost.High >= 0 || !strings.Contains(text, "nothing to pay back") {
		t.Errorf("total %v: %s", plan.Way.Cost.High, text)
	}
	for _, f := range s.Facts {
		if f.What == "Break-even" {
			t.Errorf("break-even %s", f.Value)
		}
	}
}

// Prices of nothing that a way takes make no cost: it would read as free.
func TestNoPriceOfIt(t *testing.T) {
	sheets, plan := made(t, fourZones(t), termsOf(t, bareLabel, "prices: {blending: 12 $/ton, crop: 4 $/bu}\n"), rx.WetBoom)
	if plan.Way.Cost != nil {
		t.Errorf("got %+v", *plan.Way.Cost)
	}
	for _, s := range oneOf(t, sheets, rx.FieldSheet).Sections {
		if strings.HasPrefix(s.Title, "What it costs") {
			t.Error("the field sheet prices it")
		}
	}
}

// TestHalfDosesSayWhy: by hand. 30 ac at 201 lb/ac are 6030 lb in two batches of 3015 lb;
// at 298.5 fl oz/ton one takes 449.99 fl oz; a half of 1508 lb (1507.5 up) 225.07, so
// that four of them take as much as two whole ones.
func TestHalfDosesSayWhy(t *testing.T) {
	terms := termsOf(t, bareLabel, "blender: {batch: 3500 lb}\n")
	terms.Loading = 298.5
	sheets, _ := made(t, rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 201}), terms, rx.OneLoad)
	half := section(t, sheets[0], "If batches come out too wet")
	for what, want := range map[string]string{"Half batches": "4", "Dry in all": "6,032 lb", "Stabilizer in all": "900 fl oz"} {
		if got := fact(sheets[0], what); got != want {
			t.Errorf("%s: got %s, want %s", what, got, want)
		}
	}
	notes := strings.Join(half.Notes, "\n")
	for _, want := range []string{"1,508 lb of dry at the loading take 225.069 fl oz, rounded down to 225 fl oz, the nearest whole fluid ounce", "The totals differ"} {
		if !strings.Contains(notes, want) {
			t.Errorf("%q is not in %s", want, notes)
		}
	}
}

// TestDoseKeptOnLabel: a window so narrow that the nearest whole dose leaves it. At 125
// and 249.9 lb/ac, 20 to 40 fl oz/ac leave 320 to 320.128 fl oz/ton: 1250 lb take 200
// and, rounded to the nearest, 200 is 320 exactly; of 1260 lb, 201.6 to 201.68, no whole
// one is right.
func TestDoseKeptOnLabel(t *testing.T) {
	for acres, want := range map[unit.Area]string{
		10:    "which a meter reads", // 2500 lb in 2
		10.08: "no whole fluid ounce keeps all of the ground on label, so measure it finer",
	} {
		terms := termsOf(t, bareLabel, "blender: {batch: 1300 lb}\n")
		grounds := []rxtest.Ground{{Acres: acres, Rate: 125}, {Acres: acres / 2 * 125 / 249.9 * 2, Rate: 249.9}}
		terms.Loading = 320
		sheets, _ := made(t, rxtest.Plain(grounds...), terms, rx.OneLoad)
		if text := strings.Join(section(t, sheets[0], "Batches").Notes, "\n"); !strings.Contains(text, want) {
			t.Errorf("%v: want %q in %s", acres, want, text)
		}
	}
}

// The release card has columns of money where a way is priced, and no cell of a way is left empty
// as if to be written in: one that is impossible has dashes.
func TestNoColumnOfNoPrice(t *testing.T) {
	for jobText, columns := range map[string]int{"": 6, "prices: {stabilizer: 40 $/gal, wet-boom: 4 $/ac}\n": 8} {
		p := fourZones(t)
		a := rxtest.Grade(t, p, termsOf(t, bareLabel, jobText))
		s := split.For(p, a, nil)
		plan, err := s.Plan(rx.WetBoom)
		if err != nil {
			t.Fatal(err)
		}
		ways := section(t, sheet.Release(p, a, plan, s.Ways(), nil), "The ways side by side")
		table := ways.Tables[0]
		if len(table.Head) != columns || len(table.Left) != columns {
			t.Errorf("with %q the columns are %q", jobText, table.Head)
		}
		if got := cell(t, ways, "one load", "passes"); got != "–" {
			t.Errorf("one load, which is impossible, takes %q passes", got)
		}
		for _, row := range table.Rows {
			if len(row) != columns || slices.Contains(row, "") {
				t.Errorf("with %q: %q", jobText, row)
			}
		}
	}
}
