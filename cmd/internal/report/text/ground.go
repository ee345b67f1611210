package text

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/tell"
)

// Ground tells what lands on a field.
func Ground(w io.Writer, g report.Ground) error {
	p := &printer{w: w}
	q := figures.In(g.Units)
	symbol := unit.Symbol[unit.Area](g.Units)
	p.wrapped("", "", g.Title()+": "+g.Name())
	p.f("\n")
	p.wrapped("", "", g.Said())
	p.f("\n")
	if graded := liquidRows(g, q); len(graded) > 0 {
		p.table("  ", []column{{"liquid, in " + symbol, true}, {"none", false}, {"below", false}, {"within", false}, {"above", false}, {"season alone", false}}, graded)
		for i := range g.Liquids {
			if said := g.SeasonText(&g.Liquids[i]); said != "" {
				p.wrapped("  ", "  ", said)
			}
		}
		p.f("\n")
	}
	var rows [][]string
	for i := range g.Products {
		l := &g.Products[i]
		rows = append(rows, []string{
			l.Layer.Name, q.Area(l.Covered.Area), q.Area(l.Skip.Area), q.Area(l.Twice.Area), q.Area(l.Outside.Area), q.Area(l.KeepOut.Area),
			fmt.Sprintf("%.1f %%", 100*float64(l.OnTarget)),
		})
	}
	p.table("  ", []column{{"layer, in " + symbol, true}, {"covered", false}, {"bare", false}, {"twice", false}, {"outside", false}, {"keep-out", false}, {"on target", false}}, rows)
	p.wrapped("  ", "  ", report.GroundWords)
	p.f("\n")
	groundAmounts(p, g)
	for _, c := range g.Courses {
		p.wrapped("", "  ", g.CourseText(c))
	}
	for _, a := range g.Ahead {
		p.wrapped("", "  ", report.LookAheadText(g, a))
	}
	if len(g.Courses) > 0 {
		p.f("\n")
	}
	groundFindings(p, g)
	return p.err
}

func liquidRows(g report.Ground, q figures.Quantities) (rows [][]string) {
	for i := range g.Liquids {
		l := &g.Liquids[i]
		if !l.Graded {
			continue
		}
		rows = append(rows, classRow(l.Liquid.Name, l.Classes, q))
		if l.Corrected != nil {
			rows = append(rows, classRow("  as weighed", l.Corrected.Classes, q))
		}
	}
	return rows
}

func classRow(name string, c ground.Classes, q figures.Quantities) []string {
	row := []string{name}
	for _, e := range c {
		row = append(row, q.Area(e.Area))
	}
	return row
}

func groundAmounts(p *printer, g report.Ground) {
	for i := range g.Products {
		l := &g.Products[i]
		amount := func(v float64) string { return g.Amount(l.Layer, v) }
		line := fmt.Sprintf("Layer %s: %s in all, %s of it laid", l.Layer.Name, amount(l.Total), amount(l.Laid))
		for _, part := range []struct {
			what string
			v    float64
		}{{"while standing", l.Standing}, {"in gaps", l.Gaps}, {"in rows that were there twice", l.Dropped}} {
			if part.v > 0 {
				line += fmt.Sprintf(", %s %s", amount(part.v), part.what)
			}
		}
		line += fmt.Sprintf("; the machine drove %s, and covered %s.", tell.Ground(l.Driven, g.Units), tell.Ground(l.Covered.Area, g.Units))
		p.wrapped("", "  ", line)
		if weighed := g.WeighedText(l); weighed != "" {
			p.wrapped("", "  ", weighed)
		}
	}
	p.f("\n")
}

func groundFindings(p *printer, g report.Ground) {
	for _, f := range rx.WorstFirst(g.Findings) {
		said := tell.Finding(f, g.Units)
		p.wrapped(fmt.Sprintf("%-8s", f.Severity), "        ", said.Text)
		if said.Hint != "" {
			p.wrapped("        -> ", "           ", said.Hint)
		}
	}
	if len(g.Findings) > 0 {
		p.f("\n")
	}
	for _, caution := range g.Cautions() {
		p.wrapped("", "", caution)
	}
}

// ResultsVerified tells of a folder of results that was proved.
func ResultsVerified(w io.Writer, dir string, files int, others []string) error {
	p := &printer{w: w}
	p.f("%s: whole.\n%s, each worked out again from what it was made from,\nand equal to it byte for byte.\n", report.Name(dir), figures.Plural(files, "file", "files"))
	if len(others) > 0 {
		p.wrapped("", "", "Not of these results, though in the same folder: "+tell.Listed(others, 8)+".")
	}
	return p.err
}

// Record prints what is known of an application, and what is missing.
func Record(w io.Writer, r report.Record) error {
	p := &printer{w: w}
	p.f("Record of the application\n\n")
	for _, row := range r.Rows {
		if row.Value != "" {
			p.wrapped("  ", "      ", row.What+": "+row.Value)
		}
	}
	p.f("\n")
	p.wrapped("", "", r.Complete())
	for _, row := range r.Missing() {
		text := "where to say it: " + row.Where
		if len(row.Asked) > 0 {
			text += " (" + strings.Join(row.Asked, "; ") + ")"
		}
		p.wrapped("  ", "      ", "missing: "+row.What+"; "+text)
	}
	p.f("\n")
	for _, caution := range report.RecordCautions {
		p.wrapped("", "", caution)
	}
	return p.err
}
