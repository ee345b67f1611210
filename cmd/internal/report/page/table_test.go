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
// them: 56, of which "+2.5 %" takes 6 here, and bold ones of the first column 1.15 each. A row
// may have fewer cells than there are heads.
func TestTight(t *testing.T) {
	named := func(name string) pageTable {
		return pageTable{Head: heads("<name", "ac"), Rows: [][]pageCell{{words(name), number("+2.5 %")}, {words("all")}}}
	}
	wide := named(strings.Repeat("a", 60))
	wide.Wide = true
	for _, c := range []struct {
		what         string
		table        pageTable
		tight, broad bool
	}{
		{"all that fits", named(strings.Repeat("a", 41)), false, false},
		{"a letter more", named(strings.Repeat("a", 42)), true, true},
		{"a letter more that can be parted", named("a-" + strings.Repeat("a", 40)), true, false},
		{"capitals that fit", named(strings.Repeat("A", 32)), false, false},
		{"a capital more", named(strings.Repeat("A", 33)), true, true},
		{"two words", named(strings.Repeat("a", 41) + " " + strings.Repeat("a", 41)), false, false},
		{"no head", pageTable{}, false, false},
		{"one that has the whole width", wide, false, false},
	} {
		if tight, broad := c.table.Tight(), c.table.Broad(); tight != c.tight || broad != c.broad {
			t.Errorf("%s: tight is %v, broad %v", c.what, tight, broad)
		}
	}
}
