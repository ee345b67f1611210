package check

import (
	"fmt"
	"math"

	"rxsplit/rx"
)

// boomSwath compares a wet boom with the spreader that carries it: on one machine
// strips between them get dry and no stabilizer, or the other way round.
func boomSwath() Rule {
	return Rule{
		Name: "boom-swath",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if j := a.Terms.Job; j == nil || j.Boom == nil || j.Spreader == nil {
				return "boom and spreader are not both given (--job)"
			}
			return ""
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			boom, swath, s := a.Terms.Job.Boom.Width, a.Terms.Job.Spreader.Swath, a.Terms.Units
			if math.Abs(float64(boom-swath)) <= 0.01*float64(swath) {
				return nil
			}
			return []rx.Finding{{
				Rule: "boom-swath", Severity: rx.Warning, About: rx.AboutEquipment, Got: boom.Brief(s), Want: swath.Brief(s),
				Text: fmt.Sprintf("the boom is %s wide and the swath %s: on one machine, strips get dry without stabilizer or are sprayed twice.", boom.Brief(s), swath.Brief(s)),
				Hint: "bring both to one width, or spray in a pass of its own",
			}}
		},
	}
}
