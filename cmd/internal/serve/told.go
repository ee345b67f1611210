package serve

import (
	"html/template"
	"regexp"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
)

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
		if !isOption(name) {
			continue
		}
		b.WriteString(template.HTMLEscapeString(text[at:m[0]]))
		b.WriteString(`<a href="` + template.HTMLEscapeString(page) + `#o-` + name + `">` + optionWords(name) + `</a>`)
		if at = m[3]; m[6] >= 0 && text[m[6]] != '"' {
			at = m[7] // FILE or NAME says nothing here
		}
	}
	b.WriteString(template.HTMLEscapeString(text[at:]))
	return template.HTML(b.String())
}

func isOption(name string) bool {
	return slices.ContainsFunc(app.Options(), func(o app.Option) bool { return o.Name == name })
}

// optionWords is what an option is called on a page.
func optionWords(name string) string { return strings.ReplaceAll(name, "-", " ") }
