package split

import (
	"fmt"

	"rxsplit/rx"
)

// edge is how near to an end of the label a planned rate may come before somebody
// should know: common practice, no source.
const edge = 0.005

// noMargin finds a plan that puts some ground on an end of what one pass may put there.
// A boom is off its rate by worn nozzles, pressure and speed as a spreader is by its own
// error. Where the label has one rate, nobody can keep off its ends with a boom.
func (t *task) noMargin(plan *rx.Plan) (rx.Finding, bool) {
	w, s := plan.Way.Rate, t.terms.Units
	r, _ := t.terms.PassRange()
	boom, oneRate := plan.Way.Sprayed > 0, t.a.Range.Min == t.a.Range.Max
	low, high := w.Min < r.Min*(1+edge), w.Max > r.Max*(1-edge)
	if !low && !high || boom && oneRate {
		return rx.Finding{}, false
	}
	end := "an end of the label's range"
	if high && r.Max < t.a.Range.Max {
		end = "the most that the season maximum leaves, " + r.Max.Brief(s)
	}
	f := rx.Finding{Rule: "no-margin", Severity: rx.Warning, About: rx.AboutPlan, Got: w.Min.Brief(s) + " to " + w.Max.Brief(s), Want: r.Min.Brief(s) + " to " + r.Max.Brief(s)}
	switch {
	case boom:
		f.Text = fmt.Sprintf("the boom puts %s on the ground, on %s: a nozzle, a pressure or a speed that is a little off leaves the label there.", w.Max.Brief(s), end)
		f.Hint = "keep off the end by what the boom may be off (--stabilizer-rate)"
	case oneRate:
		f.Got, f.Want = w.Min.Brief(s), t.a.Range.Min.Brief(s)
		f.Text = fmt.Sprintf("the label has one rate alone, %s: a dose or a spreader that is a little off leaves it.", f.Want)
		f.Hint = "dose as finely as the blender sheet says, or take the wet boom"
	default:
		f.Text = fmt.Sprintf("some ground gets %s, on %s: a dose or a spreader that is a little off leaves the label there.", f.Got, end)
		f.Hint = "plan with the spreader's error (--rate-error 5%), or take another way"
	}
	return f, true
}
