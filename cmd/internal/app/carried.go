package app

import (
	"slices"

	"rxsplit/rx"
)

var notCarried = rx.NewRule[otherFields]("not-carried", rx.AboutPlan, rx.EveryPlan)

// otherFields are fields that the written layers don't carry.
type otherFields struct{ Fields []string }

// leftBehind tells which fields of the source the written layers don't carry: all
// but its rate fields.
func leftBehind(p *rx.Prescription) (finding rx.Finding, some bool) {
	var d otherFields
	for i, field := range p.Cells.Fields() {
		if !slices.ContainsFunc(p.Fields, func(f rx.RateField) bool { return f.Index == i }) {
			d.Fields = append(d.Fields, field.Name)
		}
	}
	return notCarried.Find(rx.Note, d), len(d.Fields) > 0
}
