package day

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// workOf is a field's work at 300 fl oz/ton for a blender of 3 tons and trucks of 8.
func workOf(field int, tons float64, customer, registered string) Work {
	profile := &label.Profile{Name: "inhibitor", Rate: label.Range[unit.LiquidRate]{Min: 20, Max: 40}}
	if registered != "" {
		if err := profile.Registered.UnmarshalText([]byte(registered)); err != nil {
			panic(err)
		}
	}
	job := &equip.Job{Blender: &equip.Blender{Batch: 3 * unit.Ton, BatchTime: label.Know(10 * unit.Minute)}, Spreader: &equip.Spreader{Truck: label.Know(8 * unit.Ton)}}
	return Work{
		Field: field, Priority: 2, Customer: customer, Terms: rx.Terms{Label: profile, Job: job},
		Load: rx.Load{Loading: 300, Mass: unit.Mass(tons) * unit.Ton, Area: 100 * unit.Acre, Rates: rx.Range[unit.DryRate]{Min: 170, Max: 220}},
	}
}

// By hand, 3 tons a batch: 3.1 and 3.2 tons are 2 batches each, and 6.3 together 3 of 2.1: 4,200 lb, of which
// the first field takes one and 2,000 of the second.
func TestFieldsOfOneCustomerShareBatches(t *testing.T) {
	runs, asks := Runs([]Work{workOf(0, 3.1, "A", ""), workOf(1, 3.2, "A", "")}, nil)
	want := []rx.LotPart{{Batch: 0, Field: 0, Dry: 4200}, {Batch: 1, Field: 0, Dry: 2000}, {Batch: 1, Field: 1, Dry: 2200}, {Batch: 2, Field: 1, Dry: 4200}}
	if len(runs) != 1 || len(runs[0].Lots) != 1 || len(asks) != 1 {
		t.Fatalf("got %+v, %v", runs, asks)
	}
	lot := runs[0].Lots[0]
	if lot.Portion.Count != 3 || lot.Portion.Dry != 4200 || lot.Portion.Liquid != 630 || lot.Apart != 4 || !slices.Equal(lot.Parts, want) || lot.Time != 30*unit.Minute {
		t.Errorf("got %+v", lot)
	}
	// 6.2 and 6.4 tons of untreated weight at least fill a truck of 8 tons by themselves; 6.3 tons together are one.
	if a := asks[0]; a.About != rx.AskTruck || a.Now != 2 || a.Then != 1 {
		t.Errorf("asks %+v", a)
	}
}

// A batch that fields share is dosed for each of them: by hand, 4204 lb at 300 fl oz/ton take 630.6 fl oz, and 631 would bring
// 30.02 fl oz/ac at 200 lb/ac, where the season leaves 30. Neither does it matter which field comes first, nor that the
// other's dry rates go beyond what would be on label where the season leaves that.
func TestSharedBatchesKeepTheSeasonOfEachField(t *testing.T) {
	for _, full := range []int{0, 1} {
		for _, other := range []rx.Range[unit.DryRate]{{Min: 170, Max: 200}, {Min: 200, Max: 260}} {
			works := []Work{workOf(0, 3.1055, "A", ""), workOf(1, 3.2, "A", "")}
			for i := range works {
				works[i].Terms.Label.SeasonMax, works[i].Load.Rates = label.Know(unit.LiquidRate(80)), other
			}
			works[full].Terms.AlreadyApplied, works[full].Load.Rates = 50, rx.Range[unit.DryRate]{Min: 140, Max: 200}
			runs, _ := Runs(works, nil)
			if one := runs[0].Lots[0].Portion; len(runs[0].Lots) != 1 || one.Dry != 4204 || one.Liquid != 630 {
				t.Errorf("field %d has had 50, the other's rates are %v: %+v", full, other, one)
			}
		}
	}
}

// Batches of several customers, or of nobody knows whom, are kept apart and asked about, unless no
// liquid is a registered product; where sharing saves no batch nothing is shared or asked.
func TestBatchesAreSharedOnlyWhereTheyMayBe(t *testing.T) {
	for _, c := range []struct {
		name, one, other, registered string
		tons                         float64
		lots                         int
		asks                         rx.RunDoubt
	}{
		{"two customers", "A", "B", "", 3.1, 2, rx.AskCustomer},
		{"nobody says whose", "", "", "", 3.1, 2, rx.AskCustomer},
		{"registered, nobody says whose", "", "", "yes", 3.1, 2, rx.AskCustomer},
		{"one of them is known", "A", "", "", 3.1, 2, rx.AskCustomer},
		{"not registered", "A", "B", "no", 3.1, 1, rx.AskTruck},
		{"one customer", "A", "A", "yes", 3.1, 1, rx.AskTruck},
		{"nothing to save", "A", "A", "yes", 5.9, 2, ""},
		{"nothing to save, two customers", "A", "B", "", 5.9, 2, ""},
	} {
		runs, asks := Runs([]Work{workOf(0, c.tons, c.one, c.registered), workOf(1, c.tons, c.other, c.registered)}, nil)
		if len(runs[0].Lots) != c.lots || (c.asks == "") != (len(asks) == 0) || len(asks) > 0 && asks[0].About != c.asks {
			t.Errorf("%s: %d lots, asks %+v", c.name, len(runs[0].Lots), asks)
		}
	}
}

// Treated blend does not wait longer than its label lets it: 30 min of blending and 2 h of spreading.
func TestSharedBatchesAreNotHeldTooLong(t *testing.T) {
	for hold, lots := range map[unit.Time]int{149 * unit.Minute: 2, 150 * unit.Minute: 1} {
		works := []Work{workOf(0, 3.1, "A", ""), workOf(1, 3.2, "A", "")}
		for i := range works {
			works[i].Spreading, works[i].Terms.Label.Hold = unit.Hour, label.Know(hold)
		}
		runs, asks := Runs(works, nil)
		if held := slices.ContainsFunc(asks, func(a rx.RunAsk) bool { return a.About == rx.AskHold }); len(runs[0].Lots) != lots || held != (lots == 2) {
			t.Errorf("held for %v: %d lots, %v", hold, len(runs[0].Lots), asks)
		}
	}
}

// Of drawn days every field gets its dry, each batch is given away whole, and what all fields get is
// what is weighed and metered: sum of fields = sum of batches, to the last pound.
func TestRunsBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 4))
	shared := 0
	for range 300 {
		var works []Work
		want := map[int]unit.Mass{}
		for i := range 1 + r.IntN(8) {
			w := workOf(i, 0.3+9*r.Float64(), []string{"", "A", "B"}[r.IntN(3)], []string{"", "yes", "no"}[r.IntN(3)])
			w.Shared = r.IntN(4) - 1
			w.Load.Loading += unit.Loading(w.Shared)
			works = append(works, w)
			want[i] = w.Load.Mass
		}
		runs, _ := Runs(works, nil)
		got := map[int]unit.Mass{}
		for n, run := range runs {
			for _, l := range run.Lots {
				if len(l.Fields) > 1 {
					shared++
				}
				weighed := map[int]unit.Mass{}
				for _, p := range l.Parts {
					weighed[p.Batch] += p.Dry
					got[p.Field] += p.Dry
				}
				if len(weighed) != l.Portion.Count || run.Shared < 0 && len(l.Fields) > 1 {
					t.Fatalf("run %d: %d batches are given away, %d made: %+v", n, len(weighed), l.Portion.Count, l)
				}
				for b, dry := range weighed {
					if dry != l.Portion.Dry {
						t.Errorf("run %d, batch %d: %v given away of %v", n, b, dry, l.Portion.Dry)
					}
				}
			}
		}
		for i, mass := range want { // a batch is rounded to a pound, and a field has at most 13
			if off := math.Abs(float64(got[i] - mass)); off > 30 {
				t.Errorf("field %d gets %v, wants %v", i, got[i], mass)
			}
		}
	}
	if shared < 50 {
		t.Errorf("%d lots were shared", shared)
	}
}

// The order of liquids on the line is one of the fewest flushes, against trying all, and what is put on the
// stabilizer comes after the stabilizer alone.
func TestLineIsFlushedLeast(t *testing.T) {
	if got := lineOrder([][]string{{"s", "herbicide"}, {"s"}}); !slices.Equal(got, []int{1, 0}) {
		t.Errorf("got %v", got)
	}
	r := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		var lines [][]string
		for len(lines) < 2+r.IntN(4) {
			var set []string
			for k := range 4 {
				if r.IntN(2) == 0 {
					set = append(set, fmt.Sprint(k))
				}
			}
			if !slices.ContainsFunc(lines, func(o []string) bool { return slices.Equal(o, set) }) {
				lines = append(lines, set)
			}
		}
		least := math.MaxInt
		permute(len(lines), func(order []int) { least = min(least, flushes(lines, order)) })
		if got := flushes(lines, lineOrder(lines)); got != least {
			t.Errorf("%v: %d flushes, %d would do", lines, got, least)
		}
	}
}

// permute calls do with every order of n.
func permute(n int, do func([]int)) {
	order := make([]int, 0, n)
	var next func()
	next = func() {
		if len(order) == n {
			do(order)
		}
		for i := range n {
			if !slices.Contains(order, i) {
				order = append(order, i)
				next()
				order = order[:len(order)-1]
			}
		}
	}
	next()
}

// A run after one with a liquid that it does not get begins with a flush of the line.
func TestRunsSayWhatToFlush(t *testing.T) {
	one, other := workOf(0, 3, "", ""), workOf(1, 3, "", "")
	other.Blend, other.Shared, other.Terms.Label = 1, 1, &label.Profile{Name: "another", Rate: one.Terms.Label.Rate}
	runs, _ := Runs([]Work{one, other}, nil)
	if len(runs) != 2 || len(runs[0].Flush) != 0 || !slices.Equal(runs[1].Flush, []string{"inhibitor"}) {
		t.Errorf("got %+v", runs)
	}
}

// More sets of liquids than all orders are tried of go by how many liquids they have, the fewest first, else as they came.
func TestLinesOfManyLiquids(t *testing.T) {
	var lines [][]string
	for i := range mostTried + 1 {
		lines = append(lines, []string{fmt.Sprint(i), "x", "y"}[:1+i%3])
	}
	if got := fmt.Sprint(lineOrder(lines)); got != "[0 3 6 1 4 7 2 5]" {
		t.Errorf("of %d: %s", len(lines), got)
	}
	lines = [][]string{{"a", "b"}, {"c"}, {"c", "d"}, {"a"}, {"b", "a", "c"}, {"d"}, {"d", "a"}}
	least := math.MaxInt
	permute(len(lines), func(order []int) { least = min(least, flushes(lines, order)) })
	if got := lineOrder(lines); len(lines) != mostTried || flushes(lines, got) != least || least >= flushes(lines, []int{1, 3, 5, 0, 2, 6, 4}) {
		t.Errorf("of %d: %v, %d flushes, %d would do", len(lines), got, flushes(lines, got), least)
	}
}
