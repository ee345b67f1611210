package report

import (
	"fmt"
	"slices"

	"rxsplit/rx"
)

// next says what to do, as a command to type.
func (t *text) next() {
	if refused := fileErrors(t.Findings); refused > 0 {
		t.wrapped("", "", fmt.Sprintf("Next: repair the file first; %s before it can be split.", plural(refused, "error has to go", "errors have to go")))
		return
	}
	one := slices.IndexFunc(t.Ways, func(w rx.Way) bool { return w.AsGraded && w.Possible })
	if t.Assessment.OffLabel() == 0 && one >= 0 {
		if t.Assessment.Loading > 0 && !t.Assessment.Flagged() {
			t.wrapped("", "", fmt.Sprintf("Every treated acre is inside the label's rate range as prescribed, impregnated at %s.", t.planned(t.Assessment.Loading)))
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

// fileErrors counts the errors about the file, which stop a split.
func fileErrors(findings []rx.Finding) int {
	n := 0
	for _, f := range findings {
		if f.About() == rx.AboutFile && f.Severity == rx.Error {
			n++
		}
	}
	return n
}
