package page

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/internal/oracle"
	"rxsplit/internal/oracle/browser"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// longTable has rows of a number and blanks.
func longTable(rows, columns int) rx.Table {
	t := rx.Table{Head: make([]string, columns), Left: make([]bool, columns), Long: true}
	t.Head[0] = "pan"
	for i := range rows {
		row := make([]string, columns)
		row[0] = fmt.Sprint(i + 1)
		t.Rows = append(t.Rows, row)
	}
	return t
}

func TestLongTablesStandSideBySide(t *testing.T) {
	for _, test := range []struct {
		rows, columns int
		want          string // blocks of parts of rows
	}{
		{8, 5, ""}, // few enough as they are
		{25, 5, "[13 12]"},
		{25, 3, "[9 9 7]"},
		{201, 5, "[26 26] [26 26] [26 26] [23 22]"},
		{53, 5, "[26 26] [1]"},
	} {
		table := sheetTable(longTable(test.rows, test.columns))
		var got []string
		var names []string
		for _, b := range table.Blocks {
			var parts []int
			for _, p := range b.Parts {
				parts = append(parts, len(p.Rows))
				for _, row := range p.Rows {
					names = append(names, row[0].Text)
				}
				if want := fmt.Sprintf("pan %s to %s", p.Rows[0][0].Text, p.Rows[len(p.Rows)-1][0].Text); p.Caption != want {
					t.Errorf("a part is named %q, want %q", p.Caption, want)
				}
			}
			got = append(got, fmt.Sprint(parts))
		}
		if strings.Join(got, " ") != test.want {
			t.Errorf("%d rows of %d: %q, want %s", test.rows, test.columns, got, test.want)
		}
		for i, name := range names {
			if name != fmt.Sprint(i+1) {
				t.Fatalf("%d rows of %d: row %d is %s", test.rows, test.columns, i+1, name)
			}
		}
		if len(names)+len(table.Rows) != test.rows {
			t.Errorf("%d rows of %d: %d of them", test.rows, test.columns, len(names))
		}
	}
}

func TestBlanksKeepTogether(t *testing.T) {
	for text, want := range map[string]pageBlank{
		"Initials":                   {Parts: []string{"Initials"}, Line: true},
		"Tons: __":                   {Parts: []string{"Tons: __"}},
		"Operator: ____; Date: ____": {Parts: []string{"Operator: ____; ", "Date: ____"}},
		"Operator: ________________________; Date: ____": {Parts: []string{"Operator:", "Date:"}, Sign: true},
	} {
		if got := blankOf(text); got.Line != want.Line || got.Sign != want.Sign || !slices.Equal(got.Parts, want.Parts) {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// twentyFivePans are an invented spreader and test.
const twentyFivePans = `
spreader:
  swath: 70 ft
  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}
  pan-test: {rate: 200 lb/ac, passes: PASSES, spacing: 5 ft, caught: [0, 1, 3, 6, 9, 13, 16, 19, 20, 22, 21, 22, 20, 21, 22, 21, 19, 18, 15, 12, 9, 5, 3, 1, 0]}
`

// keepsPansOnOnePage prints pan tests of both kinds: all pans of each stand on one
// page.
func keepsPansOnOnePage(t *testing.T, tab context.Context) {
	tool := oracle.Tool(t, "pdftotext") // Debian: poppler-utils
	for _, passes := range []string{"single", "overlapped"} {
		job, err := equip.ParseJob("job.yaml", []byte(reporttest.Job+strings.Replace(twentyFivePans, "PASSES", passes, 1)))
		if err != nil {
			t.Fatal(err)
		}
		terms := rxtest.Terms(rxtest.Label(t, ""))
		terms.Job = job
		r := reporttest.PlanFor(t, rxtest.Read(t, rxtest.Strip(rxtest.FourGrounds()...)), terms, rx.WetBoom)
		browser.Do(t, tab, chromedp.Navigate("about:blank"), chromedp.Navigate(onDisk(t, pageOf(t, r))+"#print=sheet-1")) // alone it has all its tests
		for name, paper := range map[string]chromedp.PaperSize{"Letter": chromedp.PaperLetter, "A4": chromedp.PaperA4} {
			pages := printed(t, tab, tool, paper)
			first, last := pageWith(pages, "60 ft left"), pageWith(pages, "60 ft right")
			if first == 0 || first != last {
				t.Errorf("%s, %s: the pans begin on page %d and end on page %d", passes, name, first, last)
			}
		}
	}
}

// pageWith returns the number of the first page that has a text, 0 if none has.
func pageWith(pages []string, text string) int {
	for i, page := range pages {
		if strings.Contains(strings.Join(strings.Fields(page), " "), text) {
			return i + 1
		}
	}
	return 0
}
