package report

import (
	"fmt"
	"io"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Table is the summary of many prescriptions: a row each as they are checked, or a
// JSON document a line.
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

// Add takes one checked prescription.
func (t *Table) Add(path string, r Result) {
	t.units = r.Units
	flagged := 0
	for _, f := range r.Findings {
		if f.Severity > rx.Note {
			flagged++
		}
	}
	if t.asJSON {
		doc := checkOf(r)
		t.line(rowJSON{Schema: RowSchema, Path: path, Units: &doc.Units, Zones: len(r.Prescription.Zones), Area: &doc.Area, Loading: &doc.Loading, Findings: flagged})
		return
	}
	q := quantities{r.Units}
	a := r.Assessment
	t.rows = append(t.rows, []string{
		path, fmt.Sprint(len(r.Prescription.Zones)), q.area(r.Prescription.Area()),
		q.area(a.Shares[rx.Below].Area), q.area(a.Shares[rx.Within].Area), q.area(a.Shares[rx.Above].Area), verdictOf(r, flagged),
	})
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

// Failed takes one that could not be checked.
func (t *Table) Failed(path string, err error) {
	if t.asJSON {
		t.line(rowJSON{Schema: RowSchema, Path: path, Error: err.Error()})
		return
	}
	t.rows = append(t.rows, []string{path, "", "", "", "", "", "failed"})
}

func (t *Table) line(row rowJSON) {
	text, err := marshal(row)
	if err == nil {
		_, err = fmt.Fprintf(t.w, "%s\n", text)
	}
	if t.err == nil {
		t.err = err
	}
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
