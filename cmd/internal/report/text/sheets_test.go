package text

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

func TestSheets(t *testing.T) {
	var b strings.Builder
	err := Sheets(&b, []rx.Sheet{
		{Title: "First sheet", Sections: []rx.Section{{
			Title:    "All parts",
			Cautions: []string{"Beware."},
			Facts:    []rx.Fact{{What: "Length", Value: "204 ft", Note: "of the course"}, {What: "Speed at work", Value: "15 mph"}},
			Tables: []rx.Table{{
				Title: "Weights", Head: []string{"what", "lb"}, Left: []bool{true, false},
				Rows: [][]string{{"urea", "1,500"}, {"potash", "90"}}, Total: []string{"all", "1,590"},
			}},
			Steps: []string{"Do this.", "Then that."}, Notes: []string{"A note."}, Blanks: []string{"Initials: ____"},
		}}},
		{Title: "Second sheet", Sections: []rx.Section{{Notes: []string{"Nothing."}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	rule := strings.Repeat("=", 80)
	want := rule + "\nFIRST SHEET\n" + rule + `

All parts
---------
  ! Beware.
  Length         204 ft (of the course)
  Speed at work  15 mph

  Weights
  what       lb
  urea    1,500
  potash     90
  ------  -----
  all     1,590

  1. Do this.
  2. Then that.
  A note.
  > Initials: ____
` + "\f" + rule + "\nSECOND SHEET\n" + rule + "\n\n  Nothing.\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

// No line of a real sheet is wider than paper of 80 columns, in either system of
// units, with long names too.
func TestSheetsFitThePaper(t *testing.T) {
	p := rxtest.Read(t, invent.FourZones())
	profile := rxtest.Label(t, "registered: yes\nregistration: \"00000-000\"\ndensity: 9 lb/gal\nbase: water\n")
	for _, s := range []unit.System{unit.US, unit.Metric} {
		for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads, rx.Refit} {
			for _, job := range []string{"", longJob} {
				terms := rxtest.Terms(profile)
				terms.Units = s
				if job != "" {
					var err error
					if terms.Job, err = equip.ParseJob("job.yaml", []byte(job)); err != nil {
						t.Fatal(err)
					}
					terms.Further = rxtest.FurtherOf(terms.Job)
				}
				a := rxtest.Grade(t, p, terms)
				plan, err := split.For(p, a, nil).Plan(way)
				if err != nil {
					t.Fatal(err)
				}
				var b strings.Builder
				if err := Sheets(&b, sheet.For(p, a, plan)); err != nil {
					t.Fatal(err)
				}
				for line := range strings.Lines(b.String()) {
					line = strings.Trim(line, "\f\n")
					if n := utf8.RuneCountInString(line); n > 80 {
						t.Errorf("%s, %s: %d columns: %s", way, s, n, line)
					}
				}
				if feeds, sheets := strings.Count(b.String(), "\f"), len(sheet.For(p, a, plan)); feeds != sheets-1 {
					t.Errorf("%s: %d form feeds for %d sheets", way, feeds, sheets)
				}
			}
		}
	}
}

const longJob = `
blend:
  - {name: granular ammonium sulfate, grade: 21-0-0-24S, share: 25 %, density: 62 lb/ft3}
  - {name: monoammonium phosphate, grade: 11-52-0, share: 35 %, density: 60 lb/ft3}
  - {name: muriate of potash, grade: 0-0-60, share: 40 %, density: 66 lb/ft3}
second-liquid: {name: a further liquid with a long name, loading: 64 fl oz/ton, density: 9 lb/gal}
blender: {batch: 3 ton, drum: 150 ft3, batch-time: 9 min}
spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, rates: {min: 120 lb/ac, max: 200 lb/ac}, truck: 8 ton}
boom: {width: 90 ft, spacing: 15 in, volume: 20 gal/ac, tank: 1600 gal, nozzles: ["04", "10"], pressure: {min: 20 psi, max: 60 psi}, speed: {low: 4 mph, usual: 6 mph, high: 9 mph}}
prices: {stabilizer: 40 $/gal, crop: 4 $/bu}
customer: A customer whose name is so long that it does not fit on one line of the paper (invented)
`

type brokenPaper struct{}

func (brokenPaper) Write([]byte) (int, error) { return 0, errors.New("paper jam") }

func TestSheetsTextFails(t *testing.T) {
	if err := Sheets(brokenPaper{}, []rx.Sheet{{Title: "x"}}); err == nil {
		t.Error("a write that fails is not told")
	}
}

// A blank line parts a table from what stands before it and behind it, and from the next; none begins or ends a section.
func TestBlankLinesOfASection(t *testing.T) {
	table := rx.Table{Head: []string{"a"}, Left: []bool{true}, Rows: [][]string{{"1"}}}
	one, two := []rx.Table{table}, []rx.Table{table, table}
	for _, c := range []struct {
		section rx.Section
		want    string // t for a line with text
	}{
		{rx.Section{Tables: one}, "tt"}, {rx.Section{Tables: two}, "tt tt"}, {rx.Section{Cautions: []string{"c"}, Tables: one}, "t tt"}, {rx.Section{Facts: []rx.Fact{{What: "f", Value: "v"}}, Tables: one}, "t tt"},
		{rx.Section{Tables: one, Steps: []string{"s"}}, "tt t"}, {rx.Section{Tables: one, Notes: []string{"n"}}, "tt t"}, {rx.Section{Tables: one, Blanks: []string{"b"}}, "tt t"},
		{rx.Section{Title: "x", Steps: []string{"s"}, Notes: []string{"n"}, Blanks: []string{"b"}}, "ttttt"}, {rx.Section{Cautions: []string{"c"}, Steps: []string{"s"}}, "tt"}, {rx.Section{}, ""},
	} {
		var b strings.Builder
		(&printer{w: &b}).section(c.section)
		got := ""
		for line := range strings.Lines(b.String()) {
			got += map[bool]string{true: " ", false: "t"}[strings.TrimSpace(line) == ""]
		}
		if len(c.section.Tables) > 0 { // its head is underlined, or not
			got = strings.ReplaceAll(got, "ttt", "tt")
		}
		if got != c.want {
			t.Errorf("%+v: %q, want %q:\n%s", c.section, got, c.want, b.String())
		}
	}
}
