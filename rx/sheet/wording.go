package sheet

import (
	"embed"
	"fmt"
	"regexp"
	"strings"
	"sync"

	"rxsplit/rx"
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

// wording is what one file says, by the titles of its sections and phrases.
type wording map[string][]line

// line is one line of a sheet, or of a phrase.
type line struct {
	list string // of the section; empty in a phrase
	each string // printed once for each entry of this list; empty: once
	when []condition
	text string
}

type condition struct {
	name  string
	holds bool // or must not
}

// values are what a section is filled in with, by name: texts (string), conditions
// (bool), and lists of further values ([]values) for lines that are printed for each.
type values map[string]any

// phraseTitle begins the title of a phrase.
const phraseTitle = "Phrase: "

// wordings are the files by their names without the ending. They are part of the program,
// so that a mistake in one is a mistake of the program, which every test finds.
var wordings = sync.OnceValue(func() map[string]wording {
	files := map[string]wording{}
	for _, name := range []string{"shared", string(rx.BlenderSheet), string(rx.BoomSheet), string(rx.SpreaderSheet), string(rx.FieldSheet), string(rx.ReleaseSheet)} {
		text, err := wordFiles.ReadFile("words/" + name + ".txt")
		if err == nil {
			files[name], err = parse(string(text))
		}
		if err != nil {
			panic(fmt.Sprintf("words/%s.txt: %v", name, err))
		}
	}
	return files
})

// parse reads a file of words.
func parse(text string) (wording, error) {
	w := wording{}
	title, list := "", ""
	for i, row := range strings.Split(text, "\n") {
		at := len(w[title]) - 1
		switch {
		case row == "" || row == "#" || strings.HasPrefix(row, "# "):
		case strings.HasPrefix(row, "## "):
			title, list = row[3:], ""
			if _, twice := w[title]; twice {
				return nil, fmt.Errorf("line %d: %q is there twice", i+1, title)
			}
			w[title] = nil
		case strings.HasPrefix(row, "- ") && title != "" && (list != "") != strings.HasPrefix(title, phraseTitle):
			l, err := parseLine(list, row[2:])
			if err != nil {
				return nil, fmt.Errorf("line %d: %w", i+1, err)
			}
			w[title] = append(w[title], l)
		case strings.HasPrefix(row, "  ") && at >= 0:
			w[title][at].text += " " + strings.TrimSpace(row)
		case row == cautions || row == figures || row == steps || row == notes || row == fillIn || row == notKnown:
			list = row
		default:
			return nil, fmt.Errorf("line %d: %q is no title, list or line of one", i+1, row)
		}
	}
	return w, nil
}

// parseLine reads what follows the dash: conditions in brackets, and the text.
func parseLine(list, text string) (line, error) {
	l := line{list: list, text: text}
	if !strings.HasPrefix(text, "[") {
		return l, nil
	}
	head, rest, closed := strings.Cut(text[1:], "] ")
	l.text = rest
	if name, each := strings.CutPrefix(head, "for each "); each && closed {
		l.each = name
		return l, nil
	}
	all, conditional := strings.CutPrefix(head, "if ")
	if !conditional || !closed {
		return l, fmt.Errorf("%q: want [if ...] or [for each ...]", text)
	}
	for _, name := range strings.Split(all, " and ") {
		name, not := strings.CutPrefix(name, "not ")
		l.when = append(l.when, condition{name, !not})
	}
	return l, nil
}

// lines returns the lines of a section or phrase: of the sheet's own file, or else of the
// one that all share.
func (d *document) lines(title string) ([]line, bool) {
	for _, file := range []string{string(d.sheet.Kind), "shared"} {
		if lines, ok := wordings()[file][title]; ok {
			return lines, true
		}
	}
	return nil, false
}

// holds reports whether a line is to be printed.
func (d *document) holds(l line, v values) bool {
	for _, c := range l.when {
		if d.value(c.name, v).(bool) != c.holds {
			return false
		}
	}
	return true
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
	if _, ok := d.lines(phraseTitle + name); ok {
		return d.phrase(name, v)
	}
	panic(fmt.Sprintf("%s sheet: nothing is known of {%s}", d.sheet.Kind, name))
}

// phrase returns the first line of a phrase whose conditions hold; nothing if none do.
func (d *document) phrase(name string, v values) string {
	lines, _ := d.lines(phraseTitle + name)
	for _, l := range lines {
		if d.holds(l, v) {
			return d.fill(d.inUnits(l.text), v)
		}
	}
	return ""
}

// inBraces finds names, and texts for two systems of units, with a space before them.
var inBraces = regexp.MustCompile(` ?\{[^{}]*\}`)

// apart stands between the parts of a figure, and between texts for two systems of units.
const apart = " | "

// inUnits takes, of "{2 ft | 0.6 m}", what goes with the user's units.
func (d *document) inUnits(text string) string {
	return inBraces.ReplaceAllStringFunc(text, func(name string) string {
		us, metric, both := strings.Cut(name, apart)
		if !both {
			return name
		}
		space, us, _ := strings.Cut(us, "{")
		return space + pick(d.show, us, strings.TrimSuffix(metric, "}"))
	})
}

// fill puts the values in; one that is empty takes the space before it along.
func (d *document) fill(text string, v values) string {
	return inBraces.ReplaceAllStringFunc(text, func(name string) string {
		space, name, _ := strings.Cut(strings.TrimSuffix(name, "}"), "{")
		value := d.value(name, v).(string)
		if value == "" {
			return ""
		}
		return space + value
	})
}

// write adds a section of the sheet's file, filled in, with its tables. Its questions are
// kept for the top of the sheet.
func (d *document) write(title string, v values, tables ...rx.Table) {
	lines, ok := d.lines(title)
	if !ok {
		panic(fmt.Sprintf("%s sheet: no section %q", d.sheet.Kind, title))
	}
	s := rx.Section{Title: d.fill(title, v), Tables: tables}
	if strings.HasPrefix(title, "(") {
		s.Title = ""
	}
	for _, l := range lines {
		if l.each == "" {
			d.print(&s, l, v)
			continue
		}
		for _, one := range d.value(l.each, v).([]values) {
			d.print(&s, l, one)
		}
	}
	d.sheet.Sections = append(d.sheet.Sections, s)
}

// print adds a line to its list of the section, if its conditions hold.
func (d *document) print(s *rx.Section, l line, v values) {
	if !d.holds(l, v) {
		return
	}
	text := d.inUnits(l.text)
	switch l.list {
	case figures:
		parts := append(strings.Split(text, apart), "")
		s.Facts = append(s.Facts, rx.Fact{What: d.fill(parts[0], v), Value: d.fill(parts[1], v), Note: d.fill(parts[2], v)})
	case cautions:
		s.Cautions = append(s.Cautions, d.fill(text, v))
	case steps:
		s.Steps = append(s.Steps, d.fill(text, v))
	case notes:
		s.Notes = append(s.Notes, d.fill(text, v))
	case fillIn:
		s.Blanks = append(s.Blanks, d.fill(text, v))
	case notKnown:
		d.unknown = append(d.unknown, values{"question": d.fill(text, v)})
	}
}

// each makes a list of one text an entry.
func each(name string, texts ...string) []values {
	list := make([]values, len(texts))
	for i, text := range texts {
		list[i] = values{name: text}
	}
	return list
}
