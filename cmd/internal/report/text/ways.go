package text

import (
	"fmt"
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
	_, priced := rx.Unpriced(t.Ways)
	for _, w := range t.Ways {
		if w.SameAs != "" {
			continue
		}
		start := fmt.Sprintf("  %-*s  %-11s  ", wide, w.Name, w.State)
		t.wrapped(start, strings.Repeat(" ", len(start)), report.AlsoCalled(t.Ways, w)+wayText(w, t.q, priced))
	}
	t.f("\n")
	t.wrapped("", "", report.OrderText(t.Result))
	t.f("\n")
}

// wayText says what a way takes, or why it can't be taken; what it costs, if that is to be
// told.
func wayText(w rx.Way, q figures.Quantities, cost bool) string {
	if !w.Possible() {
		return w.Why
	}
	parts := []string{w.Why}
	if only := report.OnlyIf(w, q.System); only != "" {
		parts = []string{only, w.Why}
	}
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
	if w.Driving != nil {
		parts = append(parts, report.DrivingText(w.Driving, q.System))
	}
	if w.Cost != nil && cost {
		parts = append(parts, report.CostText(w.Cost, q))
	}
	return strings.Join(parts, "; ")
}

// next says what to do, as a command to type.
func (t *text) next() {
	if refused := report.FileErrors(t.Findings); refused > 0 {
		t.wrapped("", "", fmt.Sprintf("Next: repair the file first; %s before it can be split.", figures.Plural(refused, "error has to go", "errors have to go")))
		return
	}
	if a := t.Assessment; a.OffLabel() == 0 && a.Loading > 0 && !a.Flagged() {
		t.wrapped("", "", fmt.Sprintf("Every treated acre is inside the label's rate range as prescribed, impregnated at %s.", t.Planned(a.Loading)))
	}
	if len(t.Ways) == 0 || !t.Ways[0].Possible() {
		text := "Next: no way puts every treated acre on label; see the reasons above, and change the terms or the prescription"
		_, full := t.Assessment.Terms.PassRange() // where the season leaves no room, none is left for part of the field
		if !t.Assessment.Terms.LeaveOff && full == "" {
			text += ", or allow zones to stay untreated with --leave-off"
		}
		t.wrapped("", "", text+".")
		return
	}
	if answers := t.answers(); answers != "" {
		t.f("Next: correct the input and check it again; or, if it is meant as it was read:\n  rxsplit split %s --way %s --out DIR%s\n", t.Command, t.Ways[0].Name, answers)
		return
	}
	t.f("Next: write the layers and sheets of the first way with\n  rxsplit split %s --way %s --out DIR\n", t.Command, t.Ways[0].Name)
}
