package page

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// head fills the top of the page: the decision, the field's facts and the way.
func (v *pageView) head(r report.Result, q figures.Quantities) {
	v.File = r.Prescription.Source.Name
	v.Field = v.File
	if job := r.Assessment.Terms.Job; job != nil && job.Field != "" {
		v.Field = job.Field
	}
	v.Title = v.Field + ": stabilizer on a dry prescription"
	v.Decision = decision(r, q)
	v.split(r, q)
	v.Facts = facts(r, q)
	v.Chosen = chosen(r, q)
	v.Possible = possible(r.Ways)
}

// decision says in one sentence what is to be done, with the acres.
func decision(r report.Result, q figures.Quantities) []pageCell {
	a, ac := r.Assessment, unit.Symbol[unit.Area](q.System)
	if n := report.FileErrors(r.Findings); n > 0 {
		return []pageCell{words(fmt.Sprintf("Repair the file first: %s stand in it, listed under Findings.", figures.Plural(n, "error", "errors")))}
	}
	if a.Loading == 0 {
		return []pageCell{words("Nothing is to be treated: no zone has a dry rate above 0.")}
	}
	if r.Plan == nil {
		return append(blendVerdict(r, q, "Impregnated in one load at "+q.Loading(a.Loading)+", "), words("."))
	}
	area, off := r.Plan.StabilizerGround(r.Prescription.Zones), planOff(r)
	text := []pageCell{words("Release it by " + wayTitle(r.Plan.Way) + ": "), number(q.Ground(area)),
		words(fmt.Sprintf(" %s get %s %s of stabilizer, ", ac, q.RateRange(r.Plan.Way.Rate.Min, r.Plan.Way.Rate.Max), unit.Symbol[unit.LiquidRate](q.System)))}
	if off > 0 {
		text = append(text, words("of which "), number(q.Ground(off)), words(" "+ac+" would still be off label"))
	} else {
		text = append(text, words("inside the label's rate range as prescribed"))
	}
	if left := r.Plan.Way.LeftOff; left > 0 {
		text = append(text, words(", and "), figure(q.Ground(left), "summary.left_off_area", left.In(q.System)), words(" "+ac+" stay untreated, as it was allowed"))
	}
	text = append(text, words("; "))
	return append(append(text, blendVerdict(r, q, "impregnated in one load instead, ")...), words("."))
}

// blendVerdict says what one impregnated load at the loading of the check would do.
func blendVerdict(r report.Result, q figures.Quantities, start string) []pageCell {
	a, ac := r.Assessment, unit.Symbol[unit.Area](q.System)
	below, above := a.Shares[rx.Below].Area, a.Shares[rx.Above].Area
	treated := r.Prescription.TreatedArea()
	if a.OffLabel() == 0 {
		return []pageCell{words(start + "all "), figure(q.Ground(treated), "area.treated", treated.In(q.System)),
			words(" treated " + ac + " would be inside the label's rate range as prescribed")}
	}
	list := []pageCell{words(start), number(q.Ground(a.OffLabel())), words(" of "), figure(q.Ground(treated), "area.treated", treated.In(q.System)),
		words(" treated " + ac + " would be off label: ")}
	part := func(area unit.Area, v rx.Verdict, side string) []pageCell {
		return []pageCell{figure(q.Ground(area), areaKey(v), area.In(q.System)), words(" " + ac + " " + side)}
	}
	switch {
	case above == 0 && below == 0:
	case above == 0:
		list = append(list, part(below, rx.Below, "below the label's rate range")...)
	case below == 0:
		list = append(list, part(above, rx.Above, "above the label's rate range")...)
	default:
		list = append(append(append(list, part(below, rx.Below, "below")...), words(" and ")), part(above, rx.Above, "above the label's rate range")...)
	}
	if off := a.OverSeason.Area; off > 0 {
		if above+below > 0 {
			list = append(list, words(", and "))
		}
		list = append(list, figure(q.Ground(off), seasonKey, off.In(q.System)), words(" "+ac+" above its season maximum with what is applied already"))
	}
	return list
}

// planOff returns the acres that the plan puts off label.
func planOff(r report.Result) (off unit.Area) {
	for i, z := range r.Prescription.Zones {
		if s := r.Plan.Stabilizer[i]; s > 0 && !r.Assessment.Range.Contains(s) {
			off += z.Area
		}
	}
	return off
}

// wayTitle is what a headline calls a way.
func wayTitle(w rx.Way) string {
	called, err := equip.WayOf(w.Name)
	switch {
	case err != nil:
		return string(w.Name)
	case called.Many != "":
		return figures.Plural(len(w.Loads), called.Title, called.Many)
	}
	return called.Title
}

// split divides the bar of acres by verdict.
func (v *pageView) split(r report.Result, q figures.Quantities) {
	total := float64(r.Prescription.Area())
	if !(total > 0) {
		return
	}
	x := 0.0
	add := func(fill, name string, area unit.Area, key string) {
		share := float64(area) / total * 1000
		from := math.Round(x)
		x += share
		cell := number(q.Ground(area) + " " + unit.Symbol[unit.Area](q.System))
		if key != "" {
			cell = figure(cell.Text, key, area.In(q.System))
		}
		v.Split = append(v.Split, pageShare{Fill: fill, Name: name, Wide: int(math.Round(x) - from), Cell: cell, Percent: figures.Fixed(share/10, 1) + " %"})
	}
	for _, verdict := range report.ShownVerdicts(r.Assessment) {
		area, key := verdictGround(r.Assessment, verdict)
		add(verdictFill(verdict), report.VerdictText(verdict), area, key)
		if off := r.Assessment.OverSeason.Area; verdict == rx.Within && off > 0 {
			add(svg.Season.Fill(), report.SeasonText, off, seasonKey)
		}
	}
	v.SplitText = "If " + report.Impregnated(r.Prescription) + " is impregnated"
	if r.Assessment.Loading > 0 {
		v.SplitText += " at " + q.Loading(r.Assessment.Loading)
	}
}

// pageChosen is the way that was chosen.
type pageChosen struct {
	Title string
	Facts []pageFact
}

func chosen(r report.Result, q figures.Quantities) *pageChosen {
	if r.Plan == nil {
		return nil
	}
	w := r.Plan.Way
	c := &pageChosen{Title: "Chosen way: " + wayTitle(w)}
	add := func(what string, cells ...pageCell) { c.Facts = append(c.Facts, pageFact{what, cells}) }
	if len(w.Conditions) > 0 {
		add("Only if", words(strings.TrimPrefix(report.OnlyIf(w, q.System), "only if ")))
	}
	add("What is done", words(w.Why))
	if len(w.Loads) > 0 {
		list := make([]string, len(w.Loads))
		for i, l := range w.Loads {
			list[i] = r.Planned(l.Loading)
		}
		add("Loading", words(strings.Join(list, ", ")))
	}
	add("Work", words(workText(w)))
	add("Stabilizer", figure(q.Volume(w.Stabilizer), "summary.stabilizer_volume", w.Stabilizer.In(q.System)))
	if w.DryAdded > 0 || w.DryRemoved > 0 {
		add("Dry product", figure(q.Mass(w.DryAdded), "summary.dry_added", w.DryAdded.In(q.System)), words(" added, "),
			figure(q.Mass(w.DryRemoved), "summary.dry_removed", w.DryRemoved.In(q.System)), words(" removed"))
	}
	if w.Cost != nil {
		add("Cost", words(report.CostText(w.Cost, q)))
	}
	return c
}

// workText counts loads, batches, fills and passes.
func workText(w rx.Way) string {
	var parts []string
	for _, p := range []struct {
		n         int
		one, many string
	}{{len(w.Loads), "impregnated load", "impregnated loads"}, {w.Batches, "batch", "batches"}, {w.Fills, "tank fill", "tank fills"}, {w.Passes, "pass", "passes"}} {
		if p.n > 0 {
			parts = append(parts, figures.Plural(p.n, p.one, p.many))
		}
	}
	return strings.Join(parts, ", ")
}

// possible names the ways that can be taken, the best first.
func possible(ways []rx.Way) string {
	var names []string
	for _, w := range ways {
		if w.Possible() {
			names = append(names, string(w.Name))
		}
	}
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}
