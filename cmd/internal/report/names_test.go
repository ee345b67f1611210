package report

import (
	"slices"
	"testing"

	"rxsplit/rx"
)

func TestNamesStayOnOneLine(t *testing.T) {
	for _, c := range []struct{ message, want string }{
		{"in/a\nb.zip: no such file", `"in/a\nb.zip": no such file`},
		{"a\nb.zip: is empty\na\nb.zip: is short", `"a\nb.zip": is empty` + "\n" + `"a\nb.zip": is short`},
		{"in/plain.zip: no such file", "in/plain.zip: no such file"},
	} {
		if got := OneLine(c.message, "in/plain.zip", "in/a\nb.zip"); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestWordsToType(t *testing.T) {
	for word, want := range map[string]string{
		"a.zip": "a.zip", "my field.zip": "'my field.zip'", "it's": `'it'\''s'`, "": "''",
		"a\nb\\'c": `$'a\nb\\\'c'`, "~/x": "'~/x'",
		"30\tfl oz/ac": `$'30\tfl oz/ac'`, "ö\x1b[31m": `$'ö\x1b[31m'`, "a\xff": `$'a\xff'`, "30\u202e": `$'30\xe2\x80\xae'`,
	} {
		if got := Word(word); got != want {
			t.Errorf("%q: got %s, want %s", word, got, want)
		}
	}
}

func TestPlain(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Rate, lb/ac – Größe\n  施肥\n", "Rate, lb/ac – Größe\n  施肥\n"},
		{"\x1b[2Jgone", "\uFFFD[2Jgone"},
		{"a\rb\tc\x00\x7f\u009b", "a\uFFFDb\uFFFDc\uFFFD\uFFFD\uFFFD"},
		{"30\u202e001", "30\uFFFD001"},
		{"a\xffb", "a\uFFFDb"},
	} {
		if got := Plain(c.text); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.text, got, c.want)
		}
	}
}

// Fields with one reason to share no loading stand together, in the order of their first.
func TestApartByReason(t *testing.T) {
	field := func(way rx.WayName, why string) DayField { return DayField{Way: way, Apart: why} }
	d := Day{Fields: []DayField{
		field(rx.WetBoom, "a"), field(rx.WetBoom, "b"), field(rx.WetBoom, "a"), field(rx.WetBoom, ""), field("", "a"), field(rx.WetBoom, "a"),
	}}
	if got := DayApart(d); !slices.Equal(got, []string{"Fields 1, 3, 6: a", "Field 2: b"}) {
		t.Errorf("%q", got)
	}
}
