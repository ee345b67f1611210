package data

import (
	"fmt"
	"io"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
)

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

// inspectSchema names the form of an inspection in JSON.
const inspectSchema = "rxsplit.inspect/1"

// Inspect prints what a file holds as one document.
func Inspect(w io.Writer, c *read.Content, s unit.System) error {
	doc := contentJSON{
		Schema: inspectSchema, Units: map[string]string{"area": unit.Symbol[unit.Area](s)},
		Source:   sourceOf(c.Source),
		Polygons: c.Polygons, Shapes: c.Shapes, Area: c.Area.In(s),
		Extent: [4]float64{c.Extent.Min[0], c.Extent.Min[1], c.Extent.Max[0], c.Extent.Max[1]},
	}
	for _, f := range c.Fields {
		out := fieldContentJSON{Name: f.Name, Type: f.Kind.String(), Empty: f.Nulls, Note: FieldNote(f)}
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

// FieldNote says what a field of a file holds that is no rate.
func FieldNote(f read.FieldRange) string {
	switch {
	case f.RowID:
		return "a row number"
	case f.Area != "":
		return "the areas in " + f.Area
	case f.Unit != "":
		return f.Unit + ", as the file says"
	}
	return ""
}
