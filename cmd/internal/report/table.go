package report

import (
	"fmt"
	"io"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Row is what the summary of many prescriptions says of one.
type Row struct {
	Path string
	Err  error // it could not be checked

	units unit.System
	cells []string
	json  rowJSON
}

// Table is the summary of many prescriptions: a row each, or a JSON document a
// line as they come.
type Table struct {
	w      io.Writer
	asJSON bool
	rows   [][]string
	units  unit.System
	err    error
}

// NewTable starts a summary.
func NewTable(w io.Writer, asJSON bool) *Table { return &Table{w: w, asJSON: asJSON} }

type rowJSON struct {
	Schema   string       `json:"schema"`
	Path     string       `json:"path"`
	Error    string       `json:"error,omitempty"`
	Units    *Units       `json:"units,omitempty"`
	Zones    int          `json:"zones,omitempty"`
	Area     *areaJSON    `json:"area,omitempty"`
	Loading  *loadingJSON `json:"loading,omitempty"`
	Findings int          `json:"flagged_findings"`
}

// RowSchema names the form of one line of the summary.
const RowSchema = "rxsplit.row/1"

// RowOf sums up one checked prescription; it keeps nothing of it.
func RowOf(path string, r Result) Row {
	flagged := 0
	for _, f := range r.Findings {
		if f.Severity > rx.Note {
			flagged++
		}
	}
	doc, q, a := checkOf(r), quantities{r.Units}, r.Assessment
	return Row{
		Path: path, units: r.Units,
		json: rowJSON{Schema: RowSchema, Path: path, Units: &doc.Units, Zones: len(r.Prescription.Zones), Area: &doc.Area, Loading: &doc.Loading, Findings: flagged},
		cells: []string{
			path, fmt.Sprint(len(r.Prescription.Zones)), q.area(r.Prescription.Area()),
			q.area(a.Shares[rx.Below].Area), q.area(a.Shares[rx.Within].Area), q.area(a.Shares[rx.Above].Area), verdictOf(r, flagged),
		},
	}
}

// Failed is the row of a prescription that could not be checked.
func Failed(path string, err error) Row {
	return Row{
		Path: path, Err: err, cells: []string{path, "", "", "", "", "", "failed"},
		json: rowJSON{Schema: RowSchema, Path: path, Error: err.Error()},
	}
}

// Add takes one row.
func (t *Table) Add(row Row) {
	if row.Err == nil {
		t.units = row.units
	}
	if !t.asJSON {
		t.rows = append(t.rows, row.cells)
		return
	}
	text, err := marshal(row.json)
	if err == nil {
		_, err = fmt.Fprintf(t.w, "%s\n", text)
	}
	if t.err == nil {
		t.err = err
	}
}

func verdictOf(r Result, flagged int) string {
	switch {
	case r.Assessment.OffLabel() > 0:
		return "off label"
	case flagged > 0:
		return "look"
	}
	return "on label"
}

// Close prints the table.
func (t *Table) Close() error {
	if t.asJSON || t.err != nil {
		return t.err
	}
	p := &printer{w: t.w}
	p.f("If each blend is impregnated at its field's mean, in %s:\n\n", unit.AreaSymbol(t.units))
	p.table("  ", []column{{"file", true}, {"zones", false}, {"all", false}, {"below", false}, {"within", false}, {"above", false}, {"", true}}, t.rows)
	return p.err
}
