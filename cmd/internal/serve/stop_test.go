package serve

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
)

// cells is an invented grid of n by n cells as GeoJSON, whose rates rise to the east.
func cells(n int) string {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	const side = 0.0004
	for i := range n * n {
		x, y := -93+float64(i%n)*side, 42+float64(i/n)*side
		if i > 0 {
			b.WriteString(",\n")
		}
		fmt.Fprintf(&b, `{"type":"Feature","properties":{"RATE":%d},"geometry":{"type":"Polygon","coordinates":[[[%[2]f,%[3]f],[%[4]f,%[3]f],[%[4]f,%[5]f],[%[2]f,%[5]f],[%[2]f,%[3]f]]]}}`,
			100+200*(i%n)/n, x, y, x+side, y+side)
	}
	b.WriteString("]}")
	return b.String()
}

// The program may end at any step of a write: then a whole plan is there, or nothing of it.
func TestEndsInTheMiddleOfAWrite(t *testing.T) {
	v := visit(t, map[string]string{"grid.geojson": cells(6), "label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"})
	steps := 0
	v.atEachStep(func(context.Context, app.Step) { steps++ })
	form := url.Values{"file": {"grid.geojson"}, "label": {"label.yaml"}, "way": {"wet-boom"}, "out": {"whole"}}
	wants(t, v.post("split", form), "written and proved")
	v.server.end()
	v.end()
	whole := 0
	for i := range steps {
		v := visitHere(t, Options{Now: time.Now})
		at := 0
		v.atEachStep(func(ctx context.Context, _ app.Step) {
			if at++; at == i+1 {
				v.server.end()
				<-ctx.Done()
			}
		})
		out := fmt.Sprintf("plan%d", i)
		form.Set("out", out)
		if r, err := v.client.Do(posted(v, "split", form)); err == nil {
			r.Body.Close()
		}
		v.server.end()
		v.end()
		entries, _ := os.ReadDir(".")
		for _, e := range entries {
			switch {
			case strings.HasPrefix(e.Name(), "."):
				t.Errorf("%s is left", e.Name())
			case e.Name() == out:
				whole++
				if _, err := (app.Run{}).Verify(context.Background(), out, app.InputsAt{}); err != nil {
					t.Errorf("a plan that is not whole: %v", err)
				}
			}
		}
	}
	if steps < 10 || whole == steps {
		t.Errorf("of %d plans %d are whole", steps, whole)
	}
	t.Logf("%d of %d plans were whole before the end, of the others there is nothing", whole, steps)
}

// posted is a form as a page sends it.
func posted(v *visitor, address string, form url.Values) *http.Request {
	r, _ := http.NewRequest(http.MethodPost, v.base+address, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+v.server.host)
	return r
}

// atEachStep has a function called at each step of each task from now on, one at a time.
func (v *visitor) atEachStep(do func(context.Context, app.Step)) {
	var one sync.Mutex
	v.server.works.mu.Lock()
	defer v.server.works.mu.Unlock()
	v.server.works.held = func(ctx context.Context, s app.Step) {
		one.Lock()
		defer one.Unlock()
		do(ctx, s)
	}
}

// hold stops work at a step, as if it took long there, until it is canceled or goOn is closed.
// The other channel is closed once it is there.
func (v *visitor) hold(stage string, done int) (reached <-chan struct{}, goOn chan<- struct{}) {
	there, on := make(chan struct{}), make(chan struct{})
	var once sync.Once
	v.atEachStep(func(ctx context.Context, s app.Step) {
		if s.Stage == stage && s.Done == done {
			once.Do(func() {
				close(there)
				select {
				case <-ctx.Done():
				case <-on:
				}
			})
		}
	})
	return there, on
}

// Work that is canceled leaves nothing, and says so, wherever it is. Asked again, it is done.
func TestCancels(t *testing.T) {
	v := visit(t, map[string]string{"grid.geojson": cells(6), "label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"})
	v.server.patience = 0
	cancel := func(method, address string, form url.Values, stage string, done int, says string) {
		t.Helper()
		reached, _ := v.hold(stage, done)
		id := between(v.see(v.answer(method, address, form, nil), http.StatusOK), `data-id="`, `"`)
		select {
		case <-reached:
		case <-v.server.works.find(id).done:
			t.Fatalf("there is no step %s %d", stage, done)
		}
		step := v.see(v.answer(http.MethodGet, "step?id="+id, nil, nil), http.StatusOK)
		if wants(t, step, `"done":false`); strings.Contains(step, `"text":""`) {
			t.Errorf("step %s %d says nothing: %s", stage, done, step)
		}
		wants(t, v.see(v.answer(http.MethodPost, "cancel", url.Values{"id": {id}}, nil), http.StatusOK), says)
	}
	form := url.Values{"file": {"grid.geojson"}, "label": {"label.yaml"}, "way": {"wet-boom"}, "out": {"plan"}}
	for _, at := range []app.Step{{Stage: "read"}, {Stage: "split"}, {Stage: "write"}, {Stage: "write", Done: 1}} {
		cancel(http.MethodPost, "split", form, at.Stage, at.Done, "nothing of it is left")
	}
	const address = "field?file=grid.geojson&label=label.yaml"
	cancel(http.MethodGet, address, nil, "zones", 0, "<h1>Canceled")
	v.server.patience = time.Hour
	wants(t, v.get(address), "As one impregnated blend")
	entries, _ := os.ReadDir(".")
	if len(entries) != 3 { // with the claim
		t.Errorf("the folder holds %v", entries)
	}
}

// It ends when nobody asks, and when somebody says so.
func TestEnds(t *testing.T) {
	t.Chdir(t.TempDir())
	var hours atomic.Int64
	v := visitHere(t, Options{Now: func() time.Time { return time.Unix(3600*hours.Load(), 0) }, Idle: 40 * time.Millisecond})
	hours.Add(1)
	v.end()
	w := visitHere(t, Options{Now: time.Now})
	wants(t, w.post("quit", url.Values{}), "The program has ended")
	w.end()
}

// Nor does anything stay of files that are dropped and come slowly when the program ends.
func TestEndsInTheMiddleOfADrop(t *testing.T) {
	v := visit(t, nil)
	v.sends(http.MethodPost, "drop", "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"slow.zip\"\r\n\r\n"+strings.Repeat("y", 5000), true)
	for begun := false; !begun; time.Sleep(time.Millisecond) {
		entries, _ := os.ReadDir(".")
		begun = len(entries) == 2 // with the claim
	}
	v.server.end()
	v.end()
	if entries, _ := os.ReadDir("."); len(entries) > 0 {
		t.Errorf("the folder holds %v", entries)
	}
}
