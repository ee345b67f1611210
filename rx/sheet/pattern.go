package sheet

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// pans is how many pans the pattern table has lines for.
const pans = 11

// pattern gives the test of the spread across the swath: what tests have shown, and a
// table for the next one.
func (d *draft) pattern() {
	if m := d.job.Spreader; m != nil {
		for i, test := range m.PanTests {
			d.tested(*m, test, fmt.Sprintf("Pattern, pan test %d of the job file", i+1))
		}
	}
	table := rx.Table{Head: []string{"pan", "from the center", "caught", "minus mean", "squared"}, Left: make([]bool, 5)}
	const line = "________"
	for i := range pans {
		place := line
		if m := d.job.Spreader; m != nil {
			place = d.side(unit.Length(float64(m.Swath) * (float64(i)/(pans-1) - 0.5)))
		}
		table.Rows = append(table.Rows, []string{fmt.Sprint(i + 1), place, line, line, line})
	}
	table.Total = []string{"sum", "", line, "", line}
	d.add(rx.Section{
		Title: "Pattern across the swath",
		Steps: []string{
			"Pans in a line across the swath. Drive over them at the usual speed, and on both sides a swath away, so that the overlap is in the catch.",
			"Mean = sum caught / pans. s = square root of (sum of squares / (pans - 1)). CV = 100 x s / mean, in %.",
			"Or put the catches into the job file (spreader.pan-test): it works the CV out, and from a single pass over a longer line the best swath as well.",
		},
		Tables: []rx.Table{table},
		Notes:  []string{d.boundsNote() + " Test treated product: it flows and flies otherwise than dry."},
		Blanks: []string{"Mean: " + blank + "; s: " + blank + "; CV: " + blank + " %"},
	})
}

func (d *draft) boundsNote() string {
	return fmt.Sprintf("CV under %s is satisfactory, over %s poor. [%s]", percent(equip.SatisfactoryCV), percent(equip.PoorCV), equip.SourceCV)
}

// side prints how far a pan stands from the center, and on which side.
func (d *draft) side(off unit.Length) string {
	length := trim(max(off, -off).In(d.s), 1) + " " + unit.LengthSymbol(d.s)
	switch {
	case off < 0:
		return length + " left"
	case off > 0:
		return length + " right"
	}
	return "center"
}

// tested tells what a pan test of the job file shows.
func (d *draft) tested(m equip.Spreader, test equip.PanTest, title string) {
	s := rx.Section{Title: title}
	if rate, ok := test.Rate.Get(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Rate set", Value: d.dry(rate)})
	}
	passes := "one pass over the middle of the line; other swaths worked out from it"
	if test.Passes == equip.Overlapped {
		passes = "driven over on both sides as well, at the swath of the job file"
	}
	s.Facts = append(s.Facts, rx.Fact{What: "Pans", Value: fmt.Sprint(len(test.Caught)), Note: d.length(test.Spacing) + " apart; " + passes})
	if at, known := test.At(m.Swath); known {
		s.Facts = append(s.Facts, rx.Fact{What: "CV at " + d.length(m.Swath), Value: equip.CVText(at.CV()), Note: equip.CVWord(at.CV())})
		if at.CV() > equip.SatisfactoryCV {
			s.Cautions = append(s.Cautions, "The pattern is "+equip.CVWord(at.CV())+" at the swath of the job file: strips get more and less than the rate. Set the spreader right and test it again before you spread.")
		}
	} else {
		s.Facts = append(s.Facts, rx.Fact{What: "CV at " + d.length(m.Swath), Value: blank, Note: "too few pans stand in the swath"})
	}
	s.Facts = append(s.Facts, d.swathFacts(test)...)
	if test.CutOff() {
		s.Cautions = append(s.Cautions, "The outermost pans caught much: product has flown beyond them. Put pans farther out and test again.")
	}
	s.Tables = append(s.Tables, d.catches(m, test))
	if table, some := d.swaths(test); some {
		s.Tables = append(s.Tables, table)
	}
	s.Notes = []string{d.boundsNote()}
	if test.Passes == equip.SinglePass {
		s.Notes = append(s.Notes, "Back and forth, left meets left; in rounds, left meets right. The worse of the two counts. A dash stands at pans outside the swath.")
	}
	d.add(s)
}

// swathFacts names the swath with the lowest CV and the widest that is satisfactory.
func (d *draft) swathFacts(test equip.PanTest) (facts []rx.Fact) {
	list := test.Patterns()
	best, ok := equip.Lowest(list)
	if !ok {
		return nil
	}
	facts = append(facts, rx.Fact{What: "Lowest CV", Value: equip.CVText(best.CV()), Note: "at a swath of " + d.length(best.Swath)})
	widest := rx.Fact{What: "Widest up to " + percent(equip.SatisfactoryCV), Value: "none", Note: "of the swaths below"}
	if p, ok := equip.WidestWithin(list, equip.SatisfactoryCV); ok {
		widest.Value, widest.Note = d.length(p.Swath), "CV "+equip.CVText(p.CV())
	}
	return append(facts, widest)
}

// outside stands for what a pan outside the swath has caught together with its
// neighbors: nothing is to be filled in there.
const outside = "-"

// catches lists the pans with what they caught and, of a single pass, what lies at
// them at the swath of the job file.
func (d *draft) catches(m equip.Spreader, test equip.PanTest) rx.Table {
	table := rx.Table{Head: []string{"pan", "from the center", "caught"}, Left: make([]bool, 3), Long: true}
	places, forth := test.Laid(m.Swath, true)
	_, rounds := test.Laid(m.Swath, false)
	overlaid := test.Passes == equip.SinglePass && len(places) > 0
	if overlaid {
		table.Title = "Caught, and with its neighbors at a swath of " + d.length(m.Swath)
		table.Head, table.Left = append(table.Head, "back and forth", "in rounds"), make([]bool, 5)
	}
	k := 0
	for i, c := range test.Caught {
		at := test.Place(i)
		row := []string{fmt.Sprint(i + 1), d.side(at), trim(float64(c), 2)}
		if overlaid {
			for k < len(places) && places[k] < at-test.Spacing/4 {
				k++
			}
			a, b := outside, outside
			if k < len(places) && places[k] < at+test.Spacing/4 {
				a, b = trim(float64(forth[k]), 2), trim(float64(rounds[k]), 2)
			}
			row = append(row, a, b)
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// mostSwaths is how many swaths are listed.
const mostSwaths = 16

// swaths lists the CV by swath, of a single pass.
func (d *draft) swaths(test equip.PanTest) (rx.Table, bool) {
	table := rx.Table{Title: "CV by swath", Head: []string{"swath", "back and forth", "in rounds", ""}, Left: []bool{false, false, false, true}, Long: true}
	list := test.Patterns()
	stride := (len(list) + mostSwaths - 1) / mostSwaths
	for i := 0; i < len(list); i += stride {
		p := list[i]
		table.Rows = append(table.Rows, []string{d.length(p.Swath), equip.CVText(p.BackAndForth), equip.CVText(p.InRounds), equip.CVWord(p.CV())})
	}
	return table, len(table.Rows) > 0
}
