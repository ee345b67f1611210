package strictyaml

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"runtime"
	"strings"
	"testing"
)

// celsius is a text type, as the quantities of the job are.
type celsius float64

func (c *celsius) UnmarshalText(b []byte) error {
	if _, err := fmt.Sscanf(string(b), "%g C", (*float64)(c)); err != nil {
		return errNotCelsius
	}
	return nil
}

var errNotCelsius = errors.New("want a temperature such as 20 C")

type maybe struct {
	c     celsius
	known bool
}

func (m *maybe) Target() any { m.known = true; return &m.c }

type span struct {
	Low  celsius `yaml:"low,required"`
	High celsius `yaml:"high"`
}

type oven struct {
	Name   string   `yaml:"name,required"`
	Shelf  int      `yaml:"shelf"`
	Fan    bool     `yaml:"fan"`
	Heat   celsius  `yaml:"heat"`
	Rest   maybe    `yaml:"rest"`
	Range  span     `yaml:"range" bare:"C"`
	Parts  []string `yaml:"parts"`
	Spans  []span   `yaml:"spans"`
	Spare  *span    `yaml:"spare-span"`
	Alike  span     `yaml:"alike" alone:"both"`
	Hidden string
}

func TestDecode(t *testing.T) {
	const text = `
name: "A: b"            # a comment
shelf: 3
fan: yes
heat: 180 C
rest: 20 C
range: {low: 10, high: 20 C}
parts: [door, 03, no, 1.50, "x, y"]
spans:
  - {low: 1 C}
  - low: 2 C
    high: 3 C
spare-span:
  low: 7 C
`
	var got oven
	if err := Decode("oven.yaml", []byte(text), &got).Err(); err != nil {
		t.Fatal(err)
	}
	want := oven{
		Name: "A: b", Shelf: 3, Fan: true, Heat: 180, Rest: maybe{20, true}, Range: span{10, 20},
		Parts: []string{"door", "03", "no", "1.50", "x, y"}, Spans: []span{{1, 0}, {2, 3}}, Spare: &span{7, 0},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

func TestDecodeOther(t *testing.T) {
	for _, c := range []struct {
		text string
		want oven
	}{
		{"name: x\nalike: 5 C\n", oven{Name: "x", Alike: span{5, 5}}},
		{"name: x\nalike: {low: 1 C, high: 2 C}\n", oven{Name: "x", Alike: span{1, 2}}},
		{"name: x\nparts: door\n", oven{Name: "x", Parts: []string{"door"}}},
		{"name: x\nspans: {low: 4 C}\n", oven{Name: "x", Spans: []span{{4, 0}}}},
		{"name: x\nparts: []\n", oven{Name: "x", Parts: []string{}}},
		{"\ufeffname: x\r\nshelf: 2\r\n", oven{Name: "x", Shelf: 2}},
		{"name: |\n  x\n", oven{Name: "x\n"}},
		{"{name: x, fan: true}", oven{Name: "x", Fan: true}},
		{"---\nname: x\n", oven{Name: "x"}},
	} {
		var got oven
		if err := Decode("f", []byte(c.text), &got).Err(); err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: got %+v, %v, want %+v", c.text, got, err, c.want)
		}
	}
}

func TestMistakes(t *testing.T) {
	const keys = "name, shelf, fan, heat, rest, range, parts, spans, spare-span, alike"
	for _, c := range []struct{ text, want string }{
		{"", "f: says nothing: it is empty, or every line begins with #"},
		{"# nothing\n", "f: says nothing: it is empty, or every line begins with #"},
		{"just text", "f:1:1: is not a mapping: want " + keys},
		{"- a\n", "f:1:1: is not a mapping: want " + keys},
		{"shelf: 1\n", "f:1:1: name: is missing: it has to be given"},
		{"name: x\nName: y\n", "f:2:1: Name: is not a key that is known here: did you mean name?"},
		{"name: x\nspare_span: {low: 1 C}\n", "f:2:1: spare_span: is not a key that is known here: did you mean spare-span?"},
		{"name: x\n\"a\\e[31m\": y\n", `f:2:1: "a\x1b[31m": is not a key that is known here: want ` + keys},
		{"name: x\n" + strings.Repeat("k", 50) + ": y\n", `f:2:1: "` + strings.Repeat("k", 40) + `...": is not a key that is known here: want ` + keys},
		{"name: x\nheat: " + strings.Repeat("1", 101) + "\n", "f:2:7: heat: is too long for one value"},
		{"name: x\na: y\n", "f:2:1: a: is not a key that is known here: want " + keys},
		{"name: x\nwindow: y\n", "f:2:1: window: is not a key that is known here: want " + keys},
		{"name: x\nHidden: y\n", "f:2:1: Hidden: is not a key that is known here: want " + keys},
		{"name: x\nfan: yes\nname: y\n", "f:3:1: name: stands in line 1 as well: keep one"},
		{"name: x\nrange: {low: 1 C, hihg: 2 C}\n", "f:2:19: range.hihg: is not a key that is known here: did you mean high?"},
		{"name: x\nrange: {high: 1 C}\n", "f:2:8: range.low: is missing: it has to be given"},
		{"name: x\nspans:\n  - low: 1 C\n  - high: 2 C\n", "f:4:5: spans[2].low: is missing: it has to be given"},
		{"name: x\nalike: 20 F\n", "f:2:8: alike: want a temperature such as 20 C"},
		{"name: x\nrange: 20 C\n", "f:2:8: range: is not a mapping: want low, high"},
		{"name: x\nheat:\n", "f:2:7: heat: has no value: give one, or leave the key out"},
		{"name: x\nheat: 20 F\n", "f:2:7: heat: want a temperature such as 20 C"},
		{"name: x\nheat: 20\n", "f:2:7: heat: want a temperature such as 20 C"},
		{"name: x\nrest: {low: 1 C}\n", "f:2:7: rest: is a mapping: want one value"},
		{"name: x\nheat: [1 C, 2 C]\n", "f:2:7: heat: is a list: want one value"},
		{"name: x\nrange: 20 C\n", "f:2:8: range: is not a mapping: want low, high"},
		{"name: x\nshelf: [1]\n", "f:2:8: shelf: is a list: want one value"},
		{"n\x00a\x00m\x00e\x00", "f: is text in UTF-16, not UTF-8: save it again as UTF-8"},
		{"\x00n\x00a\x00m\x00e", "f: is text in UTF-16, not UTF-8: save it again as UTF-8"},
		{"\xff\xfe", "f: is text in UTF-16, not UTF-8: save it again as UTF-8"},
		{"\xfe\xff", "f: is text in UTF-16, not UTF-8: save it again as UTF-8"},
		{"\r\nname,shelf\nx,1\n", "f: is a table (CSV), not YAML: want a line for each key, such as name: value"},
		{"name;shelf\n", "f: is a table (CSV), not YAML: want a line for each key, such as name: value"},
		{"name\tshelf\n", "f: is a table (CSV), not YAML: want a line for each key, such as name: value"},
		{"name: x\nshelf: two\n", `f:2:8: shelf: "two" is not a whole number`},
		{"name: x\nshelf: 1.5\n", `f:2:8: shelf: "1.5" is not a whole number`},
		{"name: x\nfan: maybe\n", `f:2:6: fan: "maybe" is not yes or no`},
		{"name:\n", "f:1:7: name: has no value: it has to be given"},
		{"name: ~\n", "f:1:7: name: has no value: it has to be given"},
		{"name: &a x\n", "f:1:7: name: has an anchor, alias or tag, which these files don't use: write the value"},
		{"name: x\nparts: *a\n", "f:2:8: parts: has an anchor, alias or tag, which these files don't use: write the value"},
		{"name: !!str x\n", "f:1:7: name: has an anchor, alias or tag, which these files don't use: write the value"},
		{"name: x\n<<: {fan: yes}\n", `f:2:1: "<<" is no key for these files: want a plain word`},
		{"name: x\n---\nname: y\n", "f:3:1: starts a second document: one file holds one"},
		{"name: x\nparts: [a,\n", "f:2:8: is not YAML: sequence end token ']' not found"},
		{"name: x: y\n", "f:1:7: is not YAML: mapping value is not allowed in this context"},
		{"name: \"x\n", "f:1:7: is not YAML: could not find end character of double-quoted text"},
		{strings.Repeat("#", maxSize+1), "f: is longer than 32 kB: this is not a file for this use"},
		{strings.Repeat("[", 1001), "f: has too many brackets: this is not a file for this use"},
		{"name: x\nparts:\n  " + strings.Repeat("- ", 10_000), "f:3:1: has too many dashes: this is not a file for this use"},
		{"name: x\rparts:\r" + strings.Repeat("- ", 21), "f:1:1: has too many dashes: this is not a file for this use"},
		{"name: x\nparts:\n" + strings.Repeat("!t - &a ? ", 11), "f:3:1: has too many dashes: this is not a file for this use"},
		{"name: x\nparts: " + strings.Repeat("-", 101) + "\nheat: hot\n", "f:3:7: heat: want a temperature such as 20 C"},
		{"é: 1\nname: x\n", "f:1:1: é: is not a key that is known here: want " + keys},
		{"name: é\nrange: {low: 1 C, ü: 2}\n", "f:2:19: range.ü: is not a key that is known here: want low, high"},
	} {
		err := Decode("f", []byte(c.text), new(oven)).Err()
		if err == nil || err.Error() != c.want {
			t.Errorf("%.40q:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestAllMistakesInOrder(t *testing.T) {
	err := Decode("f", []byte("fan: maybe\nheat: hot\nrange: {hihg: 1 C}\n"), new(oven)).Err()
	want := `f:1:1: name: is missing: it has to be given
f:1:6: fan: "maybe" is not yes or no
f:2:7: heat: want a temperature such as 20 C
f:3:8: range.low: is missing: it has to be given
f:3:9: range.hihg: is not a key that is known here: did you mean high?`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	if !errors.Is(err, errNotCelsius) {
		t.Error("the cause can't be found with errors.Is")
	}
	var one *Error
	if !errors.As(err, &one) || one.Line != 1 || one.Key != "name" {
		t.Errorf("errors.As gives %v", one)
	}
}

func TestFail(t *testing.T) {
	const text = "name: x\nrange: {low: 1 C}\nspans: [{low: 1 C}, {low: 2 C}]\n"
	for _, c := range []struct{ key, want string }{
		{"name", "f:1:7: name: is odd"},
		{"range.low", "f:2:14: range.low: is odd"},
		{"range.high", "f:2:8: range.high: is odd"},
		{"spans[2].low", "f:3:27: spans[2].low: is odd"},
		{"spans[2].high", "f:3:21: spans[2].high: is odd"},
		{"spans[9]", "f:3:8: spans[9]: is odd"},
		{"shelf", "f:1:1: shelf: is odd"},
	} {
		doc := Decode("f", []byte(text), new(oven))
		doc.Fail(c.key, "is odd")
		if got := doc.Err(); got == nil || got.Error() != c.want {
			t.Errorf("%s: got %v, want %s", c.key, got, c.want)
		}
	}
}

func TestTooManyMistakes(t *testing.T) {
	err := Decode("f", []byte("name: x\n"+strings.Repeat("a: 1\n", 50)), new(oven)).Err()
	var all Errors
	if !errors.As(err, &all) || len(all) != maxErrors+1 || all[maxErrors].Error() != "f: and 30 more mistakes" {
		t.Errorf("got %v", err)
	}
}

// mostAllocated bounds what reading a file takes from the heap, garbage included. The
// parser takes the square of the number of keys, up to 6 kB for each byte of a file
// of maxSize that is nothing but keys, "a: b"; a MB is for small files.
func mostAllocated(data []byte) uint64 { return 1<<20 + 8000*uint64(len(data)) }

// FuzzDecode looks for panics, for mistakes without words or place, and for memory
// out of proportion.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		"name: x\nrange: {low: 1 C, high: 2 C}\nparts: [a, b]\nspans:\n  - low: 1 C\n",
		"name: \"x\\u00e9\"\nfan: yes\nspare-span:\n  low: 7 C\n",
		"<<: *a\n? b\n: c\n", "name: |\n  x\n", "%YAML 1.2\n---\nname: !!int 3\n...\n", "name: x\nparts:\n- - - - - a\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		err := Decode("f", data, new(oven)).Err()
		runtime.ReadMemStats(&after)
		if took := after.TotalAlloc - before.TotalAlloc; took > mostAllocated(data) {
			t.Errorf("took %d bytes for %d, more than %d", took, len(data), mostAllocated(data))
		}
		var all Errors
		if err != nil && (!errors.As(err, &all) || len(all) == 0) {
			t.Fatalf("%q: %T: %v", data, err, err)
		}
		for _, e := range all {
			if e.What == "" || e.File != "f" || e.Line < 0 || e.Line > 1+bytes.Count(data, []byte("\n"))+bytes.Count(data, []byte("\r")) {
				t.Fatalf("%q: an error without words or place: %+v", data, e)
			}
		}
	})
}
