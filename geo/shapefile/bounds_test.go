package shapefile

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/geo"
)

// What a table may have at most it may have, and no more: names of 10 bytes, fields of 255, rows and
// a head of 65 535 (the ends that dBASE III's header has room for).
func TestBoundsOfATable(t *testing.T) {
	wide := func(n, last int) (cols []geo.Column) {
		for i := range n {
			cols = append(cols, geo.Column{Name: fmt.Sprint("C", i), Width: 255})
		}
		return append(cols, geo.Column{Name: "LAST", Width: last})
	}
	many := func(n int) (cols []geo.Column) {
		for i := range n {
			cols = append(cols, geo.Column{Name: fmt.Sprint("C", i), Width: 1})
		}
		return cols
	}
	one := func(name string, width, decimals int) []geo.Column {
		return []geo.Column{{Name: name, Width: width, Decimals: decimals}}
	}
	for _, c := range []struct {
		cols []geo.Column
		want string
	}{
		{one("ABCDEFGHIJ", 1, 0), "<nil>"}, {one("ABCDEFGHIJK", 1, 0), "field \"ABCDEFGHIJK\": name has 11 bytes, a shapefile allows 10"},
		{one("", 1, 0), "has no name"}, {one("A\x1f", 1, 0), "field \"A\\x1f\": name holds a control character"}, {one("A B", 1, 0), "<nil>"},
		{one("A", 255, 0), "<nil>"}, {one("A", 256, 0), "field \"A\": width 256 is not from 1 to 255"}, {one("A", 0, 0), "field \"A\": width 0 is not from 1 to 255"},
		{one("A", 3, 1), "<nil>"}, {one("A", 3, 2), "field \"A\": 2 decimals don't fit a width of 3"}, {one("A", 3, -1), "field \"A\": -1 decimals don't fit a width of 3"},
		{wide(256, 254), "<nil>"}, {wide(256, 255), "257 fields are more than a shapefile can hold"},
		{many(2046), "<nil>"}, {many(2047), "2047 fields are more than a shapefile can hold"},
		{append(many(2), geo.Column{Name: "c1", Width: 1}), "field \"c1\": is there twice"},
	} {
		if got := fmt.Sprint(checkColumns(c.cols)); strings.TrimPrefix(got, `field "": `) != strings.TrimPrefix(c.want, `field "": `) {
			t.Errorf("%d columns, first %q: %s, want %s", len(c.cols), c.cols[0].Name, got, c.want)
		}
	}
}

// The text of a .prj is read in UTF-16 of either order where both bytes of its mark are there, and else
// as it is.
func TestTextsOfSystems(t *testing.T) {
	for text, want := range map[string]string{
		"GEOGCS": "GEOGCS", "": "", "G": "G", "\xff\xfeG\x00E\x00": "GE", "\xfe\xff\x00G\x00E": "GE", "\xff\xfe": "", "\xfe\xff": "", "\xff\xfeG": "\xff\xfeG",
		"\xffGEO": "\xffGEO", "\xfeGEO": "\xfeGEO", "G\xfeEO": "G\xfeEO", "G\xffEO": "G\xffEO", "\xff\xff..": "\xff\xff..", "\xfe\xfe..": "\xfe\xfe..",
	} {
		if got := systemText([]byte(text)); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
