package report

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
)

// ContentText prints what a file holds, for a terminal of 80 columns, and the command
// that comes next: words are the file and the flags that it was read with.
func ContentText(w io.Writer, c *read.Content, s unit.System, words string) error {
	p := &printer{w: w}
	q := quantities{s}
	p.wrapped("File      ", "          ", fmt.Sprintf("%s: %s, layer %s", c.Source.Name, c.Source.Format, c.Source.Layer))
	p.wrapped("System    ", "          ", systemText(c))
	p.wrapped("Polygons  ", "          ", fmt.Sprintf("%s in %s of %s, %s %s",
		plural(c.Polygons, "polygon", "polygons"), thousands(fmt.Sprint(c.Shapes)), plural(c.Source.Records, "record", "records"), q.area(c.Area), unit.Symbol[unit.Area](s)))
	p.wrapped("Where     ", "          ", fmt.Sprintf("latitude %.5f to %.5f, longitude %.5f to %.5f", c.Extent.Min[1], c.Extent.Max[1], c.Extent.Min[0], c.Extent.Max[0]))
	p.f("\n")
	rows := make([][]string, len(c.Fields))
	for i, f := range c.Fields {
		rows[i] = []string{f.Name, f.Kind.String(), "", "", "", fmt.Sprint(f.Nulls), fieldNote(f)}
		if f.Numbers > 0 {
			rows[i][2], rows[i][3], rows[i][4] = trim(f.Min), trim(f.Max), trim(f.Mean())
		}
	}
	p.table("  ", []column{{"field", true}, {"type", true}, {"lowest", false}, {"highest", false}, {"mean", false}, {"empty", false}, {"", true}}, rows)
	p.f("\n")
	t := text{p, Result{Findings: c.Findings, Units: s}, q}
	t.findings()
	p.nextCheck(c, words)
	return p.err
}

// nextCheck prints a check to type, with the field that has to be named.
func (p *printer) nextCheck(c *read.Content, words string) {
	names, toName := read.RateFields(c.Fields)
	switch {
	case c.Shapes == 0 || len(names) == 0:
		p.wrapped("", "", "Next: a prescription takes polygons and a field of numbers that are their dry rates; export it again with both.")
	case !toName:
		p.f("Next: rxsplit check %s --label FILE\n", words)
	case len(names) == 1:
		p.f("Next: rxsplit check %s --label FILE --rate-field %s\n", words, Word(names[0]))
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

func fieldNote(f read.FieldRange) string {
	switch {
	case f.RowID:
		return "a row number"
	case f.Area != "":
		return "the areas in " + f.Area
	}
	return ""
}

type contentJSON struct {
	Schema   string             `json:"schema"`
	Units    map[string]string  `json:"units"`
	Source   sourceJSON         `json:"source"`
	Polygons int                `json:"polygons"`
	Shapes   int                `json:"records_with_polygon"`
	Area     float64            `json:"area"`
	Extent   [4]float64         `json:"extent"` // west, south, east, north
	Fields   []fieldContentJSON `json:"fields"`
	Findings any                `json:"findings"`
}

type fieldContentJSON struct {
	Name  string   `json:"name"`
	Type  string   `json:"type"`
	Min   *float64 `json:"min"`
	Max   *float64 `json:"max"`
	Mean  *float64 `json:"mean"`
	Empty int      `json:"empty"`
	Note  string   `json:"note,omitempty"`
}

// InspectSchema names the form of an inspection in JSON.
const InspectSchema = "rxsplit.inspect/1"

// ContentJSON prints what a file holds as one document.
func ContentJSON(w io.Writer, c *read.Content, s unit.System) error {
	doc := contentJSON{
		Schema: InspectSchema, Units: map[string]string{"area": unit.Symbol[unit.Area](s)},
		Source:   sourceOf(c.Source),
		Polygons: c.Polygons, Shapes: c.Shapes, Area: c.Area.In(s),
		Extent: [4]float64{c.Extent.Min[0], c.Extent.Min[1], c.Extent.Max[0], c.Extent.Max[1]},
	}
	for _, f := range c.Fields {
		out := fieldContentJSON{Name: f.Name, Type: f.Kind.String(), Empty: f.Nulls, Note: fieldNote(f)}
		if f.Numbers > 0 {
			mean := f.Mean()
			out.Min, out.Max, out.Mean = &f.Min, &f.Max, &mean
		}
		doc.Fields = append(doc.Fields, out)
	}
	doc.Findings = findingsOf(c.Findings, s)
	text, err := marshal(doc)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", text)
	return err
}

func sourceOf(s rx.Source) sourceJSON {
	out := sourceJSON{Path: s.Path, SHA256: s.SHA256(), Format: s.Format, CRS: s.System, Records: s.Records, RateFields: []string{}}
	for _, f := range s.Files {
		out.Files = append(out.Files, fileJSON{f.Name, f.SHA256})
	}
	return out
}
