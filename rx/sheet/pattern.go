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
func (d *document) pattern() {
	m := d.job.Spreader
	if m != nil {
		for i, test := range m.PanTests {
			d.tested(*m, test, fmt.Sprint(i+1))
		}
	}
	table := rx.Table{Head: []string{"pan", "from the center", "caught", "minus mean", "squared"}, Left: make([]bool, 5)}
	const line = "________"
	for i := range pans {
		place := line
		if m != nil {
			place = d.side(unit.Length(float64(m.Swath) * (float64(i)/(pans-1) - 0.5)))
		}
		table.Rows = append(table.Rows, []string{fmt.Sprint(i + 1), place, line, line, line})
	}
	table.Total = []string{"sum", "", line, "", line}
	d.write("Pattern across the swath", nil, table)
	d.sheet.Sections[len(d.sheet.Sections)-1].Desk = m != nil && len(m.PanTests) > 0 // what it asks for is known
}

// side prints how far a pan stands from the center, and on which side.
func (w show) side(off unit.Length) string {
	length := trim(max(off, -off).In(w.s), 1) + " " + unit.Symbol[unit.Length](w.s)
	switch {
	case off < 0:
		return length + " left"
	case off > 0:
		return length + " right"
	}
	return "center"
}

// tested tells what a pan test of the job file shows: among others, the swath with the
// lowest CV and the widest that is satisfactory.
func (d *document) tested(m equip.Spreader, test equip.PanTest, number string) {
	rate, rated := test.Rate.Get()
	at, covered := test.At(m.Swath)
	best, others := equip.Lowest(test.Patterns())
	widest, some := equip.WidestWithin(test.Patterns(), equip.SatisfactoryCV)
	width := "none"
	if some {
		width = d.length(widest.Swath)
	}
	swaths := d.swaths(test)
	d.write("Pattern, pan test {number} of the job file", values{
		"number": number, "rate known": rated, "rate set": d.dry(rate),
		"pans": fmt.Sprint(len(test.Caught)), "distance": d.length(test.Spacing), "single pass": test.Passes == equip.SinglePass,
		"swath": d.length(m.Swath), "swath is covered": covered, "CV": equip.CVText(at.CV()), "verdict": equip.CVWord(at.CV()),
		"uneven": covered && at.CV() > equip.SatisfactoryCV, "flown beyond": test.CutOff(),
		"other swaths": others, "lowest CV": equip.CVText(best.CV()), "best swath": d.length(best.Swath),
		"some swath is satisfactory": some, "widest swath": width, "CV there": equip.CVText(widest.CV()),
	}, append([]rx.Table{d.catches(m, test)}, only(len(swaths.Rows) > 0, swaths)...)...)
}

// outside stands for what a pan outside the swath has caught together with its
// neighbors: nothing is to be filled in there.
const outside = "-"

// catches lists the pans with what they caught and, of a single pass, what lies at
// them at the swath of the job file.
func (d *document) catches(m equip.Spreader, test equip.PanTest) rx.Table {
	table := rx.Table{Head: []string{"pan", "from the center", "caught"}, Left: make([]bool, 3), Long: true, Desk: true}
	places, forth := test.Laid(m.Swath, true)
	_, rounds := test.Laid(m.Swath, false)
	overlaid := test.Passes == equip.SinglePass && len(places) > 0
	if overlaid {
		table.Title = "Caught, and with its neighbors at a swath of " + d.length(m.Swath)
		table.Head, table.Left = append(table.Head, "back and forth", "in rounds"), make([]bool, 5)
	}
	k, near := 0, unit.Length(test.Spacing/4)
	for i, c := range test.Caught {
		at := test.Place(i)
		row := []string{fmt.Sprint(i + 1), d.side(at), trim(float64(c), 2)}
		if overlaid {
			for k < len(places) && places[k] < at-near {
				k++
			}
			a, b := outside, outside
			if k < len(places) && places[k] < at+near {
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
func (d *document) swaths(test equip.PanTest) rx.Table {
	table := rx.Table{Title: "CV by swath", Head: []string{"swath", "back and forth", "in rounds", ""}, Left: []bool{false, false, false, true}, Long: true, Desk: true}
	list := test.Patterns()
	stride := (len(list) + mostSwaths - 1) / mostSwaths
	for i := 0; i < len(list); i += stride {
		p := list[i]
		table.Rows = append(table.Rows, []string{d.length(p.Swath), equip.CVText(p.BackAndForth), equip.CVText(p.InRounds), equip.CVWord(p.CV())})
	}
	return table
}
