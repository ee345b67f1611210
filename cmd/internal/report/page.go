package report

import (
	"fmt"
	"html/template"
	"io"
)

// Page prints the page that people read.
func Page(w io.Writer, r Result) error {
	_, err := fmt.Fprintf(w, "<!doctype html><html lang=en><meta charset=utf-8><title>%s</title>", template.HTMLEscapeString(r.Prescription.Source.Name))
	return err
}
