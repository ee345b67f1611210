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
