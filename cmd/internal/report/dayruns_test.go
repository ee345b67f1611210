package report

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Runs, hauls, what is asked and what shared loadings bring, of a day in which all kinds stand side by
// side: whole rows, as the screen, the page and the cards print them.
func TestTablesOfADay(t *testing.T) {
	load := func(l unit.Loading) rx.Load { return rx.Load{Loading: l} }
	portion := func(n int, dry unit.Mass, liquid unit.Volume) rx.Portion {
		return rx.Portion{Count: n, Dry: dry, Liquid: liquid}
	}
	d := Day{
		Runs: []rx.Run{
			{Shared: 1, Lots: []rx.Lot{
				{Fields: []int{4}, Load: load(310), Left: &rx.LotLeft{Of: 0, Weighed: 900}, Portion: portion(1, 0, 0), Batched: true},
				{Fields: []int{4}, Load: load(300), Left: &rx.LotLeft{Of: 1, Weighed: 900}, Portion: portion(2, 0, 64), Batched: true},
				{Fields: []int{4}, Load: load(300), Left: &rx.LotLeft{Of: 2, Weighed: 900}, Portion: portion(3, 5000, 0), Batched: true},
				{Fields: []int{4, 0}, Load: load(300), Portion: portion(1200, 6000, 900), Batched: true},
			}},
			{Shared: -1, Flush: []string{"A (invented)", "B (invented)"}, Lots: []rx.Lot{{Fields: []int{2}, Load: load(250.25), Portion: portion(1, 6000, 750)}}},
		},
		Hauls: []rx.Haul{
			{Field: 0, Run: 0, Product: "treated dry", Weight: 36000, Loads: 3, Each: 15000, Full: 5, Last: 2},
			{Field: 1, Run: -1, Product: "untreated dry", Weight: 30000, Loads: 2, Each: 15000, Full: 5, Last: 5},
			{Field: 2, Run: 1, Product: "treated dry", Weight: 12000},
			{Field: 3, Run: 1, Product: "treated dry", Weight: 900, Loads: 1, Each: 900, Left: &rx.LotLeft{}},
		},
		Asks: []rx.RunAsk{
			{About: rx.AskTruck, Run: 1, Fields: []int{1}, Now: 3, Then: 2}, {About: rx.AskCustomer, Run: 0, Fields: []int{0, 4}, Now: 7, Then: 6}, {About: rx.AskHold, Run: 0, Fields: []int{5, 3, 4}, Now: 9, Then: 8},
			{About: rx.AskCustomer, Run: 1, Fields: []int{2, 6, 7, 8, 11, 10}, Now: 5, Then: 4}, {About: rx.AskGround, Fields: []int{0, 1}}, {About: rx.AskLeft, Left: 2, Fields: []int{3}},
		},
	}
	table := func(head []string, rows [][]string) string {
		lines := []string{strings.Join(head, "|")}
		for _, r := range rows {
			lines = append(lines, strings.Join(r, "|"))
		}
		return strings.Join(lines, "\n")
	}
	shared := func(d Day, low, high unit.LiquidRate, used unit.Mass) string {
		d.Loadings, d.Intended = make([]DayLoading, 1), rx.Range[unit.LiquidRate]{Min: low, Max: high}
		d.Left = []DayLeft{{}, {Used: used}}
		return DaySharedText(d)
	}
	bare := d
	bare.Hauls = d.Hauls[2:3]
	const counted = "Left-over blend is counted in it, and may be farther off, on label too. "
	const so, end = "A shared loading brings what stands beside it: on label, and as near as sharing allows. ", "If that is not what is wanted, split the field by itself."
	const customer = "or is no liquid a registered product (label, registered: no)? "
	for _, c := range []struct{ what, got, want string }{
		{"runs", table(DayRuns(d)), `run|loading|fields|batches|dry a batch|stabilizer
1|310 fl oz/ton|5|1|L1 as it is|
1|B, 300 fl oz/ton|5|2|L2|64 fl oz
1|B, 300 fl oz/ton|5|3|L3 + 5,000 lb|0 fl oz
1|B, 300 fl oz/ton|5 + 1|1,200|6,000 lb|900 fl oz
2|250.25 fl oz/ton|3||6,000 lb|750 fl oz`},
		{"fields that share batches", fmt.Sprint(DayJoined(d), DayJoined(Day{Runs: d.Runs[1:]})), "true false"},
		{"hauls", table(DayHauls(d)), `field|product|from run|in all|loads|each
1|treated dry|1|36,000 lb|3|15,000 lb, last 6,000 lb
2|untreated dry||30,000 lb|2|15,000 lb
3|treated dry|2|12,000 lb||
4|treated dry||900 lb|1|900 lb`},
		{"hauls by trucks of any size", table(DayHauls(bare)), "field|product|from run|in all\n3|treated dry|2|12,000 lb"},
		{"notes", strings.Join(DayRunNotes(d), "\n"), `Before run 2 flush the line: A (invented) and B (invented) is on it and does not belong into that run.
Run 2, field 2: does somebody split a truck load between fields, and write both weights down? Then 2 loads do instead of 3.
Run 1, fields 4 to 6: 8 batches would do instead of 9, but blending and spreading them takes longer than the label lets treated blend wait. They are kept apart.
Fields 1, 2 lie on the same ground, by most of the smaller one: are they one field? Then keep one of them, or it gets product twice.
Left-over blend L3: was it made for the customer of field 4 (in the day's list, customer), ` + customer + `Then it goes there first. A custom blend is made to one customer's order and not held in inventory [40 CFR 167.3]: it is not used.
Are these fields of one customer (in the day's list, customer), ` + customer + `Then fewer batches do: run 1, fields 1, 5: 6 instead of 7; run 2, fields 3, 7 to 9, 11, 12: 4 instead of 5. A custom blend is made to one customer's order and not held in inventory [40 CFR 167.3]: they are kept apart.`},
		{"no loading is shared", DaySharedText(d), ""},
		{"one rate is intended", shared(d, 30, 30, 0), "Intended is 30 fl oz/ac. " + so + end},
		{"a range is intended", shared(d, 30, 40, 1), "Intended is 30 fl oz/ac to 40 fl oz/ac. " + so + counted + end},
	} {
		if c.got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.what, c.got, c.want)
		}
	}
	for head, words := range map[string]bool{"run": false, "loading": true, "fields": true, "batches": false, "product": true, "each": false} {
		if DayWords(head) != words {
			t.Errorf("%s: words %v", head, !words)
		}
	}
}
