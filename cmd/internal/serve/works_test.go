package serve

import (
	"context"
	"fmt"
	"maps"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
)

// A page that nobody waits for is not worked out; what writes goes on.
func TestForgets(t *testing.T) {
	for _, writes := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			ws, over := newWorks(t.Context()), make(chan struct{})
			work, err := ws.do(&task{writes: writes}, "", func(ctx context.Context, _ app.Run) made {
				select {
				case <-ctx.Done():
				case <-over:
				}
				return made{}
			})
			if err != nil {
				t.Fatal(err)
			}
			for range 3 {
				time.Sleep(forgotten - time.Second)
				work.ask()
			}
			work.waits(1)
			time.Sleep(time.Hour)
			work.waits(-1)
			time.Sleep(forgotten - time.Second)
			if work.isDone() {
				t.Error("it is forgotten though somebody waits")
			}
			time.Sleep(2 * time.Second)
			if work.isDone() == writes {
				t.Errorf("what nobody waits for and writes %t is done: %t", writes, work.isDone())
			}
			close(over)
			ws.alive.Wait()
		})
	}
}

// An answer is counted as one that waits while it waits, and no longer.
func TestAnswerWaitsOnce(t *testing.T) {
	over := make(chan struct{})
	close(over)
	work, s := &task{done: over, made: made{body: []byte("x")}, unasked: time.NewTimer(time.Hour)}, &server{patience: time.Hour}
	for range 2 {
		s.answer(httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/", nil), work, nil)
		if work.waiting != 0 {
			t.Errorf("%d answers wait", work.waiting)
		}
	}
}

// Of what is done only so many pages, and so many bytes of them, are kept, the newest; what is not
// done is kept whatever it is. So much may wait and no more.
func TestKeepsTheNewest(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ws, over := newWorks(t.Context()), make(chan struct{})
		do := func(key string, bytes int) *task {
			t.Helper()
			work, err := ws.do(&task{writes: true}, key, func(context.Context, app.Run) made { return made{body: make([]byte, bytes)} })
			if err != nil {
				t.Fatal(err)
			}
			synctest.Wait()
			return work
		}
		first, second := do("first", 0), do("second", mostBytes-10)
		if again := do("second", 0); again != second {
			t.Error("what is kept is worked out again")
		}
		do("", 10)
		do("", 0) // looks at what stands before it
		if ws.find(first.id) == nil || ws.find(second.id) == nil {
			t.Errorf("of %d bytes some are forgotten", mostBytes)
		}
		do("", 1)
		do("", 0)
		if ws.find(first.id) != nil || ws.find(second.id) != nil || len(ws.keys) != 0 || len(ws.tasks) != 4 {
			t.Errorf("of %d bytes and one %d pages and %d keys are left", mostBytes, len(ws.tasks), len(ws.keys))
		}
		slow, _ := ws.do(&task{writes: true}, "slow", func(context.Context, app.Run) made { <-over; return made{} })
		synctest.Wait() // it is at work, and the others wait for it
		for n := 1; n < mostWaiting; n++ {
			if _, err := ws.do(&task{writes: true}, "", func(context.Context, app.Run) made { return made{} }); err != nil {
				t.Fatalf("%d wait: %v", n, err)
			}
		}
		if _, err := ws.do(&task{}, "", nil); err != errBusy {
			t.Errorf("%d wait, and one more may: %v", mostWaiting, err)
		}
		waiting, _ := ws.do(&task{}, "slow", nil)
		if waiting != slow {
			t.Error("what is being worked out is worked out twice")
		}
		close(over)
		synctest.Wait()
		for range mostKept {
			do("", 0)
		}
		if len(ws.tasks) != mostKept || ws.find(slow.id) != nil || len(ws.keys) != 0 {
			t.Errorf("%d pages and %d keys are kept", len(ws.tasks), len(ws.keys))
		}
		ws.alive.Wait()
	})
}

// The last few prescriptions that were looked at are there again, the same and not looked at anew;
// of one with more zones than are kept nothing is.
func TestKeepsWhatWasLookedAt(t *testing.T) {
	var m memory
	var all [mostLooked + 1]looked
	for i := range all {
		m.put(fmt.Sprint(i), &all[i])
	}
	for i := range all {
		want := &all[i]
		if i == 0 {
			want = nil
		}
		if got := m.get(fmt.Sprint(i)); got != want {
			t.Errorf("the prescription looked at as number %d is %p, want %p", i, got, want)
		}
	}
	for zones, kept := range map[int]bool{mostZones: true, mostZones + 1: false} {
		m.put("many", &looked{result: &report.Result{Prescription: &rx.Prescription{Zones: make([]rx.Zone, zones)}}})
		if got := m.get("many") != nil; got != kept {
			t.Errorf("%d zones are kept: %t", zones, got)
		}
		m = memory{}
	}
}

// What is canceled while other work goes on is over at once, and nobody takes it for done.
func TestCanceledInTheQueue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ws, over := newWorks(t.Context()), make(chan struct{})
		ws.do(&task{writes: true}, "", func(context.Context, app.Run) made { <-over; return made{} })
		synctest.Wait()
		queued, _ := ws.do(&task{writes: true}, "key", func(context.Context, app.Run) made { t.Error("it is worked out"); return made{} })
		queued.cancel()
		synctest.Wait()
		if !queued.stale() {
			t.Error("what was canceled in the queue counts as done")
		}
		again, _ := ws.do(&task{writes: true}, "key", func(context.Context, app.Run) made { return made{} })
		close(over)
		synctest.Wait()
		if again == queued || !again.isDone() || again.stale() {
			t.Error("asked again it is not worked out")
		}
		ws.alive.Wait()
	})
}

// What changes the folder is answered with what it comes to where that is known, and else by a page that
// can be loaded again; so is what is asked for, once patience is over. Where too much is being worked out,
// that is told, and nothing is taken for done.
func TestWhatIsAnswered(t *testing.T) {
	v := visit(t, nil)
	v.server.patience = 0
	over, now := make(chan struct{}), make(chan struct{})
	close(over)
	ask := httptest.NewRequest(http.MethodGet, "/", nil)
	for _, c := range []struct {
		name        string
		writes      bool
		done        chan struct{}
		err         error
		status      int
		place, text string
	}{
		{"written", true, over, nil, http.StatusSeeOther, v.server.prefix + "plan?dir=x", ""},
		{"being written", true, now, nil, http.StatusSeeOther, v.server.prefix + "work?id=it", ""},
		{"not begun", true, now, errBusy, http.StatusServiceUnavailable, "", "wait a moment, then load the page again"},
		{"not begun, and why", true, now, errBusy, http.StatusServiceUnavailable, "", "too much is being worked out at this moment"},
		{"known", false, over, nil, http.StatusSeeOther, v.server.prefix + "plan?dir=x", ""},
		{"being worked out", false, now, nil, http.StatusOK, "", `data-id="it"`},
		{"not asked", false, now, errBusy, http.StatusServiceUnavailable, "", "wait a moment, then load the page again"},
	} {
		w, work := httptest.NewRecorder(), &task{id: "it", done: c.done, made: made{at: "plan?dir=x"}}
		if c.writes {
			v.server.answerWork(w, ask, work, c.err)
		} else {
			v.server.answer(w, ask, work, c.err)
		}
		if place := w.Header().Get("Location"); w.Code != c.status || place != c.place || !strings.Contains(w.Body.String(), c.text) {
			t.Errorf("what is %s is answered by %d, %q: %.500s", c.name, w.Code, place, w.Body)
		}
	}
}

// Every stage that the work of a page goes through has its own sentence, and each sentence is told
// at some stage; what is counted is told with its counts.
func TestEveryStageIsTold(t *testing.T) {
	v := visit(t, nil)
	seen := map[string]bool{"": true}
	v.atEachStep(func(_ context.Context, s app.Step) { seen[s.Stage] = true })
	v.post("demo", url.Values{})
	v.get("")
	v.get("field?file=field.zip&job=job.yaml&way=wet-boom")
	v.post("split", url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "out": {"plan"}})
	v.post("verify", url.Values{"dir": {"plan"}})
	form := v.form("plan?dir=plan", "approve")
	form.Set("by", "A. Nobody (invented)")
	v.post("approve", form)
	if got, want := slices.Sorted(maps.Keys(seen)), slices.Sorted(maps.Keys(stages)); !slices.Equal(got, want) {
		t.Errorf("the stages are %q, and %q have a sentence", got, want)
	}
	for stage, starts := range map[string]string{
		"": "Waiting for ", "read": "Reading the file. ", "inspect": "Looking through its fields. ", "zones": "Measuring the zones, 3 of 7. ", "check": "Holding every zone against the label. ", "ways": "Working out the ways to release it. ", "split": "Working out the way. ",
		"write": "Writing the files. ", "verify": "Proving the files from the disk. ", "draw": "Drawing. ", "rename": "Putting the folder in its place. ", // split
		"files": "Reading the files. ", "source": "Working the plan out again. ", "layers": "Holding every layer against the source. ", "bytes": "Making every file again and comparing it. ", "approve": "Adding the approval. ",
	} {
		work := &task{since: time.Now()}
		work.tell(app.Step{Stage: stage, Total: 7, Done: map[string]int{"zones": 3}[stage]})
		if got := work.says(); !strings.HasPrefix(got, starts) || !strings.HasSuffix(got, " s so far.") {
			t.Errorf("stage %s is told as %q, want %q", stage, got, starts)
		}
	}
}

// The program ends when nobody has asked for long, and nothing is being worked out.
func TestEndsWhenNobodyAsks(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &server{options: Options{Idle: 30 * time.Minute, Now: time.Now}, asked: time.Now()}
		s.ended, s.end = context.WithCancel(t.Context())
		s.works = newWorks(s.ended)
		go s.watch()
		goesOn := func(d time.Duration) {
			time.Sleep(d)
			if s.ended.Err() != nil {
				t.Errorf("it has ended after %s", d)
			}
		}
		goesOn(29 * time.Minute)
		s.mu.Lock()
		s.asked = time.Now()
		s.mu.Unlock()
		goesOn(29 * time.Minute)
		over := make(chan struct{})
		s.works.do(&task{writes: true}, "", func(context.Context, app.Run) made { <-over; return made{} })
		goesOn(2 * time.Hour)
		close(over)
		time.Sleep(time.Minute)
		if s.ended.Err() == nil {
			t.Error("it goes on though nobody asks")
		}
	})
}

// endless is a listener that always has one more connection.
type endless struct{ net.Listener }

func (endless) Accept() (net.Conn, error) { c, _ := net.Pipe(); return c, nil }
func (endless) Close() error              { return nil }

// No more connections are open than may be; the next comes when one goes.
func TestNarrow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := newNarrow(endless{}, 2)
		var mu sync.Mutex
		var open []net.Conn
		go func() {
			for {
				c, err := n.Accept()
				if err != nil {
					return
				}
				mu.Lock()
				open = append(open, c)
				mu.Unlock()
			}
		}()
		for want := 2; want < 5; want++ {
			synctest.Wait()
			mu.Lock()
			come := slices.Clone(open)
			mu.Unlock()
			if len(come) != want {
				t.Fatalf("%d have come, want %d", len(come), want)
			}
			come[want-2].Close()
			come[want-2].Close() // a second time gives no second place
		}
		n.Close()
	})
}

// A script asks for the step of work: it is done once it is, and where nobody knows of it any more.
func TestStepOfWork(t *testing.T) {
	v := visit(t, nil)
	over := make(chan struct{})
	work, err := v.server.works.do(&task{}, "", func(context.Context, app.Run) made { <-over; return made{} })
	if err != nil {
		t.Fatal(err)
	}
	step := func(id string) string {
		return v.see(v.answer(http.MethodGet, "step?id="+id, nil, nil), http.StatusOK)
	}
	if got := step(work.id); !strings.HasPrefix(got, `{"done":false,"text":"Waiting for `) {
		t.Errorf("while it goes on: %s", got)
	}
	close(over)
	<-work.done
	if got := step(work.id); !strings.HasPrefix(got, `{"done":true,"text":"`) {
		t.Errorf("once it is done: %s", got)
	}
	if got := step("none"); got != `{"done":true,"text":""}`+"\n" {
		t.Errorf("what is not known: %s", got)
	}
}
