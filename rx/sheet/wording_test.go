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

	"rxsplit/label/unit"
	"rxsplit/rx"
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
		for title, lines := range w {
			for _, l := range lines {
				pattern := patternOf(file, l.text)
				if !strings.HasPrefix(title, phraseTitle) {
					pattern = "(?m)^" + pattern + "$"
				}
				list = append(list, WordLine{file, title, regexp.MustCompile(pattern)})
			}
		}
	}
	return list
}

// patternOf matches what a text prints: either of two texts for units, any of the lines of a
// phrase, and whatever a value is.
func patternOf(file, text string) string {
	pattern, end := "", 0
	for _, at := range inBraces.FindAllStringIndex(text, -1) {
		pattern += regexp.QuoteMeta(text[end:at[0]])
		space, name, _ := strings.Cut(strings.TrimSuffix(text[at[0]:at[1]], "}"), "{")
		lines, ok := wordings()[file][phraseTitle+name]
		if !ok {
			lines = wordings()["shared"][phraseTitle+name]
		}
		one := ".*"
		if us, metric, both := strings.Cut(name, apart); both {
			one = space + "(?:" + regexp.QuoteMeta(us) + "|" + regexp.QuoteMeta(metric) + ")"
		} else if len(lines) > 0 {
			var all []string
			for _, l := range lines {
				all = append(all, space+patternOf(file, l.text))
			}
			one = "(?:" + strings.Join(all, "|") + "|)"
		}
		pattern, end = pattern+one, at[1]
	}
	return pattern + regexp.QuoteMeta(text[end:])
}

// names collects the conditions, values and lists that lines use, phrases included.
func (d *document) names(lines []line, conditions, texts, lists map[string]bool) {
	for _, l := range lines {
		if l.each != "" {
			lists[l.each] = true
		}
		for _, c := range l.when {
			conditions[c.name] = true
		}
		for _, name := range inBraces.FindAllString(l.text, -1) {
			_, name, _ = strings.Cut(strings.TrimSuffix(name, "}"), "{")
			if of, ok := d.lines(phraseTitle + name); ok {
				d.names(of, conditions, texts, lists)
			} else if !strings.Contains(name, apart) {
				texts[name] = true
			}
		}
	}
}

// cases calls do for every combination of the conditions of the lines; those of phrases in
// them, which have cases of their own, do not hold.
func (d *document) cases(lines []line, do func(v values)) {
	conditions, texts, lists := map[string]bool{}, map[string]bool{}, map[string]bool{}
	d.names(lines, conditions, texts, lists)
	var list []string
	for _, l := range lines {
		for _, c := range l.when {
			if !slices.Contains(list, c.name) {
				list = append(list, c.name)
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
		for title, lines := range w {
			for _, s := range []unit.System{unit.US, unit.Metric} {
				kind := rx.SheetKind(file)
				if file == "shared" {
					kind = rx.BoomSheet
				}
				d := &document{inputs: &inputs{show: show{s}}, sheet: rx.Sheet{Kind: kind}}
				came, stayed := make([]bool, len(lines)), make([]bool, len(lines))
				d.cases(append([]line{{text: title}}, lines...), func(v values) {
					var texts []string
					if name, is := strings.CutPrefix(title, phraseTitle); is {
						first := slices.IndexFunc(lines, func(l line) bool { return d.holds(l, v) })
						for i := range lines {
							came[i], stayed[i] = came[i] || i == first, stayed[i] || i != first
						}
						texts = []string{d.phrase(name, v)}
					} else {
						for i, l := range lines {
							if n := strings.Count(d.inUnits(l.text), apart); l.list == figures && n != 1 && n != 2 || l.list != figures && n > 0 {
								t.Fatalf("%s, %s: a figure is name | value | note, nothing else has parts: %s", file, title, l.text)
							}
							holds := d.holds(l, v)
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
						t.Errorf("%s, %s: no case prints %q", file, title, l.text)
					}
					if len(l.when) > 0 && !stayed[i] {
						t.Errorf("%s, %s: every case prints %q", file, title, l.text)
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
		for title, lines := range w {
			d.names(append([]line{{text: title}}, lines...), used, used, used)
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
				if of, ok := n.Fun.(*ast.Ident); ok && of.Name == "each" {
					give(n.Args[0])
				}
			}
			return true
		})
	}
	for name := range used {
		if !given[name] {
			t.Errorf("nothing is known of {%s}", name)
		}
	}
	for name := range given {
		if !used[name] {
			t.Errorf("no file says %q", name)
		}
	}
}

// TestMistakesInWordsAreFound: a file with a mistake is refused, and says where.
func TestMistakesInWordsAreFound(t *testing.T) {
	const good = "# remark\n\n## Title\nNotes\n- [if a and not b] text that\n  goes on\n\n## Phrase: c\n- text\n"
	w, err := parse(good)
	if err != nil || len(w["Title"]) != 1 || w["Title"][0].text != "text that goes on" || len(w["Title"][0].when) != 2 || w["Title"][0].when[1] != (condition{"b", false}) {
		t.Fatalf("%v: %+v", err, w)
	}
	for _, bad := range []struct{ text, want string }{
		{"Notes\n- text before a title\n", "line 2"},
		{"## Title\n- in no list\n", "line 2"},
		{"## Title\nNots\n- text\n", "line 2"},
		{"## Title\nNotes\n  goes on from nothing\n", "line 3"},
		{"## Title\nNotes\n- [when a] text\n", "line 3"},
		{"## Title\nNotes\n- [if a text\n", "line 3"},
		{"## Title\n\n## Title\n", "line 3"},
		{"## Phrase: a\nNotes\n- text\n", "line 3"},
	} {
		if _, err := parse(bad.text); err == nil || !strings.Contains(err.Error(), bad.want) {
			t.Errorf("%q: %v", bad.text, err)
		}
	}
}
