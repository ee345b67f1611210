package words_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx/words"
)

// known are values of which the empty ones don't hold.
type known struct {
	system unit.System
	texts  map[string]string
	each   []words.Values
}

func (k known) Units() unit.System         { return k.system }
func (k known) Holds(name string) bool     { return k.texts[name] != "" }
func (k known) Each(string) []words.Values { return k.each }
func (k known) Text(name, form string) (string, bool) {
	text, ok := k.texts[name]
	if form == "loud" {
		return strings.ToUpper(text), ok
	}
	return text, ok && form == ""
}

const file = `# A remark.

## entry
text: [if a] first {a}
text: [if not a] never
text: ; then {b, loud} {empty} and
  {2 ft, wide | 0.6 m} {2 ft | 0.6 m}
figure: {a} | {b}|{2 ft | 0.6 m} | c: d
line: [for each one] {name}.
line: [if a and b] both
line: [if a and empty] not

## choice
- [if empty] nothing
- [if a and not empty] this | that
- else
`

func TestBook(t *testing.T) {
	book, err := words.Parse(file)
	if err != nil {
		t.Fatal(err)
	}
	of := func(name string) words.Values { return known{texts: map[string]string{"name": name}} }
	k := known{unit.US, map[string]string{"a": "A", "b": "b", "empty": ""}, []words.Values{of("one"), of("two")}}
	e := book["entry"]
	if got, want := e.Joined("text", k), "first A; then B and {2 ft, wide | 0.6 m} 2 ft"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := e.All("line", k), [][]string{{"one."}, {"two."}, {"both"}}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := book["choice"].First(k), "this | that"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := e.First(k); got != "" {
		t.Errorf("no line to choose from says %q", got)
	}
	listed, err := words.Parse("## entry\nNotes\n- [if a] {a}\n- more that\n  goes on\n## choice\n- else\n", "Notes")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := listed["entry"].All("Notes", k), [][]string{{"A"}, {"more that goes on"}}; !reflect.DeepEqual(got, want) || listed["choice"].First(k) != "else" {
		t.Errorf("got %q, want %q", got, want)
	}
	k.system = unit.Metric
	if got, want := e.All("figure", k), [][]string{{"A", "b|0.6 m", "c: d"}}; !reflect.DeepEqual(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	k.texts["a"] = "A | B" // a value makes no columns
	if got := e.All("figure", k); len(got[0]) != 3 {
		t.Errorf("got %q", got)
	}
}

// Mistakes are found with their line.
func TestMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"## a\ntext: b\n## a\n":       `line 3: "## a" is no new title, nor a line of one`,
		"text: b\n":                   `line 1: "text: b" is no new title, nor a line of one`,
		"- b\n":                       `line 1: "- b" is no new title, nor a line of one`,
		"## a\nwords\n":               `line 2: "words" is no new title, nor a line of one`,
		"## a\n  goes on\n":           `line 2: "  goes on" is no new title, nor a line of one`,
		"## a\ntext: {b\n\n":          `line 2: "{b": a brace is not closed`,
		"## a\n- [when b] c\n":        `line 2: "[when b] c": want [if ...] or [for each ...]`,
		"## a\n- [if b c\n":           `line 2: "[if b c": want [if ...] or [for each ...]`,
		"## a\n- [if b] \n":           `line 2: "[if b] ": nothing is said`,
		"## a\ntext: b\n  and c\n- d": "<nil>",
	} {
		if _, err := words.Parse(text); fmt.Sprint(err) != want {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}
