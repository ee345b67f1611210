package sheet

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/words"
)

// WordLine is a line of the files of words, for tests that look for it on sheets.
type WordLine struct {
	File, Title string
	Pattern     *regexp.Regexp // of what it prints
}

// WordLines lists the lines of all files.
func WordLines() []WordLine {
	var list []WordLine
	for file, w := range wordings() {
		for title, e := range w {
			for _, l := range linesOf(e) {
				pattern := patternOf(file, l.Line)
				if !strings.HasPrefix(title, phraseTitle) {
					pattern = "(?m)^" + pattern + "$"
				}
				list = append(list, WordLine{file, title, regexp.MustCompile(pattern)})
			}
		}
	}
	return list
}

// listed is a line with the list that it stands in; empty for that of a phrase.
type listed struct {
	words.Line
	list string
}

func linesOf(e words.Entry) (lines []listed) {
	for _, list := range []string{"", cautions, figures, steps, notes, fillIn, notKnown} {
		for _, l := range e[list] {
			lines = append(lines, listed{l, list})
		}
	}
	return lines
}

// nameOf returns what a part of a line stands for; empty for words.
func nameOf(p words.Part) string {
	if p.Name == "" {
		return ""
	}
	return strings.Trim(p.Words, "{}")
}

// patternOf matches what a line prints: either of two texts for units, any of the lines of a
// phrase, and whatever a value is.
func patternOf(file string, l words.Line) string {
	var columns []string
	for _, column := range l.Columns {
		pattern := ""
		for _, p := range column {
			one := "(?:" + regexp.QuoteMeta(p.Words) + "|" + regexp.QuoteMeta(p.Metric) + ")"
			if name := nameOf(p); name != "" {
				e := wordings()[file][phraseTitle+name]
				if e == nil {
					e = wordings()["shared"][phraseTitle+name]
				}
				one = ".*"
				if e != nil {
					var all []string
					for _, l := range linesOf(e) {
						all = append(all, patternOf(file, l.Line))
					}
					one = "(?:" + strings.Join(all, "|") + "|)"
				}
				if rest, spaced := strings.CutSuffix(pattern, " "); spaced {
					pattern, one = rest, " ?"+one
				}
			}
			pattern += one
		}
		columns = append(columns, pattern)
	}
	return strings.Join(columns, regexp.QuoteMeta(" | "))
}

// names collects the conditions, values and lists that lines use, phrases included.
func (d *document) names(lines []listed, conditions, texts, lists map[string]bool) {
	for _, l := range lines {
		if l.Each != "" {
			lists[l.Each] = true
		}
		for _, c := range l.When {
			conditions[c.Name] = true
		}
		for _, p := range slices.Concat(l.Columns...) {
			name := nameOf(p)
			if of, ok := d.entry(phraseTitle + name); ok {
				d.names(linesOf(of), conditions, texts, lists)
			} else if name != "" {
				texts[name] = true
			}
		}
	}
}

// cases calls do for every combination of the conditions of the lines; those of phrases in
// them, which have cases of their own, do not hold.
func (d *document) cases(lines []listed, do func(v values)) {
	conditions, texts, lists := map[string]bool{}, map[string]bool{}, map[string]bool{}
	d.names(lines, conditions, texts, lists)
	var list []string
	for _, l := range lines {
		for _, c := range l.When {
			if !slices.Contains(list, c.Name) {
				list = append(list, c.Name)
			}
		}
	}
	for set := range 1 << len(list) {
		d.always, d.sheet.Sections, d.unknown = values{}, nil, nil
		for name := range texts {
			d.always[name] = "<" + name + ">"
		}
		for name := range conditions {
			d.always[name] = false
		}
		for i, name := range list {
			d.always[name] = set>>i&1 == 1
		}
		v := values{}
		for name := range lists {
			v[name] = []values{{}, {}}
		}
		do(v)
	}
}

var (
	leftOver = regexp.MustCompile(`[{}]|  `)
	ended    = regexp.MustCompile(`[.:>]$|\]$|_$`)
)

// TestWordsInEveryCase prints every section and phrase in every combination of its conditions,
// in both systems of units: each line comes in some, those with conditions not in all, nothing
// is left in braces, and sentences end.
func TestWordsInEveryCase(t *testing.T) {
	for file, w := range wordings() {
		for title, e := range w {
			lines := linesOf(e)
			for _, s := range []unit.System{unit.US, unit.Metric} {
				kind := rx.SheetKind(file)
				if file == "shared" {
					kind = rx.BoomSheet
				}
				d := &document{inputs: &inputs{show: show{s}}, sheet: rx.Sheet{Kind: kind}}
				came, stayed := make([]bool, len(lines)), make([]bool, len(lines))
				d.cases(append(titleLine(t, title), lines...), func(v values) {
					var texts []string
					if name, is := strings.CutPrefix(title, phraseTitle); is {
						if len(e) != 1 || e[""] == nil {
							t.Fatalf("%s, %s: a phrase has no lists", file, title)
						}
						first := slices.IndexFunc(lines, func(l listed) bool { return l.Holds(filled{d, v}) })
						for i := range lines {
							came[i], stayed[i] = came[i] || i == first, stayed[i] || i != first
						}
						texts = []string{d.phrase(name, v)}
					} else {
						for i, l := range lines {
							if n := len(l.Columns); l.list == figures && n != 2 && n != 3 || l.list != figures && n > 1 || l.list == "" {
								t.Fatalf("%s, %s: a figure is name | value | note, nothing else has parts, and each is in a list: %s", file, title, l.Words)
							}
							holds := l.Holds(filled{d, v})
							came[i], stayed[i] = came[i] || holds, stayed[i] || !holds
						}
						d.write(title, v)
						part := d.sheet.Sections[0]
						for _, f := range part.Facts {
							texts = append(texts, f.What+"|"+f.Value+"|"+f.Note)
							if f.What == "" || f.Value == "" {
								t.Errorf("%s, %s: %+v", file, title, f)
							}
						}
						sentences := append(append([]string{}, part.Cautions...), part.Steps...)
						for _, text := range sentences {
							if !ended.MatchString(text) {
								t.Errorf("%s, %s: not ended: %s", file, title, text)
							}
						}
						texts = append(append(append(texts, sentences...), part.Notes...), part.Blanks...)
					}
					for _, text := range texts {
						if leftOver.MatchString(strings.ReplaceAll(text, "[  ]", "[]")) {
							t.Fatalf("%s, %s: %s", file, title, text)
						}
					}
				})
				for i, l := range lines {
					if !came[i] {
						t.Errorf("%s, %s: no case prints %q", file, title, l.Words)
					}
					if len(l.When) > 0 && !stayed[i] {
						t.Errorf("%s, %s: every case prints %q", file, title, l.Words)
					}
				}
			}
		}
	}
}

// TestNamesAreKnownOnBothSides: every name in the files is a value that this package gives, and
// every value that it gives is in a file.
func TestNamesAreKnownOnBothSides(t *testing.T) {
	used, given := map[string]bool{}, map[string]bool{}
	for file, w := range wordings() {
		d := &document{sheet: rx.Sheet{Kind: rx.SheetKind(file)}}
		for title, e := range w {
			d.names(append(titleLine(t, title), linesOf(e)...), used, used, used)
		}
	}
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	give := func(e ast.Expr) {
		if text, ok := e.(*ast.BasicLit); ok && text.Kind == token.STRING {
			name, _ := strconv.Unquote(text.Value)
			given[name] = true
		}
	}
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CompositeLit:
				if of, ok := n.Type.(*ast.Ident); ok && of.Name == "values" {
					for _, e := range n.Elts {
						give(e.(*ast.KeyValueExpr).Key)
					}
				}
			case *ast.IndexExpr:
				if of, ok := n.X.(*ast.Ident); ok && of.Name == "v" {
					give(n.Index)
				}
			case *ast.CallExpr:
				if of, ok := n.Fun.(*ast.Ident); ok && of.Name == "entries" {
					give(n.Args[0])
				}
			}
			return true
		})
	}
	keys := new(label.Profile).Said(unit.US) // are given by themselves
	for name := range used {
		key, is := strings.CutPrefix(strings.TrimSuffix(name, " known"), "label's ")
		if _, known := keys[key]; !given[name] && !(is && known) {
			t.Errorf("nothing is known of {%s}", name)
		}
	}
	for name := range given {
		if !used[name] {
			t.Errorf("no file says %q", name)
		}
	}
}

// titleLine reads a title as a line, which may hold values.
func titleLine(t *testing.T, title string) []listed {
	t.Helper()
	l, err := words.ParseLine(title)
	if err != nil {
		t.Fatal(err)
	}
	return []listed{{l, ""}}
}
