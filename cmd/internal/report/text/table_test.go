package text

import (
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx/rxtest"
)

// A name that is too long for a terminal stands above its row; the others stay beside
// their figures.
func TestLongNamesKeepTheTableNarrow(t *testing.T) {
	long := "folder/" + strings.Repeat("long-name-", 7) + ".geojson" // 85
	fits := strings.Repeat("n", lineWidth-2-len("  zones  area  off label"))
	columns := []column{{"file", true}, {"zones", false}, {"area", false}, {"", true}}
	rows := func(names ...string) (list [][]string) {
		for _, name := range names {
			list = append(list, []string{name, "48", "1.00", "off label"})
		}
		return list
	}
	for _, c := range []struct {
		name  string
		names []string
		want  []string
	}{
		{"short", []string{"a", "bb"}, []string{"  file  zones  area", "  a        48  1.00  off label", "  bb       48  1.00  off label"}},
		{"long", []string{"a", long}, []string{"  file  zones  area", "  a        48  1.00  off label", "  " + long, "           48  1.00  off label"}},
		{"just fits", []string{fits}, []string{"  file" + strings.Repeat(" ", len(fits)-4) + "  zones  area", "  " + fits + "     48  1.00  off label"}},
		{"one too many", []string{fits + "n"}, []string{"  file  zones  area", "  " + fits + "n", "           48  1.00  off label"}},
	} {
		var b strings.Builder
		p := &printer{w: &b}
		p.table("  ", columns, rows(c.names...))
		if got := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n"); strings.Join(got, "\n") != strings.Join(c.want, "\n") {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, b.String(), strings.Join(c.want, "\n"))
		}
	}
}

// A file that is named twice is told from two files of one name.
func TestFilesNamedTwice(t *testing.T) {
	for _, c := range []struct{ a, b, want string }{
		{"f/a.shp", "f/a.shp", "f/a.shp is named twice: it is counted twice."},
		{"f/a.shp", "./f/a.shp", "./f/a.shp is named twice: it is counted twice."},
		{"f/a.shp", "f/a.zip", "f/a.shp and f/a.zip have one name: if they are one prescription, it is counted twice."},
		{"f/a.shp", "g/a.shp", ""},
	} {
		table := table{rows: [][]string{{c.a, "on label"}, {c.b, "on label"}}}
		if got := strings.Join(table.notes(), " "); got != c.want {
			t.Errorf("%s, %s: got %q, want %q", c.a, c.b, got, c.want)
		}
	}
}

// The table says at which loading its acres are graded: the plant's, where that is fixed.
func TestTableNamesItsLoading(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 170})
	for loading, want := range map[unit.Loading]string{0: "impregnated at its field's mean, in ac:", 400: "impregnated at 400 fl oz/ton, in ac:"} {
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Loading = loading
		var b strings.Builder
		table := NewTable(&b, false)
		table.Add(RowOf("a.shp", report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms)}))
		if err := table.Close(); err != nil || !strings.Contains(b.String(), want) {
			t.Errorf("%v: %v, got %q", loading, err, b.String())
		}
	}
}

// What is printed reaches a terminal as plain text.
func TestPrintedIsPlain(t *testing.T) {
	var b strings.Builder
	p := &printer{w: &b}
	p.f("field %s\n", "X\x1b]0;Y\a")
	if got, want := b.String(), "field X\uFFFD]0;Y\uFFFD\n"; got != want {
		t.Errorf("printed as %q, want %q", got, want)
	}
}
