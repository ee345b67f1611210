package serve

import (
	"encoding/json"
	"fmt"
	"net/http"

	"rxsplit/cmd/internal/app"
)

// progress is the page of work that takes long.
type progress struct {
	frame
	ID, Back string
	Step     string
}

// canceled is the page after work was stopped.
type canceled struct {
	frame
	What, Back string
}

func (s *server) progress(t *task) progress {
	p := progress{s.frame(t.title), t.id, t.back, t.says()}
	p.Waits = true
	return p
}

// stages are what the application's stages are called on a page.
var stages = map[string]string{
	"": "Waiting for what is being worked out before it", "read": "Reading the file", "inspect": "Looking through its fields", "zones": "Measuring the zones",
	"check": "Holding every zone against the label", "ways": "Working out the ways to release it", "split": "Working out the way",
	"write": "Writing the files", "files": "Reading the files", "source": "Working the plan out again", "layers": "Holding every layer against the source",
	"verify": "Proving the files from the disk", "draw": "Drawing", "bytes": "Making every file again and comparing it", "rename": "Putting the folder in its place", "approve": "Adding the approval",
}

// says tells how far a task is.
func (t *task) says() string {
	step, since := t.ask()
	text := stages[step.Stage]
	if step.Total > 0 && step.Done > 0 {
		text += fmt.Sprintf(", %d of %d", step.Done, step.Total)
	}
	return fmt.Sprintf("%s. %.0f s so far.", text, since.Seconds())
}

// work shows how far a task is, or goes on where it is done.
func (s *server) work(w http.ResponseWriter, r *http.Request) {
	t := s.works.find(r.FormValue("id"))
	if t == nil {
		s.failed(w, http.StatusNotFound, &app.Error{What: "this work is not known any more", Hint: "look at the folder: what was written is there"})
		return
	}
	s.answer(w, r, t, nil)
}

// step tells a script how far a task is.
func (s *server) step(w http.ResponseWriter, r *http.Request) {
	t := s.works.find(r.FormValue("id"))
	said := struct {
		Done bool   `json:"done"`
		Text string `json:"text"`
	}{Done: t == nil || t.isDone()}
	if t != nil {
		said.Text = t.says()
	}
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(said)
}

// cancel stops a task; what it would have written is not there.
func (s *server) cancel(w http.ResponseWriter, r *http.Request) {
	t := s.works.find(r.FormValue("id"))
	if t == nil {
		http.Redirect(w, r, s.prefix, http.StatusSeeOther)
		return
	}
	t.cancel()
	<-t.done
	s.finish(w, r, t)
}
