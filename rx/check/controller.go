package check

import (
	"fmt"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// controllerDefault tells what the rates at which the controller falls back would
// carry if the blend is impregnated: outside every zone, and when the position is
// lost. A rate of 0 spreads nothing and is not told.
func controllerDefault() Rule {
	return Rule{
		Name: "controller-default",
		Skip: func(p *rx.Prescription, a *rx.Assessment) string {
			if why := noSpreader(p, a); why != "" {
				return why
			}
			s := spreaderOf(a)
			_, outside := s.DefaultRate.Get()
			_, lost := s.LostRate.Get()
			switch {
			case !outside && !lost:
				return "the controller's default-rate and lost-rate are not given (--job, spreader)"
			case a.Loading == 0:
				return "no zone is treated"
			}
			return ""
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			s := spreaderOf(a)
			f := rx.Finding{
				Rule: "controller-default", Severity: rx.Note, About: rx.AboutEquipment,
				Want: a.Range.Min.Text(a.Terms.Units) + " to " + a.Range.Max.Text(a.Terms.Units),
				Hint: "set the controller to spread nothing there",
			}
			var text, got []string
			tell := func(when string, known label.Known[unit.DryRate]) {
				rate := known.Or(0)
				if rate <= 0 {
					return
				}
				stabilizer := unit.StabilizerRate(a.Loading, rate)
				v := verdict(rx.Zone{Dry: rate, Carrier: rate}, stabilizer, a.Range)
				if v != rx.Within {
					f.Severity = rx.Warning
				}
				text = append(text, fmt.Sprintf("%s the controller spreads %s, which would carry %s, %s the label",
					when, rate.Brief(a.Terms.Units), stabilizer.Brief(a.Terms.Units), v))
				got = append(got, stabilizer.Brief(a.Terms.Units))
			}
			tell("outside every zone", s.DefaultRate)
			tell("with its position lost", s.LostRate)
			if len(text) == 0 {
				return nil
			}
			f.Got = strings.Join(got, ", ")
			f.Text = strings.Join(text, "; ") + ", if the blend is impregnated at " + a.Loading.Brief(a.Terms.Units) + "."
			return []rx.Finding{f}
		},
	}
}
