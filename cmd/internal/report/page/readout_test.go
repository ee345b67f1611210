package page

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rxsplit/cmd/internal/report"
	"rxsplit/internal/oracle/browser"
	"rxsplit/rx/read"
	"rxsplit/rx/readout"
	"rxsplit/rx/write"
)

const hostileName = `<script>alert("x")</script>.csv`

// readouts are read-outs of all kinds: by how many replicates, what they were read for, and
// several fields together.
func readouts(t *testing.T) map[string]report.Readout {
	t.Helper()
	result := func(what string, n int) readout.Result {
		r := readout.Result{What: what, Few: []string{"replicate 1: only 3"}}
		for i := range n {
			d := float64(i%3) - 0.4
			r.Readings = append(r.Readings, readout.Reading{Rep: i + 1, Untreated: readout.Mean{Value: 100}, Treated: [2]readout.Mean{{Value: 100 + d}, {Value: 100 + d}}, Difference: d})
		}
		r.Estimate = readout.Of(readout.Differences(r.Readings), 0.95)
		if what == readout.Yield {
			p := r.Estimate.Profit(4, 10)
			r.All, r.Profit, r.Cleaned = &r.Estimate, &p, &readout.Cleaned{All: 9, Median: 100}
		}
		return r
	}
	base := report.Readout{
		Unit: "bu/ac", Money: &read.Money{Price: 4, Cost: 10, PerYield: "$/bu", Per: "$/ac"}, Limits: readout.DefaultStalkLimits, Taken: readout.Taken{Weigh: true}, Version: "0",
		Inputs: []write.Input{{Role: "yield", Path: hostileName, Name: hostileName, SHA256: strings.Repeat("0", 64)}},
	}
	all := map[string]report.Readout{}
	for _, n := range []int{1, 2, 3, 6, 12} {
		r := base
		r.Results = []readout.Result{result(readout.Yield, n), result(readout.Index, n), result(readout.Stalk, n)}
		all[fmt.Sprint(n, " replicates")] = r
	}
	for _, n := range []int{2, 4} {
		r := base
		var list []readout.Estimate
		for i := range n {
			one := result(readout.Yield, 6)
			one.Estimate.Mean += float64(i)
			list = append(list, one.Estimate)
			r.Fields = append(r.Fields, report.ReadoutField{Name: hostileName, Readings: one.Readings, Estimate: one.Estimate})
		}
		p, err := readout.Pool(list, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		even := 2.5
		r.Pooled, r.BreakEven = &p, &even
		all[fmt.Sprint(n, " fields")] = r
	}
	return all
}

func pageOfReadout(t *testing.T, r report.Readout) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteReadout(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Each page has its answer and drawings, no number that is none, and no script.
func TestReadoutPage(t *testing.T) {
	for name, r := range readouts(t) {
		text := string(pageOfReadout(t, r))
		for _, bad := range []string{"NaN", "Inf", "%!", "<script", "-9223372036854775808"} {
			if at := strings.Index(text, bad); at >= 0 {
				t.Errorf("%s: %s in %q", name, bad, text[max(at-80, 0):at+40])
			}
		}
		for _, want := range []string{"promises nothing for another", "<circle"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: no %s", name, want)
			}
		}
	}
}

// showsReadouts on a phone and on a wide screen.
func showsReadouts(t *testing.T, tab context.Context) {
	all := readouts(t)
	for _, name := range []string{"6 replicates", "4 fields"} {
		url := onDisk(t, pageOfReadout(t, all[name]))
		for width, color := range map[int64]string{360: "dark", 1280: "light"} {
			browser.Scheme(t, tab, color)
			browser.Do(t, tab, chromedp.EmulateViewport(width, 800), chromedp.Navigate(url))
			if got := browser.Axe(t, tab); len(got) > 0 {
				t.Errorf("%s, %s, %d px:\n%s", name, color, width, strings.Join(got, "\n"))
			}
			if got := browser.TooWide(t, tab, width); len(got) > 0 {
				t.Errorf("%s at %d px: too wide: %q", name, width, got)
			}
		}
	}
}
