package data

import (
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
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
	return printed(w)(line(doc))
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

// rowSchema names the form of one line of the summary of many prescriptions.
const rowSchema = "rxsplit.row/1"

// Row is what the summary says of one prescription, a document a line.
type Row struct {
	Schema   string       `json:"schema"`
	Path     string       `json:"path"`
	Status   string       `json:"status"` // "on label", "look", "off label" or "failed"
	Error    string       `json:"error,omitempty"`
	Units    *unitsJSON   `json:"units,omitempty"`
	Zones    int          `json:"zones,omitempty"`
	Area     *areaJSON    `json:"area,omitempty"`
	Loading  *loadingJSON `json:"loading,omitempty"`
	Findings int          `json:"flagged_findings"`
	Errors   int          `json:"errors"` // in the file, which must be mended before a split; or why it could not be checked
}

// RowOf sums up one checked prescription; it keeps nothing of it.
func RowOf(path string, r report.Result) Row {
	row := Row{
		Schema: rowSchema, Path: path, Status: "on label", Units: new(UnitsOf(r.Units)), Zones: len(r.Prescription.Zones),
		Area: new(areaOf(r)), Loading: new(loadingOf(r)), Errors: report.FileErrors(r.Findings),
	}
	for _, f := range r.Findings {
		if f.Severity > rx.Note {
			row.Findings++
		}
	}
	switch {
	case r.Assessment.OffLabel() > 0:
		row.Status = "off label"
	case row.Findings > 0:
		row.Status = "look"
	}
	return row
}

// FailedRow is the row of a prescription that could not be checked.
func FailedRow(path string, err error) Row {
	return Row{Schema: rowSchema, Path: path, Status: "failed", Error: err.Error(), Errors: 1 + strings.Count(err.Error(), "\n")}
}

// Write prints the row as one line.
func (r Row) Write(w io.Writer) error {
	return printed(w)(line(r))
}
