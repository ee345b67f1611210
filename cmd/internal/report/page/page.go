// Package page makes the page that people read, and prints its work sheets.
package page

import (
	"bufio"
	"cmp"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"sync"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
)

//go:embed templates
var templates embed.FS

// Write prints the page that people read: one HTML file that needs nothing beside
// it, to be read on a screen, by ear or on paper. The same result gives the same
// bytes.
func Write(w io.Writer, r report.Result) error { return lay(w, "page.html", newPageView(r)) }

// layouts are the templates of all pages. They are made ready once, for all fields of a day.
var layouts = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{"row": row, "cell": cell, "swatch": swatch}).ParseFS(templates, "templates/*.html"))
})

// lay fills in the template of a page.
func lay(w io.Writer, name string, view any) error {
	buf := bufio.NewWriterSize(w, 1<<16)
	return cmp.Or(layouts().ExecuteTemplate(buf, name, view), buf.Flush())
}

// pageView is the page as data: what the templates lay out. Every text in it is
// plain and escaped by them; drawings and style are this package's own.
type pageView struct {
	Policy   string
	Style    template.CSS
	Script   template.JS
	Data     template.JS
	data     pageData
	Patterns template.HTML

	Title     string
	Field     string
	File      string
	Decision  string
	Blend     string // why the blend is not impregnated as one, or that it could be; where a way is chosen
	Bars      []pageBar
	SplitText string
	Facts     []pageFact
	Chosen    *pageChosen
	Possible  string   // ways, where none is chosen; empty where none can be
	Against   []string // errors and warnings of the blend, where another way is chosen
	Contents  []pageLink

	Map      *pageField // nil without ground
	Explorer bool       // another loading can be tried
	Charts   []chart
	Verdicts pageTable
	Liquids  *pageTable // beside the stabilizer
	Tight    string
	Zones    *pageZones
	Off      *pageTable
	OffMore  string
	WaysPlot chart
	Ways     *pageTable
	Layers   *pageTable
	Findings *pageTable
	Rules    pageTable
	Cautions []string
	Origin   pageOrigin
	Cards    []pageSheet
	Sheets   []pageSheet // behind the cards
}

// pageLink is a line of the table of contents.
type pageLink struct{ ID, Text string }

// pageFact is a line of the field's facts.
type pageFact struct {
	What  string
	Value []pageCell
}

func newPageView(r report.Result) *pageView {
	v := &pageView{Style: template.CSS(Style()), Script: template.JS(joined("*.js")), Patterns: svg.Patterns()}
	q := figures.In(r.Units)
	v.Off, v.OffMore = offTable(r, q) // not beside the maps: both take much memory for many zones
	var drawing sync.WaitGroup
	drawing.Go(func() { v.maps(r, q) }) // as long as all the rest
	v.head(r, q)
	v.charts(r, q)
	v.tables(r, q)
	v.Cautions = cautions(r)
	v.Origin = originOf(r)
	v.Cards, v.Sheets = sheetsOf(r)
	v.Style += template.CSS(v.headStyle())
	if v.Zones != nil {
		v.Style += template.CSS(v.Zones.style())
	}
	drawing.Wait()
	v.Data = v.data.script(r)
	v.Policy = policyOf(string(v.Style), string(v.Script))
	v.contents()
	return v
}

// joined returns the embedded files of a pattern, one after the other.
func joined(pattern string) (all []byte) {
	names, _ := fs.Glob(templates, "templates/"+pattern) // embedded: they are there
	for _, name := range names {
		text, _ := templates.ReadFile(name)
		all = append(all, text...)
	}
	return all
}

// charts adds the drawings of acres over rates, where anything is treated.
func (v *pageView) charts(r report.Result, q figures.Quantities) {
	if r.Assessment.Loading > 0 {
		v.Charts = append(v.Charts, stabilizerChart(r, q), dryChart(r, q))
		v.Explorer = true
	}
}

// tables adds the tables.
func (v *pageView) tables(r report.Result, q figures.Quantities) {
	v.Verdicts, v.Tight = verdictTable(r, q), tightText(r, q)
	v.Liquids = liquidTable(r, q)
	v.Zones = zonesTable(r, q)
	if len(r.Ways) > 0 {
		t := waysTable(r, q)
		v.Ways, v.WaysPlot = &t, waysChart(r, q)
	}
	if r.Plan != nil {
		t := layersTable(r, q)
		v.Layers = &t
	}
	if len(r.Findings) > 0 {
		t := findingsTable(r)
		v.Findings = &t
	}
	v.Rules = rulesTable(r)
}

// contents lists the page's parts, the sheets one by one.
func (v *pageView) contents() {
	add := func(there bool, id, text string) {
		if there {
			v.Contents = append(v.Contents, pageLink{id, text})
		}
	}
	add(v.Blend == "", "verdicts", "By verdict")
	add(v.Blend != "", "verdicts", "Why not as one blend")
	add(v.Off != nil, "off-label", "Ground off label")
	add(len(v.Charts) > 0, "charts", "Ground over rates")
	add(v.Zones != nil, "zones", "Every zone")
	add(v.Ways != nil, "ways", "Ways to release it")
	add(v.Layers != nil, "layers", "Layers")
	add(true, "findings", "Findings")
	add(true, "cautions", "Before work begins")
	add(true, "origin", "Where this comes from")
	for _, list := range [][]pageSheet{v.Cards, v.Sheets} {
		for _, s := range list {
			add(true, s.ID, s.Title)
		}
	}
}

// policyOf is the page's Content-Security-Policy: nothing is loaded, and no style or script
// works but those that the page was made with. [W3C, Content Security Policy Level 3]
func policyOf(style, script string) string {
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return fmt.Sprintf("default-src 'none'; style-src %s; script-src %s; base-uri 'none'; form-action 'none'", hash(style), hash(script))
}

// Style returns the style sheet of the page, for other pages that are to look alike.
func Style() string { return string(joined("*.css")) }
