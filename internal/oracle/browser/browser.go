// Package browser shows pages to tests in a real browser, chromium, where outside programs are
// asked for (internal/oracle). Nothing here depends on how fast the machine is: what is waited
// for is a condition, and its limit is one that only a browser that hangs can meet.
package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"rxsplit/internal/oracle"
)

// patience is how long a browser may take for its start, and a page for what it is to become.
const patience = 3 * time.Minute

// Open starts a browser that keeps nothing and calls nobody, and returns its tab, which closes
// with the test.
func Open(t *testing.T) context.Context {
	t.Helper()
	path := oracle.Tool(t, "chromium")
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.UserDataDir(t.TempDir()), chromedp.WSURLReadTimeout(patience),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	root, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	tab, cancel := chromedp.NewContext(root)
	t.Cleanup(func() { chromedp.Cancel(tab) }) // waits for the browser, which still writes into its folder
	t.Cleanup(cancel)
	Do(t, tab)
	end, ok := t.Deadline()
	if !ok {
		return tab
	}
	limited, cancel := context.WithDeadline(tab, end.Add(-5*time.Second)) // so that the browser ends, too
	t.Cleanup(cancel)
	return limited
}

// Do takes steps in a tab.
func Do(t *testing.T, tab context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(tab, steps...); err != nil {
		t.Fatal(err)
	}
}

// Evaluate returns what a script says.
func Evaluate[T any](t *testing.T, tab context.Context, script string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	v, err := chromedp.Run(tab, chromedp.Evaluate[T](script, options...))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Until waits for a condition of the page, which a script tells.
func Until(t *testing.T, tab context.Context, condition string) {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		v, err := chromedp.Run(tab, chromedp.Evaluate[bool]("document.readyState == 'complete' && !!("+condition+")"))
		if err == nil && v {
			return
		}
	}
	t.Fatalf("it never comes to %s: %.1500s", condition, Evaluate[string](t, tab, "document.body.innerText"))
}

// Scheme asks for "light" or "dark".
func Scheme(t *testing.T, tab context.Context, name string) {
	t.Helper()
	params := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}}
	if _, err := chromedp.Call(tab, emulation.SetEmulatedMedia, params); err != nil {
		t.Fatal(err)
	}
}

// Shoot keeps a picture of the whole page where RXSPLIT_SHOTS names a folder, to be looked at.
func Shoot(t *testing.T, tab context.Context, name string) {
	t.Helper()
	dir := os.Getenv("RXSPLIT_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(tab, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o666); err != nil {
		t.Fatal(err)
	}
}

// TooWide lists what is wider than a screen of so many pixels, unless it scrolls in a box of its
// own. The width is the one that was asked for: innerWidth grows with what is too wide.
func TooWide(t *testing.T, tab context.Context, width int64) []string {
	t.Helper()
	return Evaluate[[]string](t, tab, fmt.Sprintf(`[...document.querySelectorAll("body *")].filter(e => !e.closest("svg, .scroll, .zones, pre, .ear, .skip") && e.getClientRects().length && e.getBoundingClientRect().right > %[1]d + 1)
		.map(e => e.tagName + "." + e.className + " " + e.textContent.slice(0, 40)).concat(document.scrollingElement.scrollWidth > %[1]d ? ["the page, " + document.scrollingElement.scrollWidth + " px"] : [])`, width))
}

// Axe returns the rules of axe-core that a page breaks, and where, with all that it can unfold
// unfolded. It is wrong as well if hardly any rule looked.
func Axe(t *testing.T, tab context.Context) []string {
	t.Helper()
	path := os.Getenv("RXSPLIT_AXE")
	if path == "" {
		oracle.Missing(t, "RXSPLIT_AXE does not name axe.min.js (npm: axe-core; .ci/axe/install DIR)")
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	Evaluate[bool](t, tab, string(text)+";document.querySelectorAll('details').forEach(d => d.open = true); true")
	return Evaluate[[]string](t, tab, `axe.run().then(r => r.passes.length < 20 ? ["only " + r.passes.length + " rules looked"] :
		r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.html.slice(0, 160)).slice(0, 3).join(" | ")))`, chromedp.EvalAwaitPromise)
}
