package report

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/write"
)

// PlanText tells of a plan that was written and proved.
func PlanText(w io.Writer, r Result, dir string, m *write.Manifest) error {
	p := &printer{w: w}
	q := quantities{r.Units}
	p.wrapped("", "", fmt.Sprintf("Way %s: %s.", r.Plan.Way.Name, wayText(r.Plan.Way, q)))
	p.f("\n")
	var rows [][]string
	for _, l := range r.Plan.Layers {
		row := []string{l.Name, layerProduct(l), plural(l.Zones, "zone", "zones"), q.area(l.Area), q.dryRange(l.Dry.Min, l.Dry.Max), q.mass(l.Mass)}
		if l.Product == rx.Liquid {
			row[2] = plural(l.Zones, "piece", "pieces")
			row[4], row[5] = q.rateRange(l.Liquid.Min, l.Liquid.Max), q.tank(l.Volume)
		}
		rows = append(rows, row)
		for _, one := range productsOf(r.Prescription, &l) {
			rows = append(rows, []string{"  " + one.name, one.applies, plural(one.Zones, "zone", "zones"), q.area(one.Area), q.dryRange(one.Dry.Min, one.Dry.Max), q.mass(one.Mass)})
		}
	}
	p.table("  ", []column{{"layer", true}, {"applies", true}, {"", false}, {unit.Symbol[unit.Area](r.Units), false}, {"rate", false}, {"in all", false}}, rows)
	p.f("\n")
	t := text{p, r, q}
	t.Findings = plansFindings(r)
	t.findings()
	p.wrapped("", "", fmt.Sprintf("Written to %s and proved by reading it back: %s.", Name(dir), plural(len(m.Files)+1, "file", "files")))
	p.f("Open %s. To prove it again: rxsplit verify %s\n", Name(dir+"/report.html"), Word(dir))
	return p.err
}

// plansFindings are what whoever works from the plan should know: what the plan
// itself has, and what is odd about the file, the machines and the materials that it
// impregnates; not the verdicts of the blend as it is, which the plan is there to mend.
func plansFindings(r Result) []rx.Finding {
	var list []rx.Finding
	for _, f := range r.Findings {
		if f.Severity > rx.Note && (f.About == rx.AboutFile || f.About == rx.AboutEquipment && concerns(r, f) || ofImpregnated(r.Plan, f)) && !slices.ContainsFunc(r.Plan.Findings, func(own rx.Finding) bool { return own.Text == f.Text }) {
			list = append(list, f)
		}
	}
	return append(list, r.Plan.Findings...)
}

// concerns reports whether a finding about equipment has to do with what the plan writes:
// a boom's with a liquid layer alone, what carries stabilizer with a treated one. The rates
// that a spreader can't spread are told of the plan's own layers.
func concerns(r Result, f rx.Finding) bool {
	has := func(keep func(rx.Layer) bool) bool { return slices.ContainsFunc(r.Plan.Layers, keep) }
	switch f.Rule {
	case "spray-volume", "boom-swath":
		return has(func(l rx.Layer) bool { return l.Product == rx.Liquid })
	case "controller-default":
		return has(func(l rx.Layer) bool { return l.Treated })
	case "spreader-limits":
		return false
	case "compatible":
		return slices.ContainsFunc(r.conflicts(), func(c equip.Conflict) bool { return c.Text == f.Text })
	}
	return true
}

// conflicts lists what speaks against the materials that the plan has together: those of
// a blend, whether or not it is impregnated, or what it impregnates of products side by side.
func (r Result) conflicts() []equip.Conflict {
	blended := r.Plan.Materials
	if r.Prescription.Blend() {
		blended = r.Assessment.Terms.Materials()
	}
	return append(equip.Compatibility(blended), equip.Impregnability(r.Plan.Materials)...)
}

// ofImpregnated reports whether a finding is about a carrier that the plan impregnates.
func ofImpregnated(plan *rx.Plan, f rx.Finding) bool {
	return f.Rule == "carrier" && slices.ContainsFunc(plan.Materials, func(m equip.Material) bool { return m.Name == f.Got })
}

func layerProduct(l rx.Layer) string {
	switch {
	case l.Product == rx.Liquid:
		return "stabilizer in water"
	case productCount(&l) > 1:
		return "dry, all together"
	}
	return dryApplied(l.Treated)
}

func dryApplied(treated bool) string {
	if treated {
		return "treated dry"
	}
	return "untreated dry"
}

// productOfLayer is one of the products that a layer spreads side by side.
type productOfLayer struct {
	*rx.Spread
	name, applies string
}

// productCount returns of how many products a layer spreads some, side by side; 0 for
// one blend.
func productCount(l *rx.Layer) int {
	n := 0
	for _, c := range l.Columns {
		if c.Spread != nil && c.Spread.Zones > 0 {
			n++
		}
	}
	return n
}

// productsOf lists what a layer spreads of each of several products; none for one
// blend, or where it spreads one of them alone.
func productsOf(p *rx.Prescription, l *rx.Layer) []productOfLayer {
	if productCount(l) < 2 {
		return nil
	}
	var list []productOfLayer
	for _, c := range l.Columns {
		if c.Spread.Zones > 0 {
			list = append(list, productOfLayer{c.Spread, p.Fields[c.Field].Name, dryApplied(c.Spread.Treated)})
		}
	}
	return list
}

// ManifestJSON prints a manifest as one document.
func ManifestJSON(w io.Writer, m *write.Manifest) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(m)
}

// VerifiedText tells of a plan that was proved.
func VerifiedText(w io.Writer, dir string, m *write.Manifest, others []string) error {
	p := &printer{w: w}
	p.f("%s: the plan is whole.\n", Name(dir))
	p.f("%s as written, each layer equal to what the source gives.\n", plural(len(m.Files)+1, "file", "files"))
	if len(others) > 0 {
		p.wrapped("", "", "Not of this plan, though in the same folder: "+rx.Listed(others, 8)+". Load nothing of it for this field.")
	}
	return p.err
}
