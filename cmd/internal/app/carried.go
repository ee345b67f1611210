package app

import (
	"slices"

	"rxsplit/rx"
)

// leftBehind tells which fields of the source the written layers don't carry: all
// but its rate fields.
func leftBehind(p *rx.Prescription) (finding rx.Finding, some bool) {
	var names []string
	for i, field := range p.Cells.Fields() {
		if !slices.ContainsFunc(p.Fields, func(f rx.RateField) bool { return f.Index == i }) {
			names = append(names, field.Name)
		}
	}
	list := rx.Listed(names, 8)
	return rx.Finding{
		Rule: "not-carried", Severity: rx.Note, About: rx.AboutPlan, Got: list,
		Text: "the layers carry the source's rates alone, not its other fields: " + list,
	}, len(names) > 0
}
