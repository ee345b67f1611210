package text

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
)

// Inspect prints what a file holds, for a terminal of 80 columns, and the command
// that comes next: words are the file and the flags that it was read with.
func Inspect(w io.Writer, c *read.Content, s unit.System, words string) error {
	p := &printer{w: w}
	q := figures.In(s)
	p.wrapped("File      ", "          ", fmt.Sprintf("%s: %s, layer %s", c.Source.Name, c.Source.Format, c.Source.Layer))
	p.wrapped("System    ", "          ", systemText(c))
	p.wrapped("Polygons  ", "          ", fmt.Sprintf("%s in %s of %s, %s %s",
		figures.Plural(c.Polygons, "polygon", "polygons"), figures.Count(c.Shapes), figures.Plural(c.Source.Records, "record", "records"), q.Area(c.Area), unit.Symbol[unit.Area](s)))
	p.wrapped("Where     ", "          ", fmt.Sprintf("latitude %.5f to %.5f, longitude %.5f to %.5f", c.Extent.Min[1], c.Extent.Max[1], c.Extent.Min[0], c.Extent.Max[0]))
	p.f("\n")
	rows := make([][]string, len(c.Fields))
	for i, f := range c.Fields {
		rows[i] = []string{f.Name, f.Kind.String(), "", "", "", fmt.Sprint(f.Nulls), data.FieldNote(f)}
		if f.Numbers > 0 {
			rows[i][2], rows[i][3], rows[i][4] = figures.Trim(f.Min), figures.Trim(f.Max), figures.Trim(f.Mean())
		}
	}
	p.table("  ", []column{{"field", true}, {"type", true}, {"lowest", false}, {"highest", false}, {"mean", false}, {"empty", false}, {"", true}}, rows)
	p.f("\n")
	t := text{p, report.Result{Findings: c.Findings, Units: s}, q}
	t.findings()
	p.nextCheck(c, words)
	return p.err
}

// nextCheck prints a check to type, with the field that has to be named.
func (p *printer) nextCheck(c *read.Content, words string) {
	names, toName := read.RateFields(c.Fields)
	switch {
	case c.Landed:
		p.f("Next: rxsplit check PRESCRIPTION --label FILE --already-applied %s\n", words)
		p.wrapped("", "", "where PRESCRIPTION is that of the next pass.")
	case c.Shapes == 0 || len(names) == 0:
		p.wrapped("", "", "Next: a prescription takes polygons and a field of numbers that are their dry rates; export it again with both.")
	case !toName:
		p.f("Next: rxsplit check %s --label FILE\n", words)
	case len(names) == 1:
		p.f("Next: rxsplit check %s --label FILE --rate-field %s\n", words, report.Word(names[0]))
	default:
		p.f("Next: rxsplit check %s --label FILE --rate-field NAME\n", words)
		p.wrapped("", "", "where NAME is the field of the dry rate: "+strings.Join(names, ", ")+".")
	}
}

func systemText(c *read.Content) string {
	if c.Source.EPSG != 0 {
		return fmt.Sprintf("%s (EPSG:%d)", c.Source.System, c.Source.EPSG)
	}
	return c.Source.System
}

// PanTests tells how even the pan tests of a job's spreader are; nothing where there
// are none.
func PanTests(w io.Writer, j *equip.Job, s unit.System) error {
	if j.Spreader == nil || len(j.Spreader.PanTests) == 0 {
		return nil
	}
	p := &printer{w: w}
	p.f("\nThe spreader's pattern, by its pan tests:\n\n")
	for i, test := range j.Spreader.PanTests {
		head := fmt.Sprintf("%d", i+1)
		if rate, ok := test.Rate.Get(); ok {
			head += ", " + rate.Brief(s)
		}
		p.wrapped("  ", "     ", head+": "+test.Tell(j.Spreader.Swath, s)+".")
	}
	p.f("\n")
	p.wrapped("", "", fmt.Sprintf("CV under %s is satisfactory, over %s poor (%s).", equip.SatisfactoryCV.Brief(s), equip.PoorCV.Brief(s), equip.SourceCV))
	return p.err
}
