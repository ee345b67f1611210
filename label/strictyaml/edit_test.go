package strictyaml

import (
	"strings"
	"testing"
)

// Only the lines of the key that is changed differ, whatever the file looks like.
func TestSetAndUnset(t *testing.T) {
	const file = "# head\nname: x  # as printed\n\n# about the rate\nrate: {low: 1 C,\n  high: 2 C}\n# next\n#spare: 3\n#list:\n#  - a\n#  - b\n# tail\nparts:\n  - a\n\n  - b # why\n\n# end\n"
	for _, c := range []struct {
		what    string
		got     []byte
		changed string // what stands instead of what
		by      string
	}{
		{"a line, its comment kept", Set([]byte(file), "name", "y"), "name: x  # as printed\n", "name: y  # as printed\n"},
		{"two lines", Set([]byte(file), "rate", "{low: 3 C}"), "rate: {low: 1 C,\n  high: 2 C}\n", "rate: {low: 3 C}\n"},
		{"a comment that shows it", Set([]byte(file), "spare", "4"), "#spare: 3\n", "spare: 4\n"},
		{"a comment of several lines", Set([]byte(file), "list", "[c]"), "#list:\n#  - a\n#  - b\n", "list: [c]\n"},
		{"a list with a gap", Set([]byte(file), "parts", Block([]string{"c", "d"})), "parts:\n  - a\n\n  - b # why\n", "parts:\n  - c\n  - d\n"},
		{"what is not there", Set([]byte(file), "new", "1"), "# end\n", "# end\nnew: 1\n"},
		{"left out", Unset([]byte(file), "rate", ""), "rate: {low: 1 C,\n  high: 2 C}\n", "#rate: {low: 1 C,\n#  high: 2 C}\n"},
		{"left out with a note", Unset([]byte(file), "rate", "none"), "rate: {low: 1 C,\n  high: 2 C}\n", "#rate: none\n"},
		{"noted where it was not", Unset([]byte(file), "spare", "none"), "#spare: 3\n", "#spare: none\n"},
		{"not there and not noted", Unset([]byte(file), "gone", ""), "", ""},
	} {
		if want := strings.Replace(file, c.changed, c.by, 1); string(c.got) != want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.what, c.got, want)
		}
	}
	if got := string(Set([]byte("a: 1"), "b", "2")); got != "a: 1\nb: 2\n" {
		t.Errorf("after a last line without an end: %q", got)
	}
	if got := string(Set(nil, "b", "2")); got != "b: 2\n" {
		t.Errorf("into an empty file: %q", got)
	}
	if !Noted([]byte("#a: none\r\n"), "a", "none") || Noted([]byte("a: none\n"), "a", "none") {
		t.Error("a note is not seen, or one that is none")
	}
}

// What is written is read back as it was meant.
func TestScalarsReadBack(t *testing.T) {
	for _, text := range []string{"x", "20 fl oz/ac", "a: b", "#1", "- x", "null", "~", `say "no"`, "it's", "[x]", "{x}", "é", "00000-000", "a, b", "yes", "&a", "*a", "!x", "%x", "@x", "5 %", "tab\there", "a #b"} {
		for form, file := range map[string]string{"alone": "name: " + Scalar(text) + "\n", "in a list": "name: x\nparts: " + FlowList([]string{Scalar(text), "y"}) + "\n"} {
			var o oven
			if err := Decode("f", []byte(file), &o).Err(); err != nil {
				t.Errorf("%s %q: %v", form, text, err)
				continue
			}
			got := o.Name
			if form != "alone" {
				got = o.Parts[0]
			}
			if got != text {
				t.Errorf("%s: wrote %q, read %q", form, text, got)
			}
		}
	}
}

// The lines below a key are a file of their own where they are a mapping with a line for each key;
// put back as they are they make the file that was, and changed they change those lines alone.
func TestInsideAndBack(t *testing.T) {
	for _, c := range []struct{ name, file, inner string }{
		{"a mapping", "a: 1\nb:\n  x: 1 # one\n  y: 2\n\n  z: {w: 3}\nc: 2\n", "x: 1 # one\ny: 2\n\nz: {w: 3}\n"},
		{"the last key", "b:\n    x: 1\n    y:\n      - 1\n", "x: 1\ny:\n  - 1\n"},
		{"a comment behind the key", "b: # why\n  x: 1\n# about c\nc: 2\n", "x: 1\n"},
		{"a comment in it", "b:\n  # about x\n  x: 1\n", "# about x\nx: 1\n"},
		{"other ends of lines", "b:\r\n  x: 1\r\nc: 2\r\n", "x: 1\r\n"},
	} {
		inner, ok := Inside([]byte(c.file), "b")
		if !ok || string(inner) != c.inner {
			t.Errorf("%s: %q %v, want %q", c.name, inner, ok, c.inner)
			continue
		}
		if back := string(SetInside([]byte(c.file), "b", inner)); back != c.file {
			t.Errorf("%s: %q comes back", c.name, back)
		}
		if changed, want := string(SetInside([]byte(c.file), "b", Set(inner, "x", "7"))), strings.Replace(c.file, "x: 1", "x: 7", 1); strings.ReplaceAll(changed, "\r", "") != strings.ReplaceAll(want, "\r", "") {
			t.Errorf("%s: %q, want %q", c.name, changed, want)
		}
	}
	for name, file := range map[string]string{
		"not there": "a: 1\n", "a value": "b: 1\n", "on one line": "b: {x: 1}\n", "a list": "b:\n  - x: 1\n", "nothing": "b:\nc: 1\n", "of two depths": "b:\n    x: 1\n  y: 2\n", "begun on the line": "b: {x: 1,\n  y: 2}\n", "a name that begins so": "bb:\n  x: 1\n",
	} {
		if inner, ok := Inside([]byte(file), "b"); ok {
			t.Errorf("%s: %q", name, inner)
		}
	}
}

// What is written on one line: without values nothing, and keys without one are left out.
func TestWrittenOnALine(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Flow([]string{"a", "b", "c"}, map[string]string{"c": "3", "a": "1", "d": "4"}), "{a: 1, c: 3}"}, {Flow([]string{"a"}, map[string]string{"b": "1"}), ""}, {Flow(nil, nil), ""},
		{FlowList([]string{"1", "2"}), "[1, 2]"}, {FlowList(nil), ""}, {Block([]string{"1", "2"}), "\n  - 1\n  - 2"}, {Block(nil), ""},
		{trailing("a: 1  # x\n"), "  # x"}, {trailing("# x\n"), ""}, {trailing("a: 1\n"), ""}, {trailing(`a: "1 # 2"` + "\n"), ""}, {trailing("a: 1 # it's\n"), ""}, {Scalar(" "), ""},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// An edited file says of all other keys what it said: one that is changed, gone or new is named.
func TestSameButForWhatChanged(t *testing.T) {
	read := func(text string) *Document {
		return Decode("f", []byte(text), &struct {
			A string   `yaml:"a"`
			B []string `yaml:"b"`
			C struct {
				D string `yaml:"d"`
			} `yaml:"c"`
		}{})
	}
	before := read("a: 1\nb: [x, y]\nc: {d: 2}\n")
	for _, c := range []struct {
		after   string
		changed []string
		names   string // empty where nothing else has changed
	}{
		{"a: 1\nb: [x, y]\nc: {d: 2}\n", nil, ""}, {"a: 2\nb: [x, y]\nc: {d: 2}\n", []string{"a"}, ""}, {"a: 2\nb: [x, y]\nc: {d: 2}\n", []string{"b", "c"}, "a"},
		{"a: 1\nb: [x, z]\nc: {d: 2}\n", []string{"a"}, "b["}, {"a: 1\nb: [x]\nc: {d: 2}\n", []string{"a"}, "b["}, {"a: 1\nb: [x]\nc: {d: 2}\n", []string{"b"}, ""}, {"a: 1\nb: [x, y, z]\nc: {d: 2}\n", []string{"c"}, "b["},
		{"a: 1\nb: [x, y]\nc: {d: 3}\n", []string{"a"}, "c.d"}, {"a: 1\nb: [x, y]\nc: {d: 3}\n", []string{"c"}, ""}, {"a: 1\nb: [x, y]\n", []string{"a"}, "c.d"}, {"b: [x, y]\nc: {d: 2}\n", []string{"c"}, "a"},
	} {
		err := Same(before, read(c.after), c.changed)
		if (err == nil) != (c.names == "") || err != nil && !strings.HasPrefix(err.Error(), c.names) {
			t.Errorf("%q but for %v: %v, want %q", c.after, c.changed, err, c.names)
		}
	}
}
