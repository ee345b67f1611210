package tell

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

//go:embed findings.txt
var catalogue string

// entry is what the catalogue says of one kind of finding: the lines of its text, hint and
// so on, and of phrases of its own, each under its name.
type entry map[string][]line

// line is one sentence, or part of one, with what it depends on.
type line struct {
	when  []condition
	parts []part
}

// condition is a value that must be there, or must not.
type condition struct {
	value string
	there bool
}

// part is words as they stand or, with a value, that value printed in some way.
type part struct {
	words string
	value string // the name of a field of the data, as Go spells it
	how   string
}

// entries are those of findings.txt, which is part of the program: a mistake in it is one
// of the program, and any test finds it.
var entries = sync.OnceValue(func() map[string]entry {
	all, err := parse(catalogue)
	if err != nil {
		panic("findings.txt: " + err.Error())
	}
	return all
})

// parse reads a catalogue; its top tells of the form.
func parse(text string) (map[string]entry, error) {
	all := map[string]entry{}
	var e entry
	pending, name := "", ""
	flush := func() error {
		if pending == "" {
			return nil
		}
		l, err := parseLine(pending)
		e[name] = append(e[name], l)
		pending = ""
		return err
	}
	for i, row := range strings.Split(text+"\n", "\n") {
		if rest, ok := strings.CutPrefix(row, "  "); ok && pending != "" {
			pending += " " + rest
			continue
		}
		if err := flush(); err != nil {
			return nil, fmt.Errorf("line %d: %w", i, err)
		}
		key, title := strings.CutPrefix(row, "## ")
		label, words, labeled := strings.Cut(row, ": ")
		switch {
		case row == "" || row == "#" || strings.HasPrefix(row, "# "):
		case title && all[key] == nil:
			e = entry{}
			all[key] = e
		case !title && labeled && e != nil:
			name, pending = label, words
		default:
			return nil, fmt.Errorf("line %d: %q is no new title, nor a line of one", i+1, row)
		}
	}
	return all, nil
}

// parseLine reads conditions in brackets, and the words behind them.
func parseLine(text string) (l line, err error) {
	if head, rest, ok := strings.Cut(text, "] "); ok && strings.HasPrefix(head, "[if ") {
		text = rest
		for name := range strings.SplitSeq(head[len("[if "):], " and ") {
			name, not := strings.CutPrefix(name, "not ")
			l.when = append(l.when, condition{camel(name), !not})
		}
	}
	for text != "" {
		words, rest, found := strings.Cut(text, "{")
		if words != "" {
			l.parts = append(l.parts, part{words: words})
		}
		if !found {
			break
		}
		value, after, closed := strings.Cut(rest, "}")
		if !closed {
			return l, fmt.Errorf("%q: a brace is not closed", text)
		}
		name, how, _ := strings.Cut(value, ", ")
		l.parts = append(l.parts, part{words: "{" + value + "}", value: camel(name), how: how})
		text = after
	}
	return l, nil
}

// camel spells a name as Go does: "already applied" is AlreadyApplied.
func camel(name string) string {
	var out strings.Builder
	for word := range strings.FieldsSeq(name) {
		r, n := utf8.DecodeRuneInString(word)
		out.WriteRune(unicode.ToUpper(r))
		out.WriteString(word[n:])
	}
	return out.String()
}
