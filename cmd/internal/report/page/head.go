package page

import (
	"fmt"
	"strings"
	"unicode"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// head fills the top of the page: the decision, the field's facts and the way.
func (v *pageView) head(r report.Result, q figures.Quantities) {
	v.File = r.Prescription.Source.Name
	v.Field = v.File
	if job := r.Assessment.Terms.Job; job != nil && job.Field != "" {
		v.Field = job.Field
	}
	v.Title = v.Field + ": stabilizer on a dry prescription"
	v.Decision = decision(r)
	if r.Plan != nil {
		v.Blend, v.Against = report.BlendText(r), against(r)
	}
	v.bars(r, q)
	v.Facts = facts(r, q)
	v.Chosen = chosen(r, q)
	v.Possible = possible(r.Ways)
}

// decision opens the page: what the chosen way does or, without one, whether to impregnate
// the blend and which way comes first.
func decision(r report.Result) string {
	switch n := report.FileErrors(r.Findings); {
	case n > 0:
		return fmt.Sprintf("Repair the file first: %s stand in it, listed under Findings.", figures.Plural(n, "error", "errors"))
	case r.Plan != nil:
		return report.WayText(r)
	}
	return report.DecisionText(r)
}

// against lists what speaks against the blend as one and is nothing to a plan that goes
// another way; what is found about a boom is nothing to a blend.
func against(r report.Result) (list []string) {
	work := rx.Work{Prescription: r.Prescription, Terms: r.Assessment.Terms, Plan: r.Plan}
	boom := work
	boom.Plan = &rx.Plan{Layers: []rx.Layer{{Product: rx.Liquid}}}
	for _, f := range r.Assessment.Findings {
		if f.Severity != rx.Note && !f.Concerns(work) && !f.Concerns(boom) {
			list = append(list, tell.Capital(f.Severity.String())+": "+spoken(tell.Text(f, r.Units)))
		}
	}
	return list
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
	c := &pageChosen{Title: "Chosen way: " + w.Title()}
	add := func(what string, cells ...pageCell) { c.Facts = append(c.Facts, pageFact{what, cells}) }
	if len(w.Conditions) > 0 {
		add("Only if", words(strings.TrimPrefix(report.OnlyIf(w, q.System), "only if ")))
	}
	add("What is done", words(w.Why))
	add("On the ground", number(q.RateRange(w.Rate.Min, w.Rate.Max)), words(" "+unit.Symbol[unit.LiquidRate](q.System)+" of stabilizer, inside the label's rate range"))
	if len(w.Loads) > 0 {
		list := each.Of(w.Loads, func(l rx.Load) string { return r.Loadings(l.Loading, l.Further) })
		add("Loading", words(strings.Join(list, ", ")))
	}
	add("Work", words(workText(w)))
	add("Stabilizer", figure(q.Volume(w.Metered), "summary.stabilizer_metered", w.Metered.In(q.System)))
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
	}{{len(w.Loads), "impregnated load", "impregnated loads"}, {w.Batches, "batch", "batches"}, {w.Fills, "tank fill", "tank fills"}} {
		if p.n > 0 {
			parts = append(parts, figures.Plural(p.n, p.one, p.many))
		}
	}
	return strings.Join(append(parts, report.PassesText(w)), ", ")
}

// possible names the ways that can be taken, the best first; empty where none can.
func possible(ways []rx.Way) string {
	var names []string
	for _, w := range ways {
		if w.Possible() {
			names = append(names, w.Name.Words())
		}
	}
	return strings.Join(names, ", ")
}

// headStyle is the part of the style that heads printed pages: every one says which sheet
// it is of, which field, load and loading. A sheet is printed on pages of its own name.
func (v *pageView) headStyle() string {
	foot := v.File
	if v.Origin.Digest != "" {
		foot += " · " + v.Origin.Digest + "…"
	}
	if v.Origin.Way != "" {
		foot += " · way " + v.Origin.Way
	}
	if v.Origin.Version != "" {
		foot += " · rxsplit " + v.Origin.Version
	}
	return headStyle("Report", v.Field+" · all loads", foot, v.Cards, v.Sheets)
}

// headStyle heads pages left and right; those of cards and sheets by their own.
func headStyle(left, right, foot string, lists ...[]pageSheet) string {
	var b strings.Builder
	head := func(name, left, right, foot string) {
		fmt.Fprintf(&b, "@page %s{@top-left{content:%s}@top-right{content:%s}@bottom-left{content:%s}}\n", name, cssString(left), cssString(right), cssString(foot))
	}
	head("", left, right, foot)
	for _, list := range lists {
		for _, s := range list {
			right := s.Heads.Field
			for _, part := range []string{s.Heads.Load, s.Heads.Loading} {
				if part != "" {
					right += " · " + part
				}
			}
			below := foot
			if s.Layer != "" {
				below = "layer " + s.Layer + " · " + foot
			}
			head("p-"+s.ID, s.Title, right, below)
			fmt.Fprintf(&b, "@media print{#%s{page:p-%s}}\n", s.ID, s.ID)
		}
	}
	return b.String()
}

// mostHead is how many letters the head of a page has room for.
const mostHead = 70

// cssString quotes a text for a style sheet: what could end it or the element goes in by
// its number. [W3C, CSS Syntax Level 3, "Escaping"]
func cssString(text string) string {
	letters := []rune(text)
	if len(letters) > mostHead {
		letters = append(letters[:mostHead-1], '…')
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range letters {
		switch {
		case unicode.IsControl(r):
		case unicode.IsLetter(r), unicode.IsDigit(r), strings.ContainsRune(" .,-/()%", r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, "\\%x ", r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
