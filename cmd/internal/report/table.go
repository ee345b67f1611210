package report

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

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
	json  rowJSON
}

// Table is the summary of many prescriptions: a row each, or a JSON document a
// line as they come.
type Table struct {
	w      io.Writer
	asJSON bool
	rows   [][]string
	units  unit.System
	fixed  string
	err    error
}

// NewTable starts a summary.
func NewTable(w io.Writer, asJSON bool) *Table { return &Table{w: w, asJSON: asJSON} }

type rowJSON struct {
	Schema   string       `json:"schema"`
	Path     string       `json:"path"`
	Status   string       `json:"status"` // "on label", "look", "off label" or "failed"
	Error    string       `json:"error,omitempty"`
	Units    *Units       `json:"units,omitempty"`
	Zones    int          `json:"zones,omitempty"`
	Area     *areaJSON    `json:"area,omitempty"`
	Loading  *loadingJSON `json:"loading,omitempty"`
	Findings int          `json:"flagged_findings"`
	Errors   int          `json:"errors"` // in the file, which must be mended before a split; or why it could not be checked
}

// RowSchema names the form of one line of the summary.
const RowSchema = "rxsplit.row/1"

// RowOf sums up one checked prescription; it keeps nothing of it.
func RowOf(path string, r Result) Row {
	flagged, errors := 0, fileErrors(r.Findings)
	for _, f := range r.Findings {
		if f.Severity > rx.Note {
			flagged++
		}
	}
	doc, q, a := checkOf(r), quantities{r.Units}, r.Assessment
	fixed := ""
	if a.LoadingFrom == "given" {
		fixed = a.Loading.Text(r.Units)
	}
	return Row{
		Path: path, units: r.Units, fixed: fixed,
		json: rowJSON{Schema: RowSchema, Path: path, Status: statusOf(r, flagged), Units: &doc.Units, Zones: len(r.Prescription.Zones), Area: &doc.Area, Loading: &doc.Loading, Findings: flagged, Errors: errors},
		cells: []string{
			path, fmt.Sprint(len(r.Prescription.Zones)), q.area(r.Prescription.Area()),
			q.area(a.Shares[rx.Below].Area), q.area(a.Shares[rx.Within].Area), q.area(a.Shares[rx.Above].Area), verdictOf(r, flagged, errors),
		},
	}
}

// Failed is the row of a prescription that could not be checked.
func Failed(path string, err error) Row {
	return Row{
		Path: path, Err: err, cells: []string{path, "", "", "", "", "", failed},
		json: rowJSON{Schema: RowSchema, Path: path, Status: failed, Error: err.Error(), Errors: 1 + strings.Count(err.Error(), "\n")},
	}
}

// Add takes one row.
func (t *Table) Add(row Row) {
	if row.Err == nil {
		t.units, t.fixed = row.units, row.fixed
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

// failed is the status of a prescription that could not be checked.
const failed = "failed"

// statusOf is the word that a row ends with.
func statusOf(r Result, flagged int) string {
	switch {
	case r.Assessment.OffLabel() > 0:
		return "off label"
	case flagged > 0:
		return "look"
	}
	return "on label"
}

// verdictOf adds to the status what else the table tells.
func verdictOf(r Result, flagged, errors int) string {
	verdict := statusOf(r, flagged)
	if r.Assessment.OverSeason.Zones > 0 {
		verdict += " (season)"
	}
	if errors > 0 {
		verdict += ", mend"
	}
	return verdict
}

// Close prints the table.
func (t *Table) Close() error {
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
func (t *Table) notes() []string {
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
