package text

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Row is what the summary of many prescriptions says of one.
type Row struct {
	Path string
	Err  error // it could not be checked

	units unit.System
	fixed string // the loading, where it was given
	cells []string
	doc   data.Row
}

// table is the summary of many prescriptions: a row each, or a JSON document a
// line as they come.
type table struct {
	w      io.Writer
	asJSON bool
	rows   [][]string
	units  unit.System
	fixed  string
	err    error
}

// NewTable starts a summary.
func NewTable(w io.Writer, asJSON bool) *table { return &table{w: w, asJSON: asJSON} }

// RowOf sums up one checked prescription; it keeps nothing of it.
func RowOf(path string, r report.Result) Row {
	q, a, doc := figures.In(r.Units), r.Assessment, data.RowOf(path, r)
	fixed := ""
	if a.LoadingFrom == "given" {
		fixed = a.Loading.Text(r.Units)
	}
	return Row{
		Path: path, units: r.Units, fixed: fixed, doc: doc,
		cells: []string{
			path, figures.Count(len(r.Prescription.Zones)), q.Area(r.Prescription.Area()),
			q.Area(a.Shares[rx.Below].Area), q.Area(a.Shares[rx.Within].Area), q.Area(a.Shares[rx.Above].Area), verdictOf(r, doc),
		},
	}
}

// Failed is the row of a prescription that could not be checked.
func Failed(path string, err error) Row {
	doc := data.FailedRow(path, err)
	return Row{Path: path, Err: err, cells: []string{path, "", "", "", "", "", doc.Status}, doc: doc}
}

// Add takes one row.
func (t *table) Add(row Row) {
	if row.Err == nil {
		t.units, t.fixed = row.units, row.fixed
	}
	if !t.asJSON {
		t.rows = append(t.rows, row.cells)
		return
	}
	if err := row.doc.Write(t.w); t.err == nil {
		t.err = err
	}
}

// verdictOf adds to the status what else the table tells.
func verdictOf(r report.Result, doc data.Row) string {
	verdict := doc.Status
	if r.Assessment.OverSeason.Zones > 0 {
		verdict += " (season)"
	}
	if doc.Errors > 0 {
		verdict += ", mend"
	}
	return verdict
}

// Close prints the table.
func (t *table) Close() error {
	if t.asJSON || t.err != nil {
		return t.err
	}
	p := &printer{w: t.w}
	at := "at its field's mean"
	if t.fixed != "" {
		at = "at " + t.fixed
	}
	p.f("If each blend is impregnated %s, in %s:\n\n", at, unit.Symbol[unit.Area](t.units))
	p.table("  ", []column{{"file", true}, {"zones", false}, {"all", false}, {"below", false}, {"within", false}, {"above", false}, {"", true}}, t.rows)
	notes := t.notes()
	if len(notes) > 0 {
		p.f("\n")
	}
	for _, note := range notes {
		p.wrapped("", "", note)
	}
	return p.err
}

// notes explain what the rows say, and name files that may be one prescription.
func (t *table) notes() []string {
	var notes []string
	says := func(word string) bool {
		return slices.ContainsFunc(t.rows, func(cells []string) bool { return strings.Contains(cells[len(cells)-1], word) })
	}
	if says("look") {
		notes = append(notes, "look: on label, but something was found; check that file alone to see it.")
	}
	if says("mend") {
		notes = append(notes, "mend: not to be split as it is; check that file alone to see what to mend.")
	}
	first := map[string]string{}
	for _, cells := range t.rows {
		path := cells[0]
		name := strings.TrimSuffix(filepath.Clean(path), filepath.Ext(path))
		if other, twice := first[name]; twice && filepath.Clean(other) == filepath.Clean(path) {
			notes = append(notes, fmt.Sprintf("%s is named twice: it is counted twice.", path))
			continue
		} else if twice {
			notes = append(notes, fmt.Sprintf("%s and %s have one name: if they are one prescription, it is counted twice.", other, path))
			continue
		}
		first[name] = path
	}
	return notes
}
