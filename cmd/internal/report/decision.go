package report

import (
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// Decide works out what to do with a prescription; where a way is chosen, with that one.
func (r Result) Decide() rx.Decision {
	ways := r.Ways
	if r.Plan != nil {
		ways = append([]rx.Way{r.Plan.Way}, ways...)
	}
	return rx.Decide(r.Prescription, r.Assessment, ways)
}

// DecisionText is the sentence that opens a check: whether to impregnate the blend as one,
// and what the way does that comes first.
func DecisionText(r Result) string {
	d := r.Decide()
	said := tell.Text(d.Blend, r.Units)
	if d.Way != nil {
		said += " " + tell.Text(*d.Way, r.Units)
	}
	return said
}

// BlendText says whether to impregnate the blend as one.
func BlendText(r Result) string { return tell.Text(r.Decide().Blend, r.Units) }

// WayText is the sentence that opens a plan: what the chosen way does to the field.
func WayText(r Result) string { return tell.Text(rx.DecisionOf(r.Prescription, r.Plan.Way), r.Units) }
