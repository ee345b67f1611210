// Package words reads the files that say what the program tells, and fills them in. Whoever
// knows the trade and not Go can read and mend such a file:
//
//	# remark             not read
//	## title             begins an entry: a kind of finding, a section of a sheet, a phrase
//	name: words          what is said under that name, in the order of the lines
//	Lists                a name of lines that stands alone, where a file has such
//	- words              one of the list above; without one: lines to choose from
//	  more words         goes on with the line above
//	[if x and not y]     at the start of the words: they are said only then
//	[for each x]         they are said once for each of a list
//	{x}  {x, form}       a value that is worked out, in the form that is named
//	{2 ft | 0.6 m}       the first with US units, the second with metric ones; the first holds no comma
//	one | other          two columns
//
// Which names, values and forms there are is for the user of the package to say, at the top
// of its files.
package words

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label/unit"
)

// A Book is a file: its entries by their titles.
type Book map[string]Entry

// An Entry holds the lines under a title by their names; those without one are under "".
type Entry map[string][]Line

// A Line is one sentence, or part of one, with what it depends on.
type Line struct {
	Words   string // as they stand in the file
	Each    string // said once for each entry of this list; empty: once
	When    []condition
	Columns [][]Part // one, or more where the words are cut at " | "
}

// A condition is what must be so, or must not.
type condition struct {
	Name  string
	Holds bool
}

// A Part is words as they stand or, with a name, a value in some form; its words are then
// the braces with what is in them.
type Part struct {
	Words      string // with US units
	Metric     string // with metric units; most often the same
	Name, Form string
}

// between stands between columns, and between words for two systems of units.
const between = " | "

// Parse reads a file; lists are the names of lines that stand alone. An error names its line.
func Parse(text string, lists ...string) (Book, error) {
	book := Book{}
	var e Entry
	var list, name, pending string
	flush := func() error {
		if pending == "" {
			return nil
		}
		l, err := ParseLine(pending)
		e[name] = append(e[name], l)
		pending = ""
		return err
	}
	for i, row := range strings.Split(text+"\n", "\n") {
		if rest, ok := strings.CutPrefix(row, "  "); ok && pending != "" {
			pending += " " + strings.TrimSpace(rest)
			continue
		}
		if err := flush(); err != nil {
			return nil, fmt.Errorf("line %d: %w", i, err)
		}
		title, isTitle := strings.CutPrefix(row, "## ")
		label, words, labeled := strings.Cut(row, ": ")
		if rest, ok := strings.CutPrefix(row, "- "); ok {
			label, words, labeled = list, rest, true
		}
		switch {
		case row == "" || row == "#" || strings.HasPrefix(row, "# "):
		case isTitle && book[title] == nil:
			e, list = Entry{}, ""
			book[title] = e
		case slices.Contains(lists, row) && e != nil:
			list = row
		case !isTitle && labeled && e != nil:
			name, pending = label, words
		default:
			return nil, fmt.Errorf("line %d: %q is no new title, nor a line of one", i+1, row)
		}
	}
	return book, nil
}

// ParseLine reads what a line depends on, in brackets, and its words.
func ParseLine(text string) (Line, error) {
	var l Line
	words := text
	if strings.HasPrefix(text, "[") {
		head, rest, closed := strings.Cut(text[1:], "] ")
		each, repeated := strings.CutPrefix(head, "for each ")
		all, conditional := strings.CutPrefix(head, "if ")
		switch {
		case closed && repeated:
			l.Each = each
		case closed && conditional:
			l.When = conditions(all)
		default:
			return l, fmt.Errorf("%q: want [if ...] or [for each ...]", text)
		}
		words = rest
	}
	if words == "" {
		return l, fmt.Errorf("%q: nothing is said", text)
	}
	l.Words = words
	column := []Part{}
	for words != "" {
		plain, rest, found := strings.Cut(words, "{")
		for i, one := range strings.Split(plain, between) {
			if i > 0 {
				l.Columns, column = append(l.Columns, column), []Part{}
			}
			if one != "" {
				column = append(column, Part{Words: one, Metric: one})
			}
		}
		if !found {
			break
		}
		value, after, closed := strings.Cut(rest, "}")
		if !closed {
			return l, fmt.Errorf("%q: a brace is not closed", text)
		}
		column = append(column, braced(value))
		words = after
	}
	l.Columns = append(l.Columns, column)
	return l, nil
}

func conditions(text string) (list []condition) {
	for name := range strings.SplitSeq(text, " and ") {
		name, not := strings.CutPrefix(name, "not ")
		list = append(list, condition{name, !not})
	}
	return list
}

// braced reads what stands in braces: a bar before any comma makes it words for two
// systems of units.
func braced(text string) Part {
	if us, metric, both := strings.Cut(text, between); both && !strings.Contains(us, ", ") {
		return Part{Words: us, Metric: metric}
	}
	name, form, _ := strings.Cut(text, ", ")
	return Part{Words: "{" + text + "}", Name: name, Form: form}
}

// Values know what the names of a file stand for.
type Values interface {
	Units() unit.System
	// Holds reports whether a condition is so.
	Holds(name string) bool
	// Text prints a value in a form; false if there is no such value, or not in that form.
	Text(name, form string) (string, bool)
	// Each returns what is known of each entry of a list.
	Each(name string) []Values
}

// Holds reports whether a line is said.
func (l Line) Holds(v Values) bool {
	for _, c := range l.When {
		if v.Holds(c.Name) != c.Holds {
			return false
		}
	}
	return true
}

// Fill puts the values into a line, a text a column. A value that is empty takes the space
// before it along. One that is not known stays in its braces, which tests look for.
func (l Line) Fill(v Values) []string {
	texts := make([]string, len(l.Columns))
	for i, column := range l.Columns {
		text := ""
		for _, p := range column {
			switch value, ok := p.print(v); {
			case ok && value == "":
				text = strings.TrimSuffix(text, " ")
			default:
				text += value
			}
		}
		texts[i] = text
	}
	return texts
}

// print returns what a part says; false if it is a value that is not known.
func (p Part) print(v Values) (string, bool) {
	if p.Name != "" {
		if value, ok := v.Text(p.Name, p.Form); ok {
			return value, true
		}
		return p.Words, false
	}
	if v.Units() == unit.Metric {
		return p.Metric, true
	}
	return p.Words, true
}

// All returns the lines of a name that are said, by their columns.
func (e Entry) All(name string, v Values) (said [][]string) {
	for _, l := range e[name] {
		if !l.Holds(v) {
			continue
		}
		if l.Each == "" {
			said = append(said, l.Fill(v))
			continue
		}
		for _, one := range v.Each(l.Each) {
			said = append(said, l.Fill(one))
		}
	}
	return said
}

// Joined returns the lines of a name that are said as one text. One whose words begin with a
// mark follows the one before without a space.
func (e Entry) Joined(name string, v Values) string {
	var out strings.Builder
	for _, l := range e[name] {
		if !l.Holds(v) {
			continue
		}
		text := strings.Join(l.Fill(v), between)
		if first := l.Columns[0][0]; out.Len() > 0 && (first.Name != "" || !strings.ContainsAny(first.Words[:1], ",;:.")) {
			out.WriteByte(' ')
		}
		out.WriteString(text)
	}
	return out.String()
}

// First returns the first line without a name that is said; nothing if none is.
func (e Entry) First(v Values) string {
	for _, l := range e[""] {
		if l.Holds(v) {
			return strings.Join(l.Fill(v), between)
		}
	}
	return ""
}
