package serve

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"rxsplit/internal/oracle"
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
	limited, cancel := context.WithTimeout(tab, 4*time.Minute)
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

// until waits for a condition of the page, which a script tells.
func until(t *testing.T, tab context.Context, condition string) {
	t.Helper()
	for range 200 {
		v, err := chromedp.Run(tab, chromedp.Evaluate[bool]("document.readyState == 'complete' && !!("+condition+")"))
		if err == nil && v {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatalf("it never comes to %s: %.1500s", condition, evaluate[string](t, tab, "document.body.innerText"))
}

func scheme(t *testing.T, tab context.Context, name string) {
	t.Helper()
	params := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}}
	if _, err := chromedp.Call(tab, emulation.SetEmulatedMedia, params); err != nil {
		t.Fatal(err)
	}
}

// shoot keeps a picture of the whole page where RXSPLIT_SHOTS names a folder, to be looked at.
func shoot(t *testing.T, tab context.Context, name string) {
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

// seen is what a page of each kind is called and where it is, with the invented field.
func seen(v *visitor) map[string]string {
	return map[string]string{
		"start": "", "field": "field?file=field.zip&job=job.yaml&way=wet-boom", "ask": "field?file=two.geojson&label=label.yaml", "plan": "plan?dir=plan",
		"wrong": "field?file=gone.zip", "label": "label", "job": "job?file=job.yaml",
	}
}

// TestLooks holds every page against the rules of axe-core, in light and dark, and against
// the width of a phone and of a page at twice its size.
func TestLooks(t *testing.T) {
	oracle.Asked(t)
	v := visit(t, map[string]string{"two.geojson": twoColumns})
	v.post("demo", nil)
	v.post("split", mustForm("file=field.zip&job=job.yaml&way=wet-boom&out=plan"))
	tab := browser(t)
	do(t, tab, chromedp.Navigate(v.server.Address()))
	axe := ""
	if path := os.Getenv("RXSPLIT_AXE"); path != "" {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		axe = string(text)
	}
	for name, address := range seen(v) {
		for _, size := range []struct {
			width int64
			color string
		}{{360, "dark"}, {640, "light"}, {1280, "light"}, {1280, "dark"}} { // 640 is 1280 at 200 %
			scheme(t, tab, size.color)
			do(t, tab, chromedp.EmulateViewport(size.width, 800), chromedp.Navigate(v.base+address))
			until(t, tab, "document.querySelector('footer') && !document.getElementById('step')")
			at := fmt.Sprintf("%s-%d-%s", name, size.width, size.color)
			shoot(t, tab, at)
			if got := evaluate[[]string](t, tab, tooWide); len(got) > 0 {
				t.Errorf("%s: too wide: %q", at, got)
			}
			if axe == "" {
				continue
			}
			evaluate[bool](t, tab, axe+";document.querySelectorAll('details').forEach(d => d.open = true); true")
			if got := evaluate[[]string](t, tab, axeRun, chromedp.EvalAwaitPromise); len(got) > 0 {
				t.Errorf("%s:\n%s", at, strings.Join(got, "\n"))
			}
		}
	}
	if axe == "" {
		oracle.Missing(t, "RXSPLIT_AXE does not name axe.min.js (npm: axe-core; .ci/axe/install DIR)")
	}
}

// tooWide lists what is wider than the screen, unless it scrolls in a box of its own.
const tooWide = `[...document.querySelectorAll("body *")].filter(e => !e.closest("svg, .scroll, pre, .ear, .skip") && e.getClientRects().length && e.getBoundingClientRect().right > innerWidth + 1)
	.map(e => e.tagName + "." + e.className + " " + e.textContent.slice(0, 40)).concat(document.scrollingElement.scrollWidth > innerWidth ? ["the page"] : [])`

// axeRun lists the rules that a page breaks, and where; it is wrong as well if
// hardly any rule looked.
const axeRun = `axe.run().then(r => r.passes.length < 20 ? ["only " + r.passes.length + " rules looked"] :
	r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.html.slice(0, 160)).slice(0, 3).join(" | ")))`
