package page

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/internal/oracle"
	"rxsplit/internal/oracle/browser"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
)

// paperCase is a plan to be printed, and on how many pages at most.
type paperCase struct {
	name   string
	result report.Result
	most   int
}

// paperCases are all ways, one load and three, in both systems of units, on the terms of the
// demo.
func paperCases(t *testing.T) []paperCase {
	field := rxtest.Read(t, reporttest.Contours(t))
	one := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 40, Rate: 150}, rxtest.Ground{Acres: 30, Rate: 220}))
	wide := rxtest.Read(t, rxtest.Strip(rxtest.Ground{Acres: 40, Rate: 100}, rxtest.Ground{Acres: 60, Rate: 250}, rxtest.Ground{Acres: 45, Rate: 480}))
	text, err := os.ReadFile("../../app/demo/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := equip.ParseJob("job.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	terms := rxtest.Terms(rxtest.Profile(t, string(label.DemoYAML())))
	terms.Job = job
	metric := terms
	metric.Units = unit.Metric
	small, blender := *job, *job.Blender // sixty batches, so that cards are full
	blender.Batch = 700                  // lb
	small.Blender = &blender
	full := terms
	full.Job = &small
	many := reporttest.PlanFor(t, field, terms, rx.Refit)
	many.Plan.Way.Conditions = slices.Repeat(many.Plan.Way.Conditions, 9)
	many.Sheets[0] = sheet.Release(many.Prescription, many.Assessment, many.Plan, many.Ways, nil)
	return []paperCase{
		{"many conditions", many, 12},
		{"boom", reporttest.PlanFor(t, field, terms, rx.WetBoom), 10},
		{"two loads", reporttest.PlanFor(t, field, terms, rx.Loads), 14},
		{"base", reporttest.PlanFor(t, field, terms, rx.Base), 11},
		{"refit", reporttest.PlanFor(t, field, terms, rx.Refit), 11},
		{"refit, full cards", reporttest.PlanFor(t, field, full, rx.Refit), 15},
		{"two loads, full cards", reporttest.PlanFor(t, field, full, rx.Loads), 18},
		{"one load", reporttest.PlanFor(t, one, terms, rx.OneLoad), 9},
		{"three loads", reporttest.PlanFor(t, wide, terms, rx.Loads), 14},
		{"metric loads", reporttest.PlanFor(t, field, metric, rx.Loads), 15},
	}
}

// printsCardsAndSheets prints every way on both papers: a card is a page, each page names its
// sheet, field and load, no short table is cut, no heading stands last, nothing is small.
func printsCardsAndSheets(t *testing.T, tab context.Context) {
	for _, c := range paperCases(t) {
		first := "Report " + c.result.Assessment.Terms.Job.Field + " · all loads"
		printsWhole(t, tab, c.name, pageOf(t, c.result), first, c.result.Sheets, c.most)
	}
}

// printsWhole prints a page on both papers, and looks at all that holds of any.
func printsWhole(t *testing.T, tab context.Context, name string, page []byte, first string, sheets []rx.Sheet, most int) {
	tool := oracle.Tool(t, "pdftotext") // Debian: poppler-utils
	browser.Scheme(t, tab, "dark")      // paper is light all the same
	browser.Do(t, tab, chromedp.EmulateViewport(710, 1000), chromedp.Navigate(onDisk(t, page)))
	if _, err := chromedp.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	// What is wider than the paper makes the browser print all of it smaller.
	const a4 = 710 // px between the margins, the narrower of both
	if got := browser.Evaluate[int](t, tab, `document.scrollingElement.scrollWidth`); got > a4 {
		t.Errorf("%s: %d px wide, the paper is %d", name, got, a4)
	}
	if got := browser.Evaluate[[]string](t, tab, smallType); len(got) > 0 {
		t.Errorf("%s: smaller than 10 pt: %q", name, got)
	}
	tables := browser.Evaluate[int](t, tab, markTables)
	browser.Scheme(t, tab, "dark") // as it was, not print
	headings := browser.Evaluate[[]string](t, tab, `[...document.querySelectorAll("h2, h3, caption, thead tr")].map(e => e.textContent.replaceAll(/\s/g, "")).filter(s => s)`)
	for on, paper := range map[string]chromedp.PaperSize{"Letter": chromedp.PaperLetter, "A4": chromedp.PaperA4} {
		file := pdfOf(t, tab, paper)
		p := paperTest{t, name + ", " + on, pagesOf(t, tool, "-layout", file)}
		p.count(most)
		p.heads(first, sheets)
		p.cards(sheets)
		p.uncut(tables, pagesOf(t, tool, "-raw", file))
		p.lastLines(headings)
	}
}

// smallType lists what is printed smaller than 10 pt, which are 13.33 px.
const smallType = `[...document.querySelectorAll("body *")].filter(e => e.getClientRects().length && !e.closest(".ear, .skip, .field") &&
	[...e.childNodes].some(n => n.nodeType == 3 && n.data.trim())).map(e => {
		const size = parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement ? e.getScreenCTM().a : 1);
		return [size, size.toFixed(2) + " px: " + e.textContent.trim().slice(0, 40)]; }).filter(([size]) => size < 13.3).map(([, text]) => text).slice(0, 5)`

// markTables puts marks that take no room into the first and the last row of each table of
// up to 12 rows, and returns how many there are.
const markTables = `(() => { let n = 0;
	for (const table of document.querySelectorAll("table")) {
		const rows = [...table.querySelectorAll("tbody > tr, tfoot > tr")].filter(r => r.getClientRects().length);
		if (!table.getClientRects().length || !rows.length || table.closest(".field, .every-zone") || table.tBodies[0].querySelectorAll("tr:not(.under)").length > 12 || table.closest("details:not([open])")) continue;
		for (const [row, mark] of [[rows[0], "first"], [rows.at(-1), "last"]]) {
			const s = document.createElement("span"); s.textContent = "mark" + n + mark + ".";
			s.style.cssText = "position:absolute;font-size:1px;color:#fefefe"; row.cells[0].append(s); }
		n++; }
	return n; })()`

// paperTest looks at the pages of one print.
type paperTest struct {
	*testing.T
	name  string
	pages []string
}

func (p paperTest) count(most int) {
	p.Logf("%s: %d pages", p.name, len(p.pages))
	if len(p.pages) > most {
		p.Errorf("%s: %d pages, want %d at most", p.name, len(p.pages), most)
	}
}

// lines returns those of a page, without idle spaces.
func (p paperTest) lines(i int) (list []string) {
	for line := range strings.Lines(markPattern.ReplaceAllString(p.pages[i], "")) {
		if s := strings.Join(strings.Fields(line), " "); s != "" {
			list = append(list, s)
		}
	}
	return list
}

var markPattern = regexp.MustCompile(`mark\d+(first|last)\.`)

// headOf is what the pages of a sheet are headed with.
func headOf(s rx.Sheet) string {
	parts := slices.DeleteFunc([]string{s.Heads.Field, s.Heads.Load, s.Heads.Loading}, func(part string) bool { return part == "" })
	return s.Title + " " + strings.Join(parts, " · ")
}

// heads wants the sheet, the field and the load at the top of every page, and what is first before all sheets.
func (p paperTest) heads(first string, sheets []rx.Sheet) {
	begun, want := 0, first
	for i := range p.pages {
		lines := p.lines(i)
		if len(lines) < 4 {
			p.Errorf("%s: page %d holds no more than %q", p.name, i+1, lines)
			continue
		}
		head := lines[0]
		if begun < len(sheets) && head == headOf(sheets[begun]) {
			want, begun = head, begun+1
		}
		if head != want {
			p.Errorf("%s: page %d is headed %q, want %q", p.name, i+1, head, want)
		}
		if last := lines[len(lines)-1]; !strings.HasSuffix(last, fmt.Sprintf("page %d of %d", i+1, len(p.pages))) {
			p.Errorf("%s: page %d ends %q", p.name, i+1, last)
		}
	}
	if begun != len(sheets) {
		p.Errorf("%s: %d of %d sheets have pages", p.name, begun, len(sheets))
	}
}

// cards wants each on one page, with its dose and its signature.
func (p paperTest) cards(sheets []rx.Sheet) {
	for _, s := range sheets {
		if s.Card == nil {
			continue
		}
		var on []int
		for i := range p.pages {
			if lines := p.lines(i); lines[0] == headOf(s) {
				on = append(on, i)
			}
		}
		if len(on) != 1 {
			p.Errorf("%s: %s is on pages %v, want one", p.name, s.Title, on)
			continue
		}
		text := strings.Join(p.lines(on[0]), "\n")
		blanks := s.Sections[len(s.Sections)-1].Blanks
		signs, _, _ := strings.Cut(blanks[len(blanks)-1], "_")
		signs = strings.TrimSpace(signs)
		for _, want := range []string{s.Card.Dose.Value, s.Heads.Field, s.Heads.Load, signs, "Date"} {
			if !strings.Contains(text, want) {
				p.Errorf("%s: %s does not say %q", p.name, s.Title, want)
			}
		}
	}
}

// uncut wants the first and the last row of each marked table on one page.
func (p paperTest) uncut(tables int, raw []string) {
	if tables < 10 {
		p.Errorf("%s: only %d tables are marked", p.name, tables)
	}
	on := func(mark string) int {
		return slices.IndexFunc(raw, func(s string) bool { return strings.Contains(strings.Join(strings.Fields(s), ""), mark) })
	}
	for n := range tables {
		first, last := on(fmt.Sprintf("mark%dfirst.", n)), on(fmt.Sprintf("mark%dlast.", n))
		if first != last || first < 0 {
			p.Errorf("%s: table %d begins on page %d and ends on page %d", p.name, n, first+1, last+1)
		}
	}
}

// lastLines wants no heading at the foot of a page.
func (p paperTest) lastLines(headings []string) {
	for i := range p.pages {
		lines := p.lines(i)
		if len(lines) < 2 {
			continue
		}
		if last := lines[len(lines)-2]; slices.Contains(headings, strings.ReplaceAll(last, " ", "")) {
			p.Errorf("%s: page %d ends on the heading %q", p.name, i+1, last)
		}
	}
}

// printsOneAlone asks for a card by its address, and for all cards.
func printsOneAlone(t *testing.T, tab context.Context) {
	tool := oracle.Tool(t, "pdftotext")
	r := reporttest.Plan(t, reporttest.Contours(t), rx.Loads)
	url := onDisk(t, pageOf(t, r))
	for what, want := range map[string]int{"card-2": 1, "cards": 5, "sheet-2": 0} {
		browser.Do(t, tab, chromedp.Navigate("about:blank"), chromedp.Navigate(url+"#print="+what))
		pages := printed(t, tab, tool, chromedp.PaperLetter)
		if want > 0 && len(pages) != want {
			t.Errorf("%s: %d pages, want %d", what, len(pages), want)
		}
		for _, page := range pages {
			if strings.HasPrefix(strings.TrimSpace(page), "Report") {
				t.Errorf("%s: prints the report as well", what)
			}
		}
	}
}
