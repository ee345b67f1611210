package page

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/internal/oracle"
	"rxsplit/rx"
)

// browser opens a tab of a browser that keeps nothing and calls nobody.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := oracle.Tool(t, "chromium")
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	root, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	tab, cancel := chromedp.NewContext(root)
	t.Cleanup(func() { chromedp.Cancel(tab) }) // waits for the browser, which still writes into its folder
	t.Cleanup(cancel)
	do(t, tab)
	limited, cancel := context.WithTimeout(tab, 6*time.Minute)
	t.Cleanup(cancel)
	return limited
}

func do(t *testing.T, tab context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(tab, steps...); err != nil {
		t.Fatal(err)
	}
}

func evaluate[T any](t *testing.T, tab context.Context, script string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	v, err := chromedp.Run(tab, chromedp.Evaluate[T](script, options...))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// onDisk writes a page to a file and returns its address.
func onDisk(t *testing.T, page []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.html")
	if err := os.WriteFile(path, page, 0o666); err != nil {
		t.Fatal(err)
	}
	return "file://" + path
}

// scheme asks for light or dark.
func scheme(t *testing.T, tab context.Context, name string) {
	t.Helper()
	params := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}}
	if _, err := chromedp.Call(tab, emulation.SetEmulatedMedia, params); err != nil {
		t.Fatal(err)
	}
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
	tab := browser(t)
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
		{"prints one alone", printsOneAlone},
		{"keeps pans on one page", keepsPansOnOnePage},
		{"finds the zone among joined shapes", findsTheZoneAmongJoinedShapes},
		{"is accessible", isAccessible},
	} {
		t.Run(test.name, func(t *testing.T) { test.run(t, tab) })
	}
}

func opensInSilence(t *testing.T, tab context.Context) {
	heard := watch(t, tab)
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads} {
		url := onDisk(t, pageOf(t, reporttest.Plan(t, reporttest.Contours(t), way)))
		before := len(heard())
		do(t, tab, chromedp.Navigate(url), chromedp.Sleep(200*time.Millisecond))
		if got := heard()[before:]; !slices.Equal(got, []string{"asks for " + url}) {
			t.Errorf("way %q: the page %q", way, got)
		}
	}
	// The watch itself must be able to hear.
	do(t, tab, chromedp.Navigate(onDisk(t, []byte(`<script>console.log("boo")</script><img src="gone.png">`))), chromedp.Sleep(200*time.Millisecond))
	if got := strings.Join(heard(), "\n"); !strings.Contains(got, "boo") || !strings.Contains(got, "gone.png") {
		t.Errorf("the watch heard only %q", got)
	}
}

func fitsEveryScreen(t *testing.T, tab context.Context) {
	pages := map[string]string{
		"check": onDisk(t, pageOf(t, reporttest.Plan(t, reporttest.Grid(t, 2500, 12), ""))),
		"plan":  onDisk(t, pageOf(t, reporttest.Plan(t, reporttest.Contours(t), rx.Loads))),
		"odd":   onDisk(t, pageOf(t, reporttest.Hostile(t, rx.Loads))),
	}
	// What is wider than the screen, unless it scrolls in a box of its own.
	const wide = `[...document.querySelectorAll("body *")].filter(e => !e.closest("svg, .scroll, .zones, pre, .ear, .skip") && e.getClientRects().length && e.getBoundingClientRect().right > innerWidth + 1)
		.map(e => e.tagName + "." + e.className + " " + e.textContent.slice(0, 40)).concat(document.scrollingElement.scrollWidth > innerWidth ? ["the page"] : [])`
	// Tables that must not need to be scrolled.
	const cutOff = `[...document.querySelectorAll(".cards, .beside .scroll")].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.ariaLabel)`
	for name, url := range pages {
		for _, width := range []int64{360, 768, 1280} {
			do(t, tab, chromedp.EmulateViewport(width, 800, chromedp.EmulateMobile), chromedp.Navigate(url))
			if got := evaluate[[]string](t, tab, wide); len(got) > 0 {
				t.Errorf("%s at %d px: too wide: %q", name, width, got)
			}
			if got := evaluate[[]string](t, tab, cutOff); len(got) > 0 && name != "odd" {
				t.Errorf("%s at %d px: cut off: %q", name, width, got)
			}
		}
	}
}

func isAccessible(t *testing.T, tab context.Context) {
	path := os.Getenv("RXSPLIT_AXE")
	if path == "" {
		oracle.Missing(t, "RXSPLIT_AXE does not name axe.min.js (npm: axe-core; .ci/axe/install DIR)")
	}
	axe, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for name, r := range map[string]report.Result{
		"check": reporttest.Plan(t, reporttest.Grid(t, 2500, 0), ""), "wet-boom": reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom), "loads": reporttest.Plan(t, reporttest.Contours(t), rx.Loads), "odd": reporttest.Hostile(t, rx.Loads),
	} {
		url := onDisk(t, pageOf(t, r))
		for width, color := range map[int64]string{360: "dark", 1280: "light"} {
			scheme(t, tab, color)
			do(t, tab, chromedp.EmulateViewport(width, 800), chromedp.Navigate(url))
			evaluate[bool](t, tab, string(axe)+";document.querySelectorAll('details').forEach(d => d.open = true); true")
			got := evaluate[[]string](t, tab, axeRun, chromedp.EvalAwaitPromise)
			if len(got) > 0 {
				t.Errorf("%s, %s, %d px:\n%s", name, color, width, strings.Join(got, "\n"))
			}
		}
	}
}

// axeRun lists the rules that a page breaks, and where; it is wrong as well if
// hardly any rule looked.
const axeRun = `axe.run().then(r => r.passes.length < 20 ? ["only " + r.passes.length + " rules looked"] :
	r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.html.slice(0, 160)).slice(0, 3).join(" | ")))`

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
