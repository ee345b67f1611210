package check

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// seasonMax finds zones where this pass and what was applied before are together
// more than the label allows in a season. The verdict per pass stays.
func seasonMax() Rule {
	return Rule{
		Name: "season-max",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if _, ok := a.Terms.Label.SeasonMax.Get(); !ok {
				return "the label profile gives no season maximum"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			most, _ := a.Terms.Label.SeasonMax.Get()
			var highest unit.LiquidRate
			zones, area := selected(p, func(i int) bool {
				if a.PassesSeason(i) {
					highest = max(highest, a.Terms.AlreadyApplied+unit.StabilizerRate(a.Loading, p.Zones[i].Carrier))
				}
				return a.PassesSeason(i)
			})
			if len(zones) == 0 {
				return nil
			}
			s := a.Terms.Units
			with := ""
			if a.Terms.AlreadyApplied > 0 {
				with = " with the " + a.Terms.AlreadyApplied.Brief(s) + " already applied"
			}
			text := fmt.Sprintf("%s would reach up to %.1f %s this season%s, more than the label's %s.", rx.ZonesText(len(zones), area, s),
				highest.In(s), unit.Symbol[unit.LiquidRate](s), with, most.Brief(s))
			if a.Terms.Label.IsRegistered() {
				text += " " + Misuse
			}
			return []rx.Finding{{
				Rule: "season-max", Severity: rx.Error, About: rx.AboutLabel, Zones: zones, Area: area,
				Got: highest.Text(s), Want: "at most " + most.Text(s), Text: text,
				Hint: "lower the rate of this pass (--stabilizer-rate), or leave these zones untreated",
			}}
		},
	}
}
