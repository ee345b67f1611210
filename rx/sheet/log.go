package sheet

import (
	"fmt"

	"rxsplit/rx"
)

// mostLogged is how many batches one sheet has lines for.
const mostLogged = 40

// log is the table that the plant fills in, a line a batch.
func (d *draft) log(t *treated) {
	one := t.portion
	table := rx.Table{
		Head: []string{"batch", "dry " + d.massUnit(), "weighed", d.dropUnit(), "dosed", "agent", "added", "min", "initials"},
		Left: make([]bool, 9),
	}
	const line = "_____"
	lines := one.Count
	if _, known := t.batches.Get(); !known {
		lines = 8
	}
	for i := range min(lines, mostLogged) {
		row := []string{fmt.Sprint(i + 1), d.massN(one.Dry), "_______", d.dropN(one.Liquid), "_______", d.agentN(one.AgentInAll()), line, "____", line}
		if _, known := t.batches.Get(); !known {
			row[1], row[3], row[5] = line, line, line
		}
		table.Rows = append(table.Rows, row)
	}
	s := rx.Section{Title: "Batch log", Tables: []rx.Table{table}}
	if lines > mostLogged {
		s.Notes = append(s.Notes, fmt.Sprintf("Batches %d to %d: go on with another copy of this sheet.", mostLogged+1, lines))
	}
	s.Blanks = []string{
		"Air temperature: " + blank + "; humidity: " + blank + " %",
		"Sum of weighed dry: " + blank + " " + d.massUnit() + "; Sum of stabilizer dosed: " + blank + " " + d.dropUnit(),
		"Stabilizer tank before: " + blank + " " + d.canUnit() + "; after: " + blank + " " + d.canUnit() + "; used: " + blank + " " + d.canUnit(),
		"Lot numbers, stabilizer: " + blank + "; dry: " + blank,
	}
	d.add(s)
}
