package check

import (
	"fmt"

	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// patternCV finds pan tests of the spreader that come out uneven at its swath: over
// the bound up to which a coefficient of variation is satisfactory. [Fulton, Univ.
// Kentucky, on ASAE S341]
func patternCV() Rule {
	return Rule{
		Name: "pattern-cv",
		Skip: func(p *rx.Prescription, a *rx.Assessment) string {
			if why := noSpreader(p, a); why != "" {
				return why
			}
			if len(spreaderOf(a).PanTests) == 0 {
				return "no pan test of the spreader is given (--job, spreader, pan-test)"
			}
			return ""
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			spreader, s := spreaderOf(a), a.Terms.Units
			var out []rx.Finding
			for i, test := range spreader.PanTests {
				at, known := test.At(spreader.Swath)
				if !known || at.CV() <= equip.SatisfactoryCV {
					continue
				}
				name := fmt.Sprintf("pan test %d", i+1)
				if rate, ok := test.Rate.Get(); ok {
					name += " (" + rate.Brief(s) + ")"
				}
				f := rx.Finding{
					Rule: "pattern-cv", Severity: rx.Warning, About: rx.AboutEquipment,
					Got: equip.CVText(at.CV()), Want: "at most " + equip.SatisfactoryCV.Brief(s),
					Text: fmt.Sprintf("%s of the spreader: %s. Over %s is not satisfactory, over %s poor (%s): strips get more and less than the rate.",
						name, test.Tell(spreader.Swath, s), equip.SatisfactoryCV.Brief(s), equip.PoorCV.Brief(s), equip.SourceCV),
					Hint: "set the spreader right and test it again",
				}
				if widest, ok := equip.WidestWithin(test.Patterns(), equip.SatisfactoryCV); ok && widest.Swath < spreader.Swath {
					f.Hint += ", or drive a swath of " + widest.Swath.Brief(s)
				}
				out = append(out, f)
			}
			return out
		},
	}
}
