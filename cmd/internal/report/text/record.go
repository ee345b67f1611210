package text

import (
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
)

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
