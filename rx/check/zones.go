package check

import (
	"fmt"

	"rxsplit/rx"
)

// tightZones finds zones that are on label as prescribed, but not with the
// spreader's rate error.
func tightZones() Rule {
	return Rule{
		Name: "tight",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if a.Terms.RateError == 0 {
				return "the spreader's rate error is not given (--rate-error)"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			zones, area := selected(p, func(i int) bool { return a.Tight[i] })
			if len(zones) == 0 {
				return nil
			}
			s := a.Terms.Units
			return []rx.Finding{{
				Rule: "tight", Severity: rx.Warning, About: rx.AboutLabel, Zones: zones, Area: area,
				Got: "±" + a.Terms.RateError.String(),
				Text: fmt.Sprintf("%s on label as prescribed, but not if the spreader is off by %s.",
					rx.ZonesText(len(zones), area, s), a.Terms.RateError),
				Hint: "choose a loading with more room, or another way to release the prescription",
			}}
		},
	}
}

// noRate finds zones whose record has no rate.
func noRate() Rule {
	return Rule{Name: "no-rate", Skip: always, Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
		zones, area := selected(p, func(i int) bool { return a.Verdicts[i] == rx.NoRate })
		if len(zones) == 0 {
			return nil
		}
		return []rx.Finding{{
			Rule: "no-rate", Severity: rx.Warning, About: rx.AboutFile, Zones: zones, Area: area, Field: p.Fields[0].Name,
			Text: fmt.Sprintf("%s without a rate: a machine may spread its default rate there.", rx.ZonesText(len(zones), area, a.Terms.Units)),
			Hint: "give a rate, or 0 where nothing is to be spread, and export the prescription again",
		}}
	}}
}

// noDry tells of zones with rate 0: no application there, so no label rate.
func noDry() Rule {
	return Rule{Name: "no-dry", Skip: always, Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
		zones, area := selected(p, func(i int) bool { return a.Verdicts[i] == rx.NoDry })
		if len(zones) == 0 {
			return nil
		}
		return []rx.Finding{{
			Rule: "no-dry", Severity: rx.Note, About: rx.AboutFile, Zones: zones, Area: area,
			Text: fmt.Sprintf("%s at rate 0: nothing is spread there, and no stabilizer.", rx.ZonesText(len(zones), area, a.Terms.Units)),
		}}
	}}
}
