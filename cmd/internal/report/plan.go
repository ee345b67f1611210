package report

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
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
	p.wrapped("", "", fmt.Sprintf("Written to %s and proved by reading it back: %s.%s", Name(dir), plural(len(m.Files)+1, "file", "files"), readTwiceText(m.Records)))
	p.f("Open %s. To prove it again: rxsplit verify %s\n", Name(dir+"/report.html"), Word(dir))
	return p.err
}

// plansFindings are what whoever works from the plan should know: what the plan
// itself has, and what else its rule says to concern it.
func plansFindings(r Result) []rx.Finding {
	work := rx.Work{Prescription: r.Prescription, Terms: r.Assessment.Terms, Plan: r.Plan}
	var list []rx.Finding
	for _, f := range r.Findings {
		if f.Severity > rx.Note && f.Concerns(work) && !slices.ContainsFunc(r.Plan.Findings, f.Equal) {
			list = append(list, f)
		}
	}
	return append(list, r.Plan.Findings...)
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

// readTwiceText says how much of a large plan was read by the program's own decoders alone.
func readTwiceText(records write.Records) string {
	if records.Twice == records.All {
		return ""
	}
	return fmt.Sprintf(" Other decoders than the program's own read %s of its %s as well.", thousands(fmt.Sprint(records.Twice)), plural(records.All, "record", "records"))
}

// VerifiedText tells of a plan that was proved.
func VerifiedText(w io.Writer, dir string, m *write.Manifest, others []string) error {
	p := &printer{w: w}
	p.f("%s: the plan is whole.\n", Name(dir))
	p.wrapped("", "", fmt.Sprintf("%s as written, each layer equal to what the source gives.%s", plural(len(m.Files)+1, "file", "files"), readTwiceText(m.Records)))
	if len(others) > 0 {
		p.wrapped("", "", "Not of this plan, though in the same folder: "+tell.Listed(others, 8)+". Load nothing of it for this field.")
	}
	return p.err
}
