package data

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
)

// rowSchema names the form of one line of the summary of many prescriptions.
const rowSchema = "rxsplit.row/1"

// Row is what the summary says of one prescription, a document a line.
type Row struct {
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

// RowOf sums up one checked prescription; it keeps nothing of it.
func RowOf(path string, r report.Result) Row {
	doc := checkOf(r)
	row := Row{
		Schema: rowSchema, Path: path, Status: "on label", Units: &doc.Units, Zones: len(r.Prescription.Zones),
		Area: &doc.Area, Loading: &doc.Loading, Errors: report.FileErrors(r.Findings),
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
	text, err := marshal(r)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", text)
	return err
}
