package serve

import (
	"context"
	"errors"
	"log"
	"net/http"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"rxsplit/cmd/internal/app"
)

// made is what a task comes to: a page, or where to go.
type made struct {
	status int    // 0 for 200
	body   []byte // the page
	at     string // where to go instead; empty for nowhere
	again  bool   // it is not kept: the same question is worked out anew
}

// task is a piece of work that may take long.
type task struct {
	id, title string
	back      string // where to go when it is canceled
	writes    bool   // it goes on though nobody asks for it
	cancel    context.CancelFunc
	done      chan struct{}
	made      made // once done

	mu      sync.Mutex
	step    app.Step
	since   time.Time   // of the task
	waiting int         // answers that wait for it
	unasked *time.Timer // cancels it when nobody asks; nil for what writes
}

// works are the tasks. One is done at a time: each uses all cores by itself, and the memory
// of one file is all that is taken. What was made is kept for those who ask the same.
type works struct {
	base  context.Context
	slot  chan struct{}
	alive sync.WaitGroup

	mu    sync.Mutex
	tasks []*task // the oldest first
	keys  map[string]*task
	held  func(context.Context, app.Step) // tests stop a task at a step with it; nil otherwise
}

const (
	mostWaiting = 64               // tasks that are not done yet
	mostKept    = 400              // tasks that are remembered
	mostBytes   = 64 << 20         // of the pages that are kept
	forgotten   = 15 * time.Second // a page that nobody waits for any more is not worked out
)

var errBusy = errors.New("too much is being worked out at this moment")

func newWorks(base context.Context) *works {
	return &works{base: base, slot: make(chan struct{}, 1), keys: map[string]*task{}}
}

// do works something out, or finds the task that does so already, by its key; an empty one
// stands for itself.
func (ws *works) do(t *task, key string, work func(context.Context, app.Run) made) (*task, error) {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	if old := ws.keys[key]; old != nil && key != "" && !old.stale() {
		return old, nil
	}
	if ws.base.Err() != nil || ws.waiting() >= mostWaiting {
		return nil, errBusy
	}
	ctx, cancel := context.WithCancel(ws.base)
	t.id, t.cancel, t.done = random(8), cancel, make(chan struct{})
	t.since = time.Now()
	if !t.writes {
		t.unasked = time.AfterFunc(forgotten, cancel)
	}
	ws.tasks = append(ws.tasks, t)
	if key != "" {
		ws.keys[key] = t
	}
	ws.trim()
	run := app.Run{Progress: t.tell}
	if held := ws.held; held != nil {
		run.Progress = func(s app.Step) { t.tell(s); held(ctx, s) }
	}
	ws.alive.Go(func() {
		defer cancel()
		defer close(t.done)
		select {
		case ws.slot <- struct{}{}:
			defer func() { app.Settle(); <-ws.slot }()
		case <-ctx.Done():
			t.made.again = true
			return
		}
		defer func() {
			if fault := recover(); fault != nil { // net/http does likewise for a page that is no task
				log.Printf("rxsplit: %s: %v\n%s", t.title, fault, debug.Stack())
				t.made = made{status: http.StatusInternalServerError, body: []byte(`the program has a fault here, and this was not worked out. <a href=".">Go back</a>`), again: true}
			}
		}()
		t.made = work(ctx, run)
		if ctx.Err() != nil && !t.writes {
			t.made = made{again: true} // what is half worked out is no answer
		}
	})
	return t, nil
}

// enter has the end of the program wait for something that is no task, until it is told done; it is
// refused once the end has come.
func (ws *works) enter() bool {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	if ws.base.Err() != nil {
		return false
	}
	ws.alive.Add(1)
	return true
}

// stale reports whether a task came to nothing that others can use.
func (t *task) stale() bool { return t.isDone() && t.made.again }

func (t *task) isDone() bool {
	select {
	case <-t.done:
		return true
	default:
		return false
	}
}

// tell takes note of how far the work is.
func (t *task) tell(s app.Step) {
	t.mu.Lock()
	t.step = s
	t.mu.Unlock()
}

// ask takes note that somebody asks, and returns how far the work is and since when.
func (t *task) ask() (app.Step, time.Duration) {
	t.waits(0)
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.step, time.Since(t.since)
}

// waits counts answers that wait for the task. It is forgotten some time after the last of
// them has gone.
func (t *task) waits(more int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.waiting += more
	switch {
	case t.unasked == nil:
	case t.waiting > 0:
		t.unasked.Stop()
	default:
		t.unasked.Reset(forgotten)
	}
}

// waiting counts what is not done.
func (ws *works) waiting() (n int) {
	for _, t := range ws.tasks {
		if !t.isDone() {
			n++
		}
	}
	return n
}

// busy reports whether something is not done.
func (ws *works) busy() bool {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	return ws.waiting() > 0
}

// trim forgets the oldest tasks where there are too many, or too much is kept of them.
func (ws *works) trim() {
	size := 0
	for _, t := range ws.tasks {
		if t.isDone() {
			size += len(t.made.body)
		}
	}
	for i := 0; i < len(ws.tasks) && (len(ws.tasks) > mostKept || size > mostBytes); {
		t := ws.tasks[i]
		if !t.isDone() {
			i++
			continue
		}
		size -= len(t.made.body)
		ws.tasks = slices.Delete(ws.tasks, i, i+1)
		for key, other := range ws.keys {
			if other == t {
				delete(ws.keys, key)
			}
		}
	}
}

// find returns a task by its id; nil if it is not known any more.
func (ws *works) find(id string) *task {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	for _, t := range ws.tasks {
		if t.id == id {
			return t
		}
	}
	return nil
}

// answer sends what a task comes to or, where that takes long, a page that tells how far
// it is and asks again.
func (s *server) answer(w http.ResponseWriter, r *http.Request, t *task, err error) {
	if err != nil {
		s.busy(w)
		return
	}
	t.waits(1)
	defer t.waits(-1)
	late := time.NewTimer(s.patience)
	defer late.Stop()
	select {
	case <-t.done:
	case <-late.C:
	case <-r.Context().Done():
		return
	}
	if t.isDone() {
		s.finish(w, r, t)
	} else {
		s.write(w, s.page("work.html", s.progress(t)))
	}
}

// finish sends what a task has come to.
func (s *server) finish(w http.ResponseWriter, r *http.Request, t *task) {
	switch {
	case t.made.at != "":
		http.Redirect(w, r, s.prefix+t.made.at, http.StatusSeeOther)
	case t.made.body == nil:
		s.write(w, s.page("canceled.html", canceled{s.frame("Canceled"), t.title, t.back}))
	default:
		s.write(w, t.made)
	}
}
