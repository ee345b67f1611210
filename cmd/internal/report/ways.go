package report

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// AlsoCalled names the ways that come to the same plan.
func AlsoCalled(ways []rx.Way, w rx.Way) string {
	var names []string
	for _, other := range ways {
		if other.SameAs == w.Name {
			names = append(names, string(other.Name))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "the same as " + strings.Join(names, " and ") + "; "
}

// OrderText says by what the ways are ordered.
func OrderText(r Result) string {
	text := "In this order: ready, conditional, impossible; then all treated ground before some left off"
	if e := r.Assessment.Terms.RateError; e > 0 {
		text += fmt.Sprintf("; room for a rate error of %s", e)
		if r.Assessment.Terms.RateErrorAssumed {
			text += " (assumed, common practice: --rate-error)"
		}
		text += " before less"
	}
	text += "; dry rates kept before changed; then "
	missing, priced := rx.Unpriced(r.Ways)
	switch {
	case priced:
		return text + "the cost at its upper end, and fewer passes."
	case len(missing) == 0:
		return text + "fewer passes, fewer loads and less stabilizer, as no prices are given."
	}
	return text + "fewer passes, fewer loads and less stabilizer, as no price is given of " + strings.Join(missing, ", ") + "."
}

// ShortOrder says it on a line, and on a second one which price is missing for the cost to
// count.
func ShortOrder(ways []rx.Way) []string {
	const order = "Order: state, all ground treated, room, rates kept, "
	missing, priced := rx.Unpriced(ways)
	if priced {
		return []string{order + "cost, passes"}
	}
	lines := []string{order + "passes, loads, stabilizer"}
	if len(missing) > 0 {
		lines = append(lines, "Not ordered by cost, for want of a price: "+strings.Join(missing, ", "))
	}
	return lines
}

// OnlyIf says what has to be met before a conditional way may be taken; empty for others.
func OnlyIf(w rx.Way, s unit.System) string {
	if len(w.Conditions) == 0 {
		return ""
	}
	return "only if " + strings.Join(Conditions(w, s), "; and if ")
}

// Conditions says each of what has to be met.
func Conditions(w rx.Way, s unit.System) []string {
	var list []string
	for _, c := range w.Conditions {
		list = append(list, tell.Text(c, s))
	}
	return list
}

// DrivingText tells of the driving that a way's passes take.
func DrivingText(d *rx.Driving, s unit.System) string {
	miles, name := float64(d.Length/unit.Foot)/5280, "mi"
	if s == unit.Metric {
		miles, name = float64(d.Length/unit.Meter)/1000, "km"
	}
	return fmt.Sprintf("%.1f %s and %s to drive, %.1f h", miles, name, figures.Plural(d.Turns, "turn", "turns"), float64(d.Time/unit.Hour))
}
