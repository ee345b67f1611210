package serve

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"slices"
	"testing"
	"time"
)

// TestLatency measures how long choices of 63 zones take, 200 of each kind. It holds them
// against nothing: machines differ. RXSPLIT_LATENCY turns it on.
func TestLatency(t *testing.T) {
	if os.Getenv("RXSPLIT_LATENCY") == "" {
		t.Skip("measured where RXSPLIT_LATENCY is set")
	}
	v := visit(t, nil)
	v.post("demo", url.Values{})
	text, _ := os.ReadFile("label.yaml")
	form := sent("label", "label.yaml", text)
	ways := []string{"wet-boom", "loads", "base", "refit"}
	base := "field?file=field.zip&job=job.yaml&rate-field=DRY_LBAC"
	v.get(base)
	for _, c := range []struct {
		name string
		ask  func(i int) *http.Response
	}{
		{"choose a way", func(i int) *http.Response {
			return v.answer(http.MethodGet, fmt.Sprintf("%s&way=%s&accept.x%d=y", base, ways[i%4], i), nil, nil)
		}},
		{"another rate, worked out anew", func(i int) *http.Response {
			return v.answer(http.MethodGet, fmt.Sprintf("%s&stabilizer-rate=%.2f+fl+oz/ac", base, 25+float64(i)/100), nil, nil)
		}},
		{"the folder, as it was", func(int) *http.Response { return v.answer(http.MethodGet, "", nil, nil) }},
		{"a figure of the label form", func(i int) *http.Response {
			form.Set("season-max", fmt.Sprint(80+i))
			return v.answer(http.MethodPost, "try", form, nil)
		}},
		{"a label's form", func(i int) *http.Response { return v.answer(http.MethodGet, "label?file=label.yaml", nil, nil) }},
	} {
		var took []time.Duration
		for i := range 200 {
			began := time.Now()
			v.see(c.ask(i), http.StatusOK)
			took = append(took, time.Since(began))
		}
		slices.Sort(took)
		t.Logf("%-32s median %5.1f ms, p95 %5.1f ms", c.name, ms(took[100]), ms(took[190]))
	}
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
