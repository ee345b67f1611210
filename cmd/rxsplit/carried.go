package main

import (
	"fmt"
	"slices"
	"strings"

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
	const most = 8
	list := strings.Join(names[:min(len(names), most)], ", ")
	if more := len(names) - most; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return rx.Finding{
		Rule: "not-carried", Severity: rx.Note, About: rx.AboutPlan, Got: list,
		Text: "the layers carry the source's rates alone, not its other fields: " + list,
	}, len(names) > 0
}
