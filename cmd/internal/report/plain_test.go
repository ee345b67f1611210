package report

import (
	"strings"
	"testing"
)

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
	var b strings.Builder
	p := &printer{w: &b}
	p.f("field %s\n", "X\x1b]0;Y\a")
	if got, want := b.String(), "field X\uFFFD]0;Y\uFFFD\n"; got != want {
		t.Errorf("printed as %q, want %q", got, want)
	}
}
