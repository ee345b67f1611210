package page

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/internal/oracle/browser"
	"rxsplit/rx"
)

// onDisk writes a page to a file and returns its address.
func onDisk(t *testing.T, page []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.html")
	if err := os.WriteFile(path, page, 0o666); err != nil {
		t.Fatal(err)
	}
	return "file://" + path
}

// watch collects what a tab says on its console and what it asks a network or the
// disk for.
func watch(t *testing.T, tab context.Context) (heard func() []string) {
	t.Helper()
	var lock sync.Mutex
	var list []string
	add := func(s string) { lock.Lock(); list = append(list, s); lock.Unlock() }
	err := chromedp.Listen(tab, func(ev any) {
		if e, ok := ev.(*network.EventRequestWillBeSent); ok {
			add("asks for " + e.Request.URL)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(tab, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	messages := chromedp.Console(tab)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			add("says " + m.String())
		}
	}()
	return func() []string { lock.Lock(); defer lock.Unlock(); return slices.Clone(list) }
}

// TestPageInBrowser looks at the page as a browser shows it. One browser serves all.
func TestPageInBrowser(t *testing.T) {
	tab := browser.Open(t)
	for _, test := range []struct {
		name string
		run  func(*testing.T, context.Context)
	}{
		{"opens in silence", opensInSilence},
		{"shows the figures of JSON", showsFigures},
		{"fits every screen", fitsEveryScreen},
		{"opens with decision and map", opensWithDecisionAndMap},
		{"links zone, row and finding", linksZoneRowAndFinding},
		{"shows its views", showsItsViews},
		{"goes by keys and closer", goesByKeysAndCloser},
		{"tries loadings", triesLoadings},
		{"is whole without a script", isWholeWithoutAScript},
		{"sorts and filters", sortsAndFilters},
		{"paints soon", paintsSoon},
		{"prints cards and sheets", printsCardsAndSheets},
		{"prints a day", printsADay},
		{"shows a day on a phone", fitsAPhone},
		{"prints one alone", printsOneAlone},
		{"keeps pans on one page", keepsPansOnOnePage},
		{"finds the zone among joined shapes", findsTheZoneAmongJoinedShapes},
		{"shows readouts", showsReadouts},
		{"tells classes apart in gray", tellsClassesApartInGray},
		{"is accessible", isAccessible},
	} {
		t.Run(test.name, func(t *testing.T) { test.run(t, tab) })
	}
}

// joinedCells is the least field, about, whose zones are joined for drawing.
const joinedCells = 450

// opensInSilence: what a page does ends before it is idle, and what it said by then is heard
// before its last word.
func opensInSilence(t *testing.T, tab context.Context) {
	heard := watch(t, tab)
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads} {
		url := onDisk(t, pageOf(t, reporttest.Plan(t, reporttest.Contours(t), way)))
		before := len(heard())
		browser.Do(t, tab, chromedp.Navigate(url))
		last := fmt.Sprintf("that was way %q", way)
		browser.Evaluate[bool](t, tab, fmt.Sprintf(`new Promise(r => requestIdleCallback(() => { console.log(%q); r(true); }))`, last), chromedp.EvalAwaitPromise)
		for !strings.Contains(strings.Join(heard(), "\n"), last) && tab.Err() == nil {
			time.Sleep(10 * time.Millisecond)
		}
		got := heard()[before:]
		if !slices.Equal(got[:len(got)-1], []string{"asks for " + url}) {
			t.Errorf("way %q: the page %q", way, got)
		}
	}
	// The watch itself must be able to hear.
	browser.Do(t, tab, chromedp.Navigate(onDisk(t, []byte(`<script>console.log("boo")</script><img src="gone.png">`))))
	for got := ""; !strings.Contains(got, "boo") || !strings.Contains(got, "gone.png"); got = strings.Join(heard(), "\n") {
		if tab.Err() != nil {
			t.Fatalf("the watch heard only %q", got)
		}
		time.Sleep(10 * time.Millisecond)
	}
}

func fitsEveryScreen(t *testing.T, tab context.Context) {
	pages := map[string]string{
		"check": onDisk(t, pageOf(t, reporttest.Plan(t, reporttest.Grid(t, joinedCells, 12), ""))),
		"plan":  onDisk(t, pageOf(t, reporttest.Plan(t, reporttest.Contours(t), rx.Loads))),
		"odd":   onDisk(t, pageOf(t, reporttest.Hostile(t, rx.Loads))),
	}
	// Tables that must not need to be scrolled.
	const cutOff = `[...document.querySelectorAll(".cards, .beside .scroll")].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.ariaLabel)`
	for name, url := range pages {
		for _, width := range []int64{360, 390, 768, 1280} {
			browser.Do(t, tab, chromedp.EmulateViewport(width, 800, chromedp.EmulateMobile), chromedp.Navigate(url))
			if got := browser.TooWide(t, tab, width); len(got) > 0 {
				t.Errorf("%s at %d px: too wide: %q", name, width, got)
			}
			if got := browser.Evaluate[[]string](t, tab, cutOff); len(got) > 0 && name != "odd" {
				t.Errorf("%s at %d px: cut off: %q", name, width, got)
			}
		}
	}
}

func isAccessible(t *testing.T, tab context.Context) {
	for name, r := range map[string]report.Result{
		"check": reporttest.Plan(t, reporttest.Grid(t, joinedCells, 0), ""), "wet-boom": reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom), "loads": reporttest.Plan(t, reporttest.Contours(t), rx.Loads), "odd": reporttest.Hostile(t, rx.Loads),
	} {
		url := onDisk(t, pageOf(t, r))
		for width, color := range map[int64]string{360: "dark", 1280: "light"} {
			browser.Scheme(t, tab, color)
			browser.Do(t, tab, chromedp.EmulateViewport(width, 800), chromedp.Navigate(url))
			if got := browser.Axe(t, tab); len(got) > 0 {
				t.Errorf("%s, %s, %d px:\n%s", name, color, width, strings.Join(got, "\n"))
			}
		}
	}
}

// printed returns the text of each page of what a tab prints.
func printed(t *testing.T, tab context.Context, tool string, paper chromedp.PaperSize) []string {
	t.Helper()
	return pagesOf(t, tool, "-layout", pdfOf(t, tab, paper))
}

// pdfOf prints what a tab shows, and returns the file.
func pdfOf(t *testing.T, tab context.Context, paper chromedp.PaperSize) string {
	t.Helper()
	pdf, err := chromedp.Run(tab, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPaper(paper)))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(file, pdf, 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

// pagesOf returns the text of each page: as it lies there with "-layout", run by run with
// "-raw".
func pagesOf(t *testing.T, tool, mode, file string) []string {
	t.Helper()
	text, err := exec.Command(tool, mode, file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimRight(string(text), "\f\n "), "\f")
}
