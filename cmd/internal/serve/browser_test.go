package serve

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/internal/oracle"
	"rxsplit/internal/oracle/browser"
)

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
	tab := browser.Open(t)
	browser.Do(t, tab, chromedp.Navigate(v.server.Address()))
	for name, address := range seen(v) {
		for _, size := range []struct {
			width int64
			color string
		}{{360, "dark"}, {640, "light"}, {1280, "light"}, {1280, "dark"}} { // 640 is 1280 at 200 %
			browser.Scheme(t, tab, size.color)
			browser.Do(t, tab, chromedp.EmulateViewport(size.width, 800), chromedp.Navigate(v.base+address))
			browser.Until(t, tab, "document.querySelector('footer') && !document.getElementById('step')")
			at := fmt.Sprintf("%s-%d-%s", name, size.width, size.color)
			browser.Shoot(t, tab, at)
			if got := browser.TooWide(t, tab, size.width); len(got) > 0 {
				t.Errorf("%s: too wide: %q", at, got)
			}
			if got := browser.Axe(t, tab); len(got) > 0 {
				t.Errorf("%s:\n%s", at, strings.Join(got, "\n"))
			}
		}
	}
}
