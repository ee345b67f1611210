package words

import (
	"strings"

	"rxsplit/label/unit"
)

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
