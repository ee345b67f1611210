package page

import (
	"strings"
	"testing"
)

// Names and figures with a hyphen or a sign stay on one line, and what stands in them is text.
func TestUnbroken(t *testing.T) {
	for text, want := range map[string]string{
		"within the label": "within the label",
		"dry-1, dry-2":     `<span class="w">dry-1</span>, <span class="w">dry-2</span>`,
		"+2.54 %":          `<span class="w">&#43;2.54 %</span>`,
		"off by -3 or 4":   `off by <span class="w">-3</span> or 4`,
		"a-<b> & c":        `<span class="w">a-&lt;b&gt;</span> &amp; c`,
	} {
		if got := string(unbroken(text)); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

// What a column of a sheet holds is the longest words of all columns, with one letter between
// them. A row may have fewer cells than there are heads.
func TestTight(t *testing.T) {
	named := func(letters int) pageTable {
		return pageTable{Head: heads("<name", "ac"), Rows: [][]pageCell{{words(strings.Repeat("a", letters)), number("+2.5 %")}, {words("all")}}}
	}
	fits := mostLetters - len("+2.5_%") - 2
	for _, c := range []struct {
		what  string
		table pageTable
		tight bool
	}{
		{"all that fits", named(fits), false},
		{"a letter more", named(fits + 1), true},
		{"no head", pageTable{}, false},
	} {
		if got := c.table.Tight(); got != c.tight {
			t.Errorf("%s: tight is %v", c.what, got)
		}
	}
	wide := named(fits + 1)
	if wide.Wide = true; wide.Tight() {
		t.Error("a table that has the whole width is tight")
	}
}
