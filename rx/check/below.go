package check

import (
	"fmt"

	"rxsplit/rx"
)

// below finds zones that would get less than the label range. FIFRA §2(ee)(1)
// does not count a lower dosage as misuse unless the labeling specifically
// prohibits deviation, so it is an error only where the label forbids it.
func below() Rule {
	return Rule{Name: "below", Skip: always, Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
		zones, area := selected(p, func(i int) bool { return a.Verdicts[i] == rx.Below })
		if len(zones) == 0 {
			return nil
		}
		s := a.Terms.Units
		share := a.Shares[rx.Below]
		rates, end := beside(share.Stabilizer, a.Range.Min, s)
		f := rx.Finding{
			Rule: "below", Severity: rx.Warning, About: rx.AboutLabel, Zones: zones, Area: area,
			Got: share.Stabilizer.Min.Text(s), Want: "at least " + a.Range.Min.Text(s),
			Text: fmt.Sprintf("%s would get %s, less than the label's %s: off the label range, and performance there is not supported by the label.", rx.ZonesText(len(zones), area, s),
				rates, end),
			Hint: "choose another way to release the prescription",
		}
		if a.Terms.Label.ForbidsBelow() {
			f.Severity = rx.Error
			f.Text += " This label forbids rates below its range."
		}
		return []rx.Finding{f}
	}}
}
