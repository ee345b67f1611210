// Package page makes the page that people read, and prints its work sheets.
package page

import (
	"bufio"
	"embed"
	"html/template"
	"io"

	"rxsplit/cmd/internal/report"
)

//go:embed templates
var templates embed.FS

// Write prints the page that people read: one HTML file that needs nothing beside
// it, to be read on a screen, by ear or on paper. The same result gives the same
// bytes.
func Write(w io.Writer, r report.Result) error {
	t, err := template.ParseFS(templates, "templates/*.html")
	if err != nil {
		return err
	}
	view, err := newPageView(r)
	if err != nil {
		return err
	}
	buf := bufio.NewWriterSize(w, 1<<16)
	if err := t.ExecuteTemplate(buf, "page.html", view); err != nil {
		return err
	}
	return buf.Flush()
}
