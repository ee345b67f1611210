package text

import (
	"fmt"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/rx"
)

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
