package serve

import (
	"context"
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"strings"
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

// The program may end at any moment of a write: then a whole plan is there, or nothing of it.
func TestEndsInTheMiddleOfAWrite(t *testing.T) {
	moments := 12
	if testing.Short() {
		moments = 3
	}
	t.Chdir(t.TempDir())
	os.WriteFile("grid.geojson", []byte(cells(60)), 0o666)
	os.WriteFile("label.yaml", []byte("name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"), 0o666)
	whole := 0
	for i := range moments {
		s, err := New(0, Options{Now: time.Now})
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(context.Background())
		done := make(chan error, 1)
		go func() { done <- s.Serve(ctx) }()
		jar, _ := cookiejar.New(nil)
		v := &visitor{t, s, &http.Client{Jar: jar}, "http://" + s.host + s.prefix, done}
		v.see(v.answer(http.MethodGet, s.Address(), nil, nil), http.StatusOK)
		out := fmt.Sprintf("plan%d", i)
		form := url.Values{"file": {"grid.geojson"}, "label": {"label.yaml"}, "way": {"wet-boom"}, "out": {out}}
		go func() {
			time.Sleep(time.Duration(i*i) * 6 * time.Millisecond)
			stop()
		}()
		r, err := v.client.Do(posted(v, "split", form))
		if err == nil {
			r.Body.Close()
		}
		if err := <-done; err != nil {
			t.Error(err)
		}
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
	t.Logf("%d of %d plans were whole before the end, of the others there is nothing", whole, moments)
}

// posted is a form as a page sends it.
func posted(v *visitor, address string, form url.Values) *http.Request {
	r, _ := http.NewRequest(http.MethodPost, v.base+address, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "http://"+v.server.host)
	return r
}

// hold stops each task at a step, as if it took long there, until it is canceled. The channel
// tells of each that has come so far.
func (v *visitor) hold(stage string, done int) (reached <-chan struct{}) {
	ws, there := v.server.works, make(chan struct{}, 1)
	ws.mu.Lock()
	defer ws.mu.Unlock()
	ws.held = func(ctx context.Context, s app.Step) {
		if s.Stage == stage && s.Done == done {
			there <- struct{}{}
			<-ctx.Done()
		}
	}
	return there
}

// Work that is canceled leaves nothing, and says so, wherever it is. Asked again, it is done.
func TestCancels(t *testing.T) {
	v := visit(t, map[string]string{"grid.geojson": cells(6), "label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"})
	v.server.patience = time.Millisecond
	cancel := func(reached <-chan struct{}, r *http.Response, says string) {
		t.Helper()
		select {
		case <-reached:
		case <-time.After(time.Minute):
			t.Fatal("the work has no such step")
		}
		id := between(v.see(r, http.StatusOK), `data-id="`, `"`)
		wants(t, v.see(v.answer(http.MethodGet, "step?id="+id, nil, nil), http.StatusOK), `"done":false`)
		wants(t, v.see(v.answer(http.MethodPost, "cancel", url.Values{"id": {id}}, nil), http.StatusOK), says)
	}
	form := url.Values{"file": {"grid.geojson"}, "label": {"label.yaml"}, "way": {"wet-boom"}, "out": {"plan"}}
	for _, at := range []app.Step{{Stage: "read"}, {Stage: "split"}, {Stage: "write"}, {Stage: "write", Done: 1}} {
		cancel(v.hold(at.Stage, at.Done), v.answer(http.MethodPost, "split", form, nil), "nothing of it is left")
	}
	const address = "field?file=grid.geojson&label=label.yaml"
	cancel(v.hold("zones", 0), v.answer(http.MethodGet, address, nil, nil), "<h1>Canceled")
	v.hold("no step", 0)
	wants(t, v.get(address), "As one impregnated blend")
	entries, _ := os.ReadDir(".")
	if len(entries) != 3 { // with the claim
		t.Errorf("the folder holds %v", entries)
	}
}

// It ends when nobody asks, and when somebody says so.
func TestEnds(t *testing.T) {
	t.Chdir(t.TempDir())
	v := visitHere(t, Options{Now: time.Now, Idle: 300 * time.Millisecond})
	select {
	case err := <-v.done:
		v.done <- err
	case <-time.After(10 * time.Second):
		t.Fatal("it goes on though nobody asks")
	}
	w := visitHere(t, Options{Now: time.Now})
	wants(t, w.post("quit", url.Values{}), "The program has ended")
	select {
	case err := <-w.done:
		w.done <- err
	case <-time.After(10 * time.Second):
		t.Fatal("it goes on after its end")
	}
}
