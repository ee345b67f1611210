package check

import (
	"rxsplit/label"
	"rxsplit/rx"
)

// What is odd in the texts that people enter. What could not be told from a slip is in
// doubt: the verdicts would be of another label.
var (
	labelDoubt = rx.NewRule[oddFigure]("label-figures", rx.AboutLabel, rx.EveryPlan).InDoubt()
	labelOdd   = rx.NewRule[oddFigure]("label-profile", rx.AboutLabel, rx.EveryPlan)
	jobOdd     = rx.NewRule[oddFigure]("job-file", rx.AboutEquipment, rx.EveryPlan)
)

// oddFigure is what a text says, and what is odd in it.
type oddFigure struct{ Key, Says string }

func findLabelDoubts(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return oddFigures(labelDoubt, a.Terms.OddLabel, func(p label.Problem) bool { return p.Doubt })
}

func findLabelOdd(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return oddFigures(labelOdd, a.Terms.OddLabel, func(p label.Problem) bool { return !p.Doubt })
}

// findJobOdd leaves out what rules of their own find.
func findJobOdd(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	return oddFigures(jobOdd, a.Terms.OddJob, func(p label.Problem) bool {
		return p.Rule != analysis.Rule() && p.Rule != patternCV.Rule()
	})
}

func oddFigures(rule rx.Rule[oddFigure], problems []label.Problem, keep func(label.Problem) bool) (out []rx.Finding) {
	for _, p := range problems {
		if !keep(p) {
			continue
		}
		severity := rx.Warning
		if p.Severity == label.Note {
			severity = rx.Note
		}
		f := rule.Find(severity, oddFigure{p.Key, p.Text})
		f.Field = p.Key
		out = append(out, f)
	}
	return out
}
