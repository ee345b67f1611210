package main

import (
	"slices"
	"strings"
	"testing"
)

// On a terminal a message is no wider than 80 columns, but for words that are; what follows such a
// word is broken all the same.
func TestFold(t *testing.T) {
	long, words := strings.Repeat("x", 90), strings.TrimSpace(strings.Repeat("abcd ", 30))
	for _, c := range []struct {
		line string
		want []string
	}{
		{"short", []string{"short"}},
		{words, []string{words[:79], "    " + words[80:]}},
		{long, []string{long}},
		{long + " " + words[:99], []string{long, "    " + words[:74], "    " + words[75:99]}},
		{"rxsplit: error: " + long + ": " + words[:79], []string{"rxsplit: error:", "    " + long + ":", "    " + words[:74], "    " + words[75:79]}},
	} {
		if got := fold(c.line, "    "); !slices.Equal(got, c.want) {
			t.Errorf("%q becomes %q, want %q", c.line, got, c.want)
		}
	}
}
