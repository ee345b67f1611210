package serve

import (
	"bytes"
	"embed"
	"html/template"
	"io"
	"net/http"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/cmd/internal/report/svg"
)

//go:embed templates/*.html
var templates embed.FS

//go:embed static
var files embed.FS

// parsePages reads the templates of all pages.
func parsePages() (*template.Template, error) {
	return template.New("").Funcs(template.FuncMap{
		"told": told, "toldAt": toldAt, "words": keyWords, "lines": func(s string) []string { return strings.Split(s, "\n") },
		// The marks of verdicts, hidden by a class, as no page here has styles of its own.
		"patterns": func() template.HTML {
			return template.HTML(strings.Replace(string(svg.Patterns()), ` style="position:absolute"`, ` class="ear"`, 1))
		},
	}).ParseFS(templates, "templates/*.html")
}

// frame is what every page has around it.
type frame struct {
	Title  string
	Folder string // its whole path
	Name   string // its last part
	Waits  bool   // the page is to be loaded again, where no script does so
}

func (s *server) frame(title string) frame {
	return frame{Title: title, Folder: s.folder.path, Name: filepath.Base(s.folder.path)}
}

// page fills in a template.
func (s *server) page(name string, view any) made {
	var b bytes.Buffer
	if err := s.pages.ExecuteTemplate(&b, name, view); err != nil {
		return made{status: http.StatusInternalServerError, body: []byte("this page could not be made: " + template.HTMLEscapeString(err.Error())), again: true}
	}
	return made{body: b.Bytes()}
}

// write sends a page.
func (s *server) write(w http.ResponseWriter, m made) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if m.status != 0 {
		w.WriteHeader(m.status)
	}
	w.Write(m.body)
}

// failure is what went wrong and what to do about it.
type failure struct {
	app.Failure
	Page string // with the fields that it names; empty for the one that tells it
}

// trouble is the page of what went wrong.
type trouble struct {
	frame
	Failure failure
	Back    string
}

// wrong is a page that tells an error and what to do about it.
func (s *server) wrong(status int, err error, back string) made {
	f := plainly(err)
	if page, _, _ := strings.Cut(back, "#"); strings.HasPrefix(page, "field?") {
		f.Page = page
	}
	m := s.page("wrong.html", trouble{s.frame("That did not work"), *f, back})
	m.status = status
	return m
}

func (s *server) failed(w http.ResponseWriter, status int, err error) {
	s.write(w, s.wrong(status, err, ""))
}

func (s *server) busy(w http.ResponseWriter) {
	s.failed(w, http.StatusServiceUnavailable, &app.Error{What: errBusy.Error(), Hint: "wait a moment, then load the page again"})
}

func (s *server) nothing(w http.ResponseWriter, r *http.Request) {
	s.failed(w, http.StatusNotFound, &app.Error{What: "there is no such page", Hint: "go back to the folder"})
}

// plainly explains an error in text that no file's name or cell can turn into anything else.
func plainly(err error) *failure {
	f := app.Explain(err)
	f.Text, f.Hint = report.Plain(f.Text), report.Plain(f.Hint)
	return &failure{Failure: f}
}

// static sends the style sheet, which the report page shares, and the script.
func (s *server) static(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	kinds := map[string]string{"page.css": "text/css", "serve.css": "text/css", "serve.js": "text/javascript"}
	kind := kinds[name]
	if kind == "" {
		s.nothing(w, r)
		return
	}
	w.Header().Set("Content-Type", kind+"; charset=utf-8")
	w.Header().Set("Cache-Control", "private, max-age=3600")
	if name == "page.css" {
		io.WriteString(w, page.Style())
		return
	}
	text, _ := files.ReadFile("static/" + name) // embedded: it is there
	w.Write(text)
}

var flag = regexp.MustCompile(`--([a-z][a-z-]*)(=| )?("[^"]*"|[A-Z]+\b)?`)

// told prints a message. Where it names a flag that has a field on the page, it leads there
// instead.
func told(text string) template.HTML { return toldAt("", text) }

// toldAt does the same where the fields stand on another page.
func toldAt(page, text string) template.HTML {
	var b strings.Builder
	at := 0
	for _, m := range flag.FindAllStringSubmatchIndex(text, -1) {
		name := text[m[2]:m[3]]
		if !slices.ContainsFunc(app.Options(), func(o app.Option) bool { return o.Name == name }) {
			continue
		}
		b.WriteString(template.HTMLEscapeString(text[at:m[0]]))
		b.WriteString(`<a href="` + template.HTMLEscapeString(page) + `#o-` + name + `">` + keyWords(name) + `</a>`)
		if at = m[3]; m[6] >= 0 && text[m[6]] != '"' {
			at = m[7] // FILE or NAME says nothing here
		}
	}
	b.WriteString(template.HTMLEscapeString(text[at:]))
	return template.HTML(b.String())
}

// keyWords is what an option, or a key of a label or a job, is called on a page.
func keyWords(name string) string {
	switch name {
	case "crs":
		return "coordinate system"
	case "most-n":
		return "most N"
	}
	return strings.ReplaceAll(name, "-", " ")
}
