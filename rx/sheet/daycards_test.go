package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
)

// lot is of so many batches of 5,000 lb for fields that share them, the last one parted.
func lot(count int, fields ...int) rx.Lot {
	l := rx.Lot{
		Fields: fields, Batched: true, Apart: count + 1,
		Load:    rx.Load{Loading: 300, Further: []unit.Loading{40}, Materials: equip.Blend{{Name: "urea", Share: 0.6}, {Name: "potash", Share: 0.4}}},
		Portion: rx.Portion{Count: count, Dry: 5000, Liquid: 750, Agent: 47, Materials: []unit.Mass{3000, 2000}, Further: []rx.Metered{{Liquid: 100, Agent: 6}}},
	}
	for b := range count {
		l.Parts = append(l.Parts, rx.LotPart{Batch: b, Field: fields[0], Dry: 5000})
	}
	for _, f := range fields[1:] {
		l.Parts[len(l.Parts)-1].Dry -= 1000
		l.Parts = append(l.Parts, rx.LotPart{Batch: count - 1, Field: f, Dry: 1000})
	}
	return l
}

// day is a day that says all that cards of a day can say.
func day(t *testing.T) sheet.DayCards {
	terms := rxtest.Terms(rxtest.Label(t, "hold: 48 h\n"))
	terms.Further = rxtest.Further(40)
	bare := terms
	bare.Further = nil
	whole := lot(1, 2)
	whole.Batched, whole.Load.Materials, whole.Load.Further, whole.Portion.Materials, whole.Portion.Further = false, nil, nil, nil, nil
	redosed, left := lot(2, 2), &rx.LotLeft{Weighed: 1020, Dry: 1000, Loading: 400}
	redosed.Left = left
	asIs := rx.Lot{Fields: []int{1}, Load: rx.Load{Loading: 400, Further: []unit.Loading{40}}, Left: left, Portion: rx.Portion{Count: 1, Further: make([]rx.Metered, 1)}, Parts: []rx.LotPart{{Field: 1, Dry: 1000}}}
	return sheet.DayCards{
		Date: "2026-05-04",
		Runs: []rx.Run{{Shared: 0, Terms: terms, Lots: []rx.Lot{lot(14, 0, 1), redosed, lot(3, 2)}}, {Shared: 1, Terms: bare, Flush: []string{"another"}, Lots: []rx.Lot{whole}}, {Shared: 2, Terms: terms, Lots: []rx.Lot{asIs}}},
		Hauls: []rx.Haul{
			{Field: 0, Run: 0, Product: "treated dry", Weight: 30000, Loads: 2, Each: 15000},
			{Field: 2, Run: 1, Product: "treated dry", Weight: 5000, Rough: true},
			{Field: 1, Run: 0, Product: "left-over blend L1", Weight: 1020, Left: left},
			{Field: 1, Run: -1, Product: "untreated dry", Weight: 5000, Loads: 1, Each: 5000},
			{Field: 3, Run: 1, Product: "treated dry", Weight: 25000, Loads: 3, Each: 10000, Full: 2, Last: 1},
			{Field: 3, Run: 2, Product: "treated dry", Weight: 20000, Loads: 2, Each: 10000, Full: 2, Last: 2},
		},
		Fields: []sheet.DayField{
			{Name: "north", Customer: "someone", Place: "section 00", Somewhere: "47.1, -90.2", Plan: "01-north"},
			{Name: "south", Customer: "someone", Plan: "02-south"}, {Name: "east", Plan: "03-east"}, {Name: "by boom", Plan: "04-by-boom"}, {Name: "not served"},
		},
		Blends: []string{"urea", "potash"}, Left: []sheet.DayLeft{{Text: "L1: used", Made: "2026-05-01", SpreadBy: "2026-05-02"}},
		Orders: [][2]string{{"urea", "12 ton"}}, Served: "3 fields", By: "as their own sheets dose it",
	}
}

// Every batch of a run stands on one card, in order, with its fields and what it gets; no card has more
// lines than a page holds.
func TestEveryBatchHasItsLine(t *testing.T) {
	next, cards, older := 1, 0, 0
	for _, s := range day(t).List() {
		if !strings.HasPrefix(s.Title, "Blend run 1 of 3,") {
			continue
		}
		cards++
		if len(s.Card.Log.Rows) > 12 {
			t.Errorf("%s has %d lines", s.Title, len(s.Card.Log.Rows))
		}
		for _, row := range s.Card.Log.Rows {
			if got := strings.Join(row, "|"); strings.Contains(got, "L1") { // weighed first, and by itself
				if want := fmt.Sprintf("[ ]|%d|3|L1 1,020|_____|||||", next); got != want {
					t.Errorf("batch %d: got %s, want %s", next, got, want)
				}
				older++
				continue
			}
			field := map[bool]string{true: "1", false: "3"}[next < 15]
			if next == 14 {
				field = "1 + 2"
			}
			if got, want := strings.Join(row, "|"), fmt.Sprintf("[ ]|%d|%s|5,000|_____|750|100|_____|53.00|_____", next, field); got != want {
				t.Errorf("batch %d: got %s, want %s", next, got, want)
			}
			next++
		}
	}
	if next != 20 || cards != 3 || older != 2 {
		t.Errorf("%d batches, %d with left-over blend, on %d cards", next-1, older, cards)
	}
}

// A card of trucks bears the number of its field, as the ticket does; its band is the run's.
func TestCardsOfTrucksBearTheirField(t *testing.T) {
	marks := map[string]string{}
	for _, s := range day(t).List() {
		if strings.HasPrefix(s.Title, "Trucks") {
			marks[s.Title] += s.Card.Mark + fmt.Sprint(s.Card.Band)
		}
	}
	for title, want := range map[string]string{"Trucks, field 1": "10", "Trucks, field 2": "20U3", "Trucks, field 3": "31"} {
		if marks[title] != want {
			t.Errorf("%s: mark and band %q, want %q", title, marks[title], want)
		}
	}
}

// What a field gets of a batch that is parted stands on the card of that batch alone.
func TestPartedBatchIsTold(t *testing.T) {
	for _, s := range day(t).List() {
		text := ""
		for _, part := range s.Sections {
			text += plainText(part)
		}
		parted := strings.Contains(text, "Batch 14 | 4,000 lb of dry to field 1, 1,000 lb of dry to field 2")
		if want := s.Title == "Blend run 1 of 3, card 2 of 3"; parted != want {
			t.Errorf("%s: told: %v", s.Title, parted)
		}
	}
}

// A card for left-over blend says what to load by its name, and of no run; one for a run that it is blended into, what of it goes
// into a batch.
func TestCardsOfLeftOverBlend(t *testing.T) {
	c := day(t)
	c.Hauls = []rx.Haul{{Field: 1, Run: 0, Product: "left-over blend L2", Weight: 2000, Left: &rx.LotLeft{Of: 1, Weighed: 2000, Loading: 100}}}
	c.Left = append(c.Left, sheet.DayLeft{Made: "2026-05-03", SpreadBy: "2026-05-04"})
	first := c.Runs[0].Lots[0]
	redosed := first
	redosed.Fields, redosed.Left, redosed.Portion.Dry = []int{1}, &rx.LotLeft{Of: 1, Weighed: 1000, Dry: 980, Loading: 100}, 0
	redosed.Parts = []rx.LotPart{{Field: 1, Dry: 980}}
	asIs := redosed
	asIs.Portion = rx.Portion{Count: 1, Further: make([]rx.Metered, len(first.Portion.Further)), Materials: make([]unit.Mass, len(first.Portion.Materials))}
	c.Runs[0].Lots = []rx.Lot{asIs, redosed, first}
	for title, want := range map[string]string{"Trucks, field 2": "load it from left-over blend L2 alone", "Blend run 1": "of 1,000 lb of left-over blend L2", "Blend run 1 ": "Spread by | 2026-05-04 | by the label: what has left-over blend L2 in it, made 2026-05-03"} {
		found := false
		for _, s := range c.List() {
			if strings.HasPrefix(s.Title, title) {
				text := ""
				for _, part := range s.Sections {
					text += plainText(part) + "\n"
				}
				found = found || strings.Contains(text, want) && !strings.Contains(text, "load it from run") && !strings.Contains(text, "L2 and 0 lb")
			}
		}
		if !found {
			t.Errorf("%s does not say %q", title, want)
		}
	}
	// Of a run that is blended the day's own card names those whose blend is made in it, and nobody else.
	alone := first
	alone.Fields = []int{0}
	for want, lots := range map[string][]rx.Lot{"1": {asIs, alone}, "2": {asIs}} {
		c.Runs[0].Lots = lots
		if got := c.List()[0].Card.Log.Rows[0][4]; got != want {
			t.Errorf("run 1 names fields %q, not %q", got, want)
		}
	}
	// Where left-over blend is all that a field gets, nobody blends.
	c.Runs[0].Lots = []rx.Lot{asIs}
	for _, s := range c.List() {
		if strings.HasPrefix(s.Title, "Blend run 1") {
			t.Error("a card for a run without a batch")
		}
	}
}

// Where no batch is parted, the last truck has a weight of its own: 3 trucks of 2, 2 and 1 batches of 5000.
func TestTrucksOfWholeBatches(t *testing.T) {
	for _, s := range day(t).List() {
		if s.Title != "Trucks, field 4" {
			continue
		}
		text, rows := fmt.Sprint(*s.Card), s.Card.Log.Rows
		last := rows[len(rows)-1][2]
		if len(rows) == 3 && (last != "5,000" || rows[1][2] != "10,000" || !strings.Contains(text, "2 batches on each, 10,000 lb, 1 batch on the last; 25,000 lb in all")) || len(rows) == 2 && last != "10,000" {
			t.Errorf("last %s of %v; %s", last, rows, text)
		}
	}
}
