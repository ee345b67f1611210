package report

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// ways lists the ways, the best first.
func (t *text) ways() {
	if len(t.Ways) == 0 {
		return
	}
	t.f("Ways to release it, the best first:\n\n")
	wide := 0
	for _, w := range t.Ways {
		wide = max(wide, len(w.Name))
	}
	for _, w := range t.Ways {
		mark := "no "
		if w.Possible {
			mark = "yes"
		}
		start := fmt.Sprintf("  %-*s  %s  ", wide, w.Name, mark)
		t.wrapped(start, strings.Repeat(" ", len(start)), wayText(w, t.q))
	}
	t.f("\n")
}

// wayText says what a way takes, or why it can't be taken.
func wayText(w rx.Way, q quantities) string {
	if !w.Possible {
		return w.Why
	}
	parts := []string{w.Why}
	if len(w.Loads) > 0 {
		parts = append(parts, plural(len(w.Loads), "load", "loads"))
	}
	parts = append(parts, plural(w.Passes, "pass", "passes"), q.volume(w.Stabilizer)+" of stabilizer")
	if w.LeftOff > 0 {
		parts = append(parts, fmt.Sprintf("%s left untreated (%s %s)", plural(len(w.LeftZones), "zone", "zones"), q.area(w.LeftOff), unit.Symbol[unit.Area](q.s)))
	}
	if w.DryAdded > 0 || w.DryRemoved > 0 {
		parts = append(parts, fmt.Sprintf("dry %s added, %s removed", q.mass(w.DryAdded), q.mass(w.DryRemoved)))
		if w.NKnown {
			parts = append(parts, fmt.Sprintf("N %s added, %s removed", q.mass(w.NAdded), q.mass(w.NRemoved)))
		}
	}
	if w.Cost != nil {
		parts = append(parts, costText(w.Cost, q))
	}
	if len(w.Needs) > 0 {
		parts = append(parts, "needs "+strings.Join(w.Needs, ", "))
	}
	return strings.Join(parts, "; ")
}

// costText prints a cost in all and by area of the ground that dry is spread on, and
// what nobody priced.
func costText(c *rx.Cost, q quantities) string {
	text := fmt.Sprintf("%s, %s/%s spread", unit.Cents(unit.Money(c.Total)), unit.Cents(unit.Money(c.PerAcre/unit.Acre.In(q.s))), unit.Symbol[unit.Area](q.s))
	if len(c.Missing) > 0 {
		text += " without " + strings.Join(c.Missing, ", ")
	}
	if len(c.NotCounted) > 0 {
		text += ", not counted: " + strings.Join(c.NotCounted, "; ")
	}
	return text
}
