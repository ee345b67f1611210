package text

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
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
func wayText(w rx.Way, q figures.Quantities) string {
	if !w.Possible {
		return w.Why
	}
	parts := []string{w.Why}
	if len(w.Loads) > 0 {
		parts = append(parts, figures.Plural(len(w.Loads), "load", "loads"))
	}
	parts = append(parts, figures.Plural(w.Passes, "pass", "passes"), q.Volume(w.Stabilizer)+" of stabilizer")
	if w.LeftOff > 0 {
		parts = append(parts, fmt.Sprintf("%s left untreated (%s %s)", figures.Plural(len(w.LeftZones), "zone", "zones"), q.Area(w.LeftOff), unit.Symbol[unit.Area](q.System)))
	}
	if w.DryAdded > 0 || w.DryRemoved > 0 {
		parts = append(parts, fmt.Sprintf("dry %s added, %s removed", q.Mass(w.DryAdded), q.Mass(w.DryRemoved)))
		if w.NKnown {
			parts = append(parts, fmt.Sprintf("N %s added, %s removed", q.Mass(w.NAdded), q.Mass(w.NRemoved)))
		}
	}
	if w.Cost != nil {
		parts = append(parts, report.CostText(w.Cost, q))
	}
	if len(w.Needs) > 0 {
		parts = append(parts, "needs "+strings.Join(w.Needs, ", "))
	}
	return strings.Join(parts, "; ")
}

// next says what to do, as a command to type.
func (t *text) next() {
	if refused := report.FileErrors(t.Findings); refused > 0 {
		t.wrapped("", "", fmt.Sprintf("Next: repair the file first; %s before it can be split.", figures.Plural(refused, "error has to go", "errors have to go")))
		return
	}
	one := slices.IndexFunc(t.Ways, func(w rx.Way) bool { return w.AsGraded && w.Possible })
	if t.Assessment.OffLabel() == 0 && one >= 0 {
		if t.Assessment.Loading > 0 && !t.Assessment.Flagged() {
			t.wrapped("", "", fmt.Sprintf("Every treated acre is inside the label's rate range as prescribed, impregnated at %s.", t.Planned(t.Assessment.Loading)))
		}
		t.f("Next: write the sheets for one load with\n  rxsplit split %s --way %s --out DIR\n", t.Command, t.Ways[one].Name)
		return
	}
	if len(t.Ways) == 0 || !t.Ways[0].Possible {
		text := "Next: no way puts every treated acre on label; see the reasons above, and change the terms or the prescription"
		_, full := t.Assessment.Terms.PassRange() // where the season leaves no room, none is left for part of the field
		if !t.Assessment.Terms.LeaveOff && full == "" {
			text += ", or allow zones to stay untreated with --leave-off"
		}
		t.wrapped("", "", text+".")
		return
	}
	best := t.Ways[0].Name
	t.f("Next: write the layers and sheets of a way that is possible, such as\n  rxsplit split %s --way %s --out DIR\n", t.Command, best)
}
