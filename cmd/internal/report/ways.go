package report

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
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

// OrderText says by what the ways are ordered; nothing where none can be taken.
func OrderText(r Result) string {
	if !slices.ContainsFunc(r.Ways, rx.Way.Possible) {
		return ""
	}
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
		text += "the cost at its upper end, and fewer passes."
	case len(missing) == 0:
		text += "fewer passes, fewer loads and less stabilizer, as no prices are given."
	default:
		text += "fewer passes, fewer loads and less stabilizer, as no price is given of " + strings.Join(missing, ", ") + "."
	}
	if slices.ContainsFunc(r.Ways, func(w rx.Way) bool { return w.Undeliverable > 0 }) {
		text += " Ground that the spreader cannot deliver does not order them: weigh it yourself."
	}
	return text
}

// ShortOrder says it on a line, and on a second one which price is missing for the cost to
// count.
func ShortOrder(ways []rx.Way) []string {
	const order = "Best first: state, all treated, room, rates kept, "
	missing, priced := rx.Unpriced(ways)
	if priced {
		return []string{order + "cost, passes"}
	}
	lines := []string{order + "passes, loads, stabilizer"}
	if len(missing) > 0 {
		lines = append(lines, "Not ordered by cost, for want of a price: "+tell.Listed(missing, 2))
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
	return each.Of(w.Conditions, func(c rx.Finding) string { return tell.Text(c, s) })
}

// PassesText counts the passes of a way, and says where a boom goes along with the dry.
func PassesText(w rx.Way) string {
	text := figures.Plural(w.Passes, "pass", "passes")
	if w.Sprayed > 0 {
		text += " of dry and boom together"
	}
	return text
}

// DrivingText tells of the driving that a way's passes take.
func DrivingText(d *rx.Driving, s unit.System) string {
	miles, name := float64(d.Length/unit.Foot)/5280, "mi"
	if s == unit.Metric {
		miles, name = float64(d.Length/unit.Meter)/1000, "km"
	}
	return fmt.Sprintf("%.1f %s and %s to drive, %.1f h", miles, name, figures.Plural(d.Turns, "turn", "turns"), float64(d.Time/unit.Hour))
}

// LiquidText says in a line what lands of a further liquid, and its verdicts by acres.
func LiquidText(g *rx.Graded, q figures.Quantities) string {
	ac, rate := unit.Symbol[unit.Area](q.System), unit.Symbol[unit.LiquidRate](q.System)
	how := "in the boom's tank"
	if g.Liquid.On == equip.OnBlend {
		how = "on the blend at " + g.Loading.Text(q.System)
	}
	lands := fmt.Sprintf("%s, %s: %s %s", g.Liquid.Name, how, Hundredths(g.Stabilizer, q.System), rate)
	if g.Liquid.Label == nil {
		return lands + ", not graded: no label"
	}
	within := g.Shares[rx.Within].Area
	text := lands + ", label " + Hundredths(g.Range, q.System) + ": "
	if below, above := g.Shares[rx.Below].Area, g.Shares[rx.Above].Area; below+above > 0 {
		text += fmt.Sprintf("%s %s below, %s within, %s above", q.Area(below), ac, q.Area(within), q.Area(above))
	} else {
		text += fmt.Sprintf("all %s %s within", q.Area(within), ac)
	}
	if off := g.OverSeason.Area; off > 0 {
		text += fmt.Sprintf(", %s of it %s", q.Area(off), SeasonText)
	}
	return text
}

// Hundredths prints a range of rates with two decimals, since further liquids go on by the
// fluid ounce.
func Hundredths(r rx.Range[unit.LiquidRate], s unit.System) string {
	low, high := figures.Fixed(r.Min.In(s), 2), figures.Fixed(r.Max.In(s), 2)
	if low == high {
		return low
	}
	return low + " to " + high
}

// Loadings prints the loadings of a treated layer or load as a meter reads them.
func (r Result) Loadings(l unit.Loading, further []unit.Loading) string {
	var parts []string
	if l > 0 {
		parts = append(parts, r.Planned(l))
	}
	for i, liquid := range r.Assessment.Terms.FurtherOn(equip.OnBlend) {
		if i < len(further) {
			parts = append(parts, r.Planned(further[i])+" of "+liquid.Name)
		}
	}
	return strings.Join(parts, " and ")
}

// Carries prints the loadings of a treated layer.
func (r Result) Carries(l *rx.Layer) string {
	return r.Loadings(l.Loading, l.Load(0, l.Dry, nil).Further)
}

// furtherNames names the further liquids of a layer.
func furtherNames(l *rx.Layer) string {
	return strings.Join(each.Of(l.Further, func(f rx.LayerLiquid) string { return f.Name }), " and ")
}

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

// ChangeText says in few signs how much is added and how much removed.
func ChangeText(added, removed unit.Mass, q figures.Quantities) string {
	switch {
	case added == 0 && removed == 0:
		return "as prescribed"
	case removed == 0:
		return "+" + q.Mass(added)
	case added == 0:
		return "−" + q.Mass(removed)
	}
	return "+" + q.Mass(added) + ", −" + q.Mass(removed)
}
