package browser

import (
	"context"
	"os"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/internal/oracle"
)

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
