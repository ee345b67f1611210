package serve

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rxsplit/label/strictyaml"
)

// ask is one key of a label profile or a job file as a field of a form, with the keys in it.
type ask struct {
	strictyaml.Form
	ID, What, Help  string
	Value, Unit     string
	CanNone, None   bool // it may be not on the label; it is not
	Err, Remark     string
	Parts           []ask
	Rows            []ask
	Depth           int
	Labels          []string // files to choose from; none for a text
	Given, Optional bool
}

// answers are what a form was filled in with.
type answers interface {
	text(key string) string           // empty if nothing is said
	amount(key string) (n, of string) // and its unit
	lines(key string) string          // of a list, one each
	rows(key string) int              // of groups
}

// inFile are the answers that a file holds, by key, as it is written.
type inFile map[string]string

func (a inFile) text(key string) string { return a[key] }

var number = regexp.MustCompile(`^([0-9.]+)\s*(.*)$`)

func (a inFile) amount(key string) (n, of string) {
	if m := number.FindStringSubmatch(a[key]); m != nil {
		return m[1], m[2]
	}
	return a[key], ""
}

func (a inFile) lines(key string) string {
	if a[key] != "" {
		return a[key]
	}
	var list []string
	for i := 1; a[fmt.Sprintf("%s[%d]", key, i)] != ""; i++ {
		list = append(list, a[fmt.Sprintf("%s[%d]", key, i)])
	}
	return strings.Join(list, "\n")
}

func (a inFile) rows(key string) int {
	most := 0
	for k := range a {
		if rest, ok := strings.CutPrefix(k, key+"["); ok {
			number, _, _ := strings.Cut(rest, "]")
			n, _ := strconv.Atoi(number) // of our own making
			most = max(most, n)
		}
	}
	return most
}

// inForm are the answers that a page sends.
type inForm url.Values

func (a inForm) text(key string) string {
	return strings.TrimSpace(strings.Join(a[key], "\n"))
}
func (a inForm) amount(key string) (n, of string) { return a.text(key), a.text(key + " unit") }
func (a inForm) lines(key string) string          { return a.text(key) }
func (a inForm) rows(key string) int {
	n, _ := strconv.Atoi(a.text(key + " rows"))
	return min(max(n, 0), mostRows)
}

// mostRows bounds the groups of one key.
const mostRows = 40

// asks lists the fields of some keys with their answers.
func asks(forms []strictyaml.Form, a answers, parent string, depth int) (list []ask) {
	for _, f := range forms {
		f.Key = f.Name
		if parent != "" {
			f.Key = parent + "." + f.Name
		}
		list = append(list, askOf(f, a, depth))
	}
	return list
}

func askOf(f strictyaml.Form, a answers, depth int) ask {
	one := ask{Form: f, ID: "f-" + f.Key, What: keyWords(f.Name), Depth: depth, Optional: !f.Required}
	switch f.Kind {
	case strictyaml.Group:
		one.Parts = asks(f.Parts, a, f.Key, depth+1)
		one.Given = slices.ContainsFunc(one.Parts, func(p ask) bool { return p.Given })
	case strictyaml.Items:
		for i := range a.rows(f.Key) + 1 {
			key := fmt.Sprintf("%s[%d]", f.Key, i+1)
			row := ask{ID: "f-" + key, What: fmt.Sprintf("%s %d", one.What, i+1), Parts: asks(f.Parts, a, key, depth+1)}
			row.Key = key
			row.Given = slices.ContainsFunc(row.Parts, func(p ask) bool { return p.Given })
			one.Given = one.Given || row.Given
			one.Rows = append(one.Rows, row)
		}
		for n := len(one.Rows); n > 1 && !one.Rows[n-1].Given && !one.Rows[n-2].Given; n-- {
			one.Rows = one.Rows[:n-1] // one new row is enough
		}
	case strictyaml.List:
		one.Value = a.lines(f.Key)
	case strictyaml.Amount:
		one.Value, one.Unit = a.amount(f.Key)
		if one.Unit != "" && !slices.Contains(f.Units, one.Unit) {
			one.Units = append(slices.Clone(f.Units), one.Unit)
		}
	default:
		one.Value = a.text(f.Key)
	}
	one.Given = one.Given || one.Value != ""
	return one
}

// written is what a file says of a key; empty where nothing is answered.
func (q ask) written() string {
	switch q.Kind {
	case strictyaml.Amount:
		if q.Value == "" {
			return ""
		}
		return strictyaml.Scalar(strings.TrimSpace(q.Value + " " + q.Unit))
	case strictyaml.List:
		return strictyaml.FlowList(q.listed())
	case strictyaml.Group:
		return q.group()
	case strictyaml.Items:
		return strictyaml.Block(q.rowTexts())
	}
	return strictyaml.Scalar(q.Value)
}

func (q ask) listed() (list []string) {
	text := strings.ReplaceAll(q.Value, "\r", "")
	if q.Short {
		text = strings.ReplaceAll(text, ",", "\n")
	}
	for line := range strings.SplitSeq(text, "\n") {
		if strings.TrimSpace(line) != "" {
			list = append(list, strictyaml.Scalar(line))
		}
	}
	return list
}

// group writes keys on one line or, where lists of groups are among them, a line each.
func (q ask) group() string {
	var names []string
	values := map[string]string{}
	long := q.Depth == 0 && len(q.Parts) > 3
	for _, p := range q.Parts {
		names = append(names, p.Name)
		values[p.Name] = p.written()
	}
	if q.Alone && values[names[0]] != "" && (values[names[1]] == "" || values[names[1]] == values[names[0]]) {
		return values[names[0]]
	}
	if !long {
		return strictyaml.Flow(names, values)
	}
	out := ""
	for _, name := range names {
		switch value := values[name]; {
		case strings.HasPrefix(value, "\n"):
			out += "\n  " + name + ":" + strings.ReplaceAll(value, "\n", "\n  ")
		case value != "":
			out += "\n  " + name + ": " + value
		}
	}
	return out
}

func (q ask) rowTexts() (list []string) {
	for _, row := range q.Rows {
		row.Kind, row.Depth = strictyaml.Group, 1
		if text := row.group(); text != "" {
			list = append(list, text)
		}
	}
	return list
}

// each calls a function for the field and all in it.
func (q *ask) each(f func(*ask)) {
	f(q)
	for i := range q.Parts {
		q.Parts[i].each(f)
	}
	for i := range q.Rows {
		q.Rows[i].each(f)
	}
}
