package sheet

import (
	"embed"
	"fmt"
	"strings"
	"sync"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/words"
)

// The words of the sheets stand in text files that need no knowledge of Go, one a kind of
// sheet and one for what all share; words/shared.txt says how to read them. This file reads
// them and fills in what is worked out.
//
//go:embed words/*.txt
var wordFiles embed.FS

// The lists of a section, as the files name them.
const (
	cautions = "Cautions"
	figures  = "Figures"
	steps    = "Steps"
	notes    = "Notes"
	fillIn   = "Fill in"
	notKnown = "Not known"
)

// values are what a section is filled in with, by name: texts (string), conditions
// (bool), and lists of further values ([]values) for lines that are printed for each.
type values map[string]any

// phraseTitle begins the title of a phrase.
const phraseTitle = "Phrase: "

// wordings are the files by their names without the ending. They are part of the program,
// so that a mistake in one is a mistake of the program, which every test finds.
var wordings = sync.OnceValue(func() map[string]words.Book {
	files := map[string]words.Book{}
	for _, name := range []string{"shared", string(rx.BlenderSheet), string(rx.BoomSheet), string(rx.SpreaderSheet), string(rx.FieldSheet), string(rx.ReleaseSheet), string(rx.DaySheet)} {
		text, err := wordFiles.ReadFile("words/" + name + ".txt")
		if err == nil {
			files[name], err = words.Parse(string(text), cautions, figures, steps, notes, fillIn, notKnown)
		}
		if err != nil {
			panic(fmt.Sprintf("words/%s.txt: %v", name, err))
		}
	}
	return files
})

// entry returns a section or phrase: of the sheet's own file, or else of the one that all
// share.
func (d *document) entry(title string) (words.Entry, bool) {
	for _, file := range []string{string(d.sheet.Kind), "shared"} {
		if e, ok := wordings()[file][title]; ok {
			return e, true
		}
	}
	return nil, false
}

// filled are the values of a section of a sheet.
type filled struct {
	d *document
	v values
}

// Units returns the reader's system.
func (f filled) Units() unit.System { return f.d.s }

// Holds reports whether a condition is so.
func (f filled) Holds(name string) bool { return as[bool](f, name) }

// Text returns a value, whose name may hold a comma.
func (f filled) Text(name, form string) (string, bool) {
	if form != "" {
		name += ", " + form
	}
	return as[string](f, name), true
}

// Each returns the entries of a list.
func (f filled) Each(name string) []words.Values {
	return each.Of(as[[]values](f, name), func(one values) words.Values { return filled{f.d, one} })
}

// as returns the value of a name, which has the type that its place in the words asks for.
// Another is a mistake of the program.
func as[T any](f filled, name string) T {
	value := f.d.value(name, f.v)
	v, ok := value.(T)
	if !ok {
		panic(fmt.Sprintf("%s sheet: the words want a %T of {%s}, which is the %T %v", f.d.sheet.Kind, v, name, value, value))
	}
	return v
}

// value looks a name up: among the section's values, then those of every section, then the
// phrases. A name that nobody knows is a mistake of the program.
func (d *document) value(name string, v values) any {
	if value, ok := v[name]; ok {
		return value
	}
	if value, ok := d.always[name]; ok {
		return value
	}
	if _, ok := d.entry(phraseTitle + name); ok {
		return d.phrase(name, v)
	}
	panic(fmt.Sprintf("%s sheet: nothing is known of {%s}", d.sheet.Kind, name))
}

// phrase returns the first line of a phrase whose conditions hold; nothing if none do.
func (d *document) phrase(name string, v values) string {
	e, _ := d.entry(phraseTitle + name)
	return e.First(filled{d, v})
}

// write adds a section of the sheet's file, filled in, with its tables. Its questions are
// kept for the top of the sheet.
func (d *document) write(title string, v values, tables ...rx.Table) {
	e, ok := d.entry(title)
	if !ok {
		panic(fmt.Sprintf("%s sheet: no section %q", d.sheet.Kind, title))
	}
	said := func(list string) []string {
		return each.Of(e.All(list, filled{d, v}), func(parts []string) string { return parts[0] })
	}
	s := rx.Section{Title: d.title(title, v), Tables: tables, Cautions: said(cautions), Steps: said(steps), Notes: said(notes), Blanks: said(fillIn)}
	for _, parts := range e.All(figures, filled{d, v}) {
		parts = append(parts, "")
		s.Facts = append(s.Facts, rx.Fact{What: parts[0], Value: parts[1], Note: parts[2]})
	}
	d.unknown = append(d.unknown, entries("question", said(notKnown)...)...)
	d.sheet.Sections = append(d.sheet.Sections, s)
}

// title fills in the title of a section; one in parentheses is not printed.
func (d *document) title(title string, v values) string {
	if strings.HasPrefix(title, "(") {
		return ""
	}
	l, err := words.ParseLine(title)
	if err != nil {
		panic(fmt.Sprintf("%s sheet: %v", d.sheet.Kind, err))
	}
	return l.Fill(filled{d, v})[0]
}

// entries makes a list of one text an entry.
func entries(name string, texts ...string) []values {
	return each.Of(texts, func(text string) values { return values{name: text} })
}
