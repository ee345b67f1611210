package check

import (
	"fmt"

	"rxsplit/rx"
)

// Misuse is the sentence that 40 CFR 156.10(i)(2)(ii) requires on pesticide
// labels; it is printed only where the label says that the product is registered.
const Misuse = "It is a violation of Federal law to use this product in a manner inconsistent with its labeling (40 CFR 156.10(i)(2)(ii))."

// above finds zones that would get more than the label allows.
func above() Rule {
	return Rule{Name: "above", Skip: always, Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
		zones, area := selected(p, func(i int) bool { return a.Verdicts[i] == rx.Above })
		if len(zones) == 0 {
			return nil
		}
		s := a.Terms.Units
		share := a.Shares[rx.Above]
		rates, end := beside(share.Stabilizer, a.Range.Max, s)
		text := fmt.Sprintf("%s would get %s, more than the label's %s.", rx.ZonesText(len(zones), area, s),
			rates, end)
		if a.Terms.Label.IsRegistered() {
			text += " " + Misuse
		}
		return []rx.Finding{{
			Rule: "above", Severity: rx.Error, About: rx.AboutLabel, Zones: zones, Area: area,
			Got: share.Stabilizer.Max.Text(s), Want: "at most " + a.Range.Max.Text(s), Text: text,
			Hint: "do not impregnate the whole blend at this loading; choose another way to release the prescription",
		}}
	}}
}
