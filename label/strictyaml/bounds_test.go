package strictyaml

import (
	"reflect"
	"strings"
	"testing"
)

// doneness is one of some words.
type doneness string

func (doneness) Choices() []string { return []string{"rare", "well done"} }

// What is just within a bound is read as it is meant, and the next longer is refused.
func TestBothSidesOfEachBound(t *testing.T) {
	const brackets = "a: '[{"
	for _, c := range []struct{ what, before, fill, after, refused string }{
		{"bytes of a file", "a: x\n", strings.Repeat("#", maxSize-len("a: x\n")), "", "is longer than 32 kB: this is not a file for this use"},
		{"brackets", brackets, strings.Repeat("[", 1000-2), "'\n", "has too many brackets: this is not a file for this use"},
		{"dashes of a line", "a: x\nb:\n  ", strings.Repeat("- ", 19) + "- ", "x\n", "has too many dashes: this is not a file for this use"},
		{"one value", "a: x\nn: ", strings.Repeat("0", 99) + "7", "\n", "is too long for one value"},
	} {
		into := func() *Document {
			return Decode("f", []byte(c.before+c.fill+c.after), &struct {
				A string `yaml:"a"`
				B []any  `yaml:"b"`
				N int    `yaml:"n"`
			}{})
		}
		if err := into().Err(); err != nil && strings.Contains(err.Error(), c.refused) {
			t.Errorf("%s: what is within is refused: %.200v", c.what, err)
		}
		c.fill = c.fill[:1] + c.fill
		if c.what == "dashes of a line" {
			c.fill = "- " + c.fill[1:]
		}
		if err := into().Err(); err == nil || !strings.Contains(err.Error(), c.refused) {
			t.Errorf("%s: one more is not refused for that: %.200v", c.what, err)
		}
	}
	var o oven
	if err := Decode("f", []byte("name: x"+strings.Repeat(" -", 30)+"\n"), &o).Err(); err != nil || o.Name != "x"+strings.Repeat(" -", 30) {
		t.Errorf("dashes of a text: %q, %v", o.Name, err)
	}
	for name, want := range map[string]string{strings.Repeat("é", 40): strings.Repeat("é", 40), strings.Repeat("é", 41): strings.Repeat("é", 40) + "..."} {
		if got := shorten(name); got != want {
			t.Errorf("%q is cut to %q", name, got)
		}
	}
}

// A word of some, what stands alone for a list and for a mapping, and numbers that are 0: what
// is read, where each key stands, and which words are refused.
func TestWordsListsAndZeros(t *testing.T) {
	type grill struct {
		Done  doneness `yaml:"done"`
		Parts []string `yaml:"parts"`
		Spans []span   `yaml:"spans"`
		Alike span     `yaml:"alike" alone:"both"`
		Heat  celsius  `yaml:"heat" above:"0"`
		Rest  maybe    `yaml:"rest" above:"0"`
		Cool  celsius  `yaml:"cool"`
		Warm  celsius  `yaml:"warm" above:"0"`
	}
	var got grill
	doc := Decode("f", []byte("done: ' well done '\nparts: [door]\nspans: {low: 1 C}\nalike: 20 C\nheat: 0 C\nrest: 0 C\ncool: 0 C\nwarm: 1 C\n"), &got)
	want := grill{"well done", []string{"door"}, []span{{Low: 1}}, span{20, 20}, 0, maybe{0, true}, 0, 1}
	if err := doc.Err(); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("read %+v, %v, want %+v", got, err, want)
	}
	if zeros := strings.Join(doc.Zeros, " "); zeros != "heat rest" {
		t.Errorf("0 are %s", zeros)
	}
	if all, want := doc.All(), map[string]string{"done": "well done", "parts[1]": "door", "spans.low": "1 C", "alike": "20 C", "alike.low": "20 C", "alike.high": "20 C", "heat": "0 C", "rest": "0 C", "cool": "0 C", "warm": "1 C"}; !reflect.DeepEqual(all, want) {
		t.Errorf("written is %v, want %v", all, want)
	}
	for key, want := range map[string][2]int{"parts[1]": {2, 9}, "parts": {2, 8}, "spans[1].low": {3, 14}, "alike.high": {4, 8}, "alike": {4, 8}, "gone.low": {1, 1}} {
		if line, column := doc.Place(key); [2]int{line, column} != want {
			t.Errorf("%s stands in line %d, column %d, want %d", key, line, column, want)
		}
	}
	for text, want := range map[string]string{
		"done: blue\n":           `f:1:7: done: "blue" is not one of rare, well done`,
		"done: ''\n":             `f:1:7: done: "" is not one of rare, well done`,
		"done: [rare]\n":         "f:1:7: done: is a list: want one value",
		"spans: [{high: 2 C}]\n": "f:1:9: spans[1].low: is missing: it has to be given",
	} {
		if err := Decode("f", []byte(text), new(grill)).Err(); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// The name that was probably meant: two letters off at most, and fewer than it has.
func TestNearest(t *testing.T) {
	names := []string{"ab", "hold", "season-max", "ppe", strings.Repeat("k", 45)}
	for word, want := range map[string]string{
		"HOLD": "hold", "hodl": "hold", "helt": "hold", "xyld": "hold", "xyzd": "", "season_max": "season-max", "seasonmx": "season-max", "ax": "ab", "pe": "ppe", "p": "", "aee": "ab", strings.Repeat("k", 44): "", "": "",
		"holding": "", "xy": "",
	} {
		if got := Nearest(names, word); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
	for c, want := range map[[2]string]int{{"", "abc"}: 3, {"abc", ""}: 3, {"kitten", "sitting"}: 3, {"flaw", "lawn"}: 2, {"a_b", "a-b"}: 0, {"ab", "ba"}: 2, {strings.Repeat("k", 40), strings.Repeat("k", 41)}: 1} { // the first two pairs are the textbooks'
		if got := distance(c[0], c[1]); got != want {
			t.Errorf("%q: %d, want %d", c, got, want)
		}
	}
}

// A comment behind a value goes with what takes more lines than one, before and after.
func TestCommentsOfWhatIsChanged(t *testing.T) {
	for _, c := range []struct{ what, got, want string }{
		{"of a line that becomes more", string(Set([]byte("a: x # why\nb: y\n"), "a", Block([]string{"1"}))), "a:\n  - 1\nb: y\n"},
		{"of the first of two lines", string(Set([]byte("a: {x: 1, # why\n  y: 2}\nb: y\n"), "a", "z")), "a: z\nb: y\n"},
		{"of a last line without an end", string(Set([]byte("b: y\na: x # why"), "a", "z")), "b: y\na: z # why\n"},
		{"a last line without an end, noted", string(Unset([]byte("b: y\na: x"), "a", "none")), "b: y\n#a: none\n"},
		{"a last line without an end that shows it", string(Set([]byte("b: y\n#a: x"), "a", "z")), "b: y\na: z\n"},
		{"text that a page would escape", Scalar("a<b>&c: d"), `"a<b>&c: d"`},
		{"text without quotes", Scalar("20 fl oz/ac"), "20 fl oz/ac"},
		{"a comment before the first key", indentOf([]string{"# x\n", " # y\n", "\n", "   a: 1\n"}), "   "},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", c.what, c.got, c.want)
		}
	}
}
