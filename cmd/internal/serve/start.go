package serve

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/write"
)

// start is the page of the folder.
type start struct {
	frame
	*holding
	asked
	Cards   []card
	More    int // fields that are not shown
	Plans   []planCard
	Failure *failure // of the label or the job
	Names   string   // whose job the chosen one is
	Command string
}

// card is one prescription on the page of the folder.
type card struct {
	File, Link string
	Small      *drawing
	Word       string // what it comes to, in a word
	Good       bool
	Text       string
	Best       string
	Err        string
	sum        string // of the file
}

// mostCards is how many prescriptions are worked out on the page of the folder.
const mostCards = 60

// start shows what the folder holds.
func (s *server) start(w http.ResponseWriter, r *http.Request) {
	h, a, ok := s.askIn(w, r, false)
	if !ok {
		return
	}
	t, err := s.works.do(&task{title: "Looking at the folder"}, "start?"+a.query()+"#"+h.mark, func(ctx context.Context, run app.Run) made {
		return s.page("start.html", s.startOf(ctx, run, h, a))
	})
	s.answer(w, r, t, err)
}

// askIn reads what the folder holds and what is asked for; ok is false where that can't be, and is told.
func (s *server) askIn(w http.ResponseWriter, r *http.Request, ofFile bool) (h *holding, a asked, ok bool) {
	h, err := s.folder.look()
	if err != nil {
		s.failed(w, http.StatusInternalServerError, &app.Error{What: "the folder can't be read: " + app.SystemSays(err), Err: err})
		return h, a, false
	}
	a, err = s.ask(r)
	if err == nil && ofFile && a.File == "" {
		err = &app.Error{What: "no file is named", Hint: "go back to the folder and choose one"}
	}
	if err != nil {
		s.failed(w, http.StatusBadRequest, err)
		return h, a, false
	}
	a.only(h)
	return h, a, true
}

// only takes the one job file and the one label of the folder where nothing is asked for:
// between two nobody knows which is meant. A job of another field is not taken.
func (a *asked) only(h *holding) {
	if len(a.Values[labelName])+len(a.Values[jobName]) > 0 {
		return
	}
	switch {
	case len(h.Jobs) == 1:
		files := h.Fields
		if a.File != "" {
			files = []string{a.File}
		}
		if !fits(h.Jobs[0], files) {
			return
		}
		a.Values[jobName] = []string{filepath.FromSlash(h.Jobs[0])}
		if files, err := app.JobFiles(a.Values[jobName][0]); err == nil && len(h.Labels) == 1 &&
			!slices.ContainsFunc(files, func(f app.Named) bool { return f.Key == labelName }) {
			a.Values[labelName] = []string{filepath.FromSlash(h.Labels[0])}
		}
	case len(h.Jobs) == 0 && len(h.Labels) == 1:
		a.Values[labelName] = []string{filepath.FromSlash(h.Labels[0])}
	}
}

func (s *server) startOf(ctx context.Context, run app.Run, h *holding, a asked) start {
	v := start{frame: s.frame("Folder " + filepath.Base(s.folder.path)), holding: h, asked: a}
	files := h.Fields
	if len(files) > mostCards {
		v.More = len(files) - mostCards
		files = files[:mostCards]
	}
	var q *app.Request
	if len(a.Values[labelName])+len(a.Values[jobName]) > 0 {
		err := s.folder.allows(a.Values)
		if err == nil {
			q, err = app.Resolve(a.Values)
		}
		if err != nil {
			v.Failure = plainly(err)
		}
	}
	if jobs := a.Values[jobName]; len(jobs) > 0 {
		v.Names = namesOf(jobs[0])
	}
	quiet, kept := app.Run{}, map[string]card{}
	for i, file := range files {
		if ctx.Err() != nil {
			break
		}
		run.Progress(app.Step{Stage: "files", Done: i, Total: len(files)})
		key := fmt.Sprintf("%q ", file) + a.command("check", false) + "#" + h.inputs
		one, known := s.cards[key]
		if !known {
			one = s.cardOf(ctx, quiet, file, q, a)
		}
		v.Cards = append(v.Cards, one)
		kept[key] = one
	}
	if ctx.Err() == nil {
		s.cards = kept
	}
	for _, plan := range h.Plans {
		v.Plans = append(v.Plans, s.planCard(plan))
	}
	for i := range v.Cards { // nobody needs to look at what is released
		of := func(in write.Input) bool { return in.SHA256 != "" && in.SHA256 == v.Cards[i].sum }
		if slices.ContainsFunc(v.Plans, func(p planCard) bool { return p.Approved != "" && slices.ContainsFunc(p.made, of) }) {
			v.Cards[i].Word, v.Cards[i].Good = "plan approved", true
		}
	}
	if q != nil {
		all := a
		all.File = "."
		v.Command = all.command("check", false)
	}
	return v
}

// cardOf works out one prescription for the overview.
func (s *server) cardOf(ctx context.Context, run app.Run, file string, q *app.Request, a asked) card {
	a.File = filepath.FromSlash(file)
	c := card{File: file, Link: "field?" + a.query()}
	local, err := s.folder.inside(file)
	if err == nil && q == nil {
		c.Text = "Choose a label to see its verdict."
		return c
	}
	var r report.Result
	if err == nil {
		r, err = run.Check(ctx, local, q)
	}
	if err != nil {
		c.Word, c.Err = "failed", plainly(err).Text
		return c
	}
	c.Small, c.Text, c.sum = thumb(groundOf(r.Prescription), verdictMap(r), sharesText(r)), report.BlendText(r), r.Prescription.Source.SHA256()
	d := r.Decide()
	c.Word, c.Good = wordOf(r, d)
	if d.Best != nil {
		c.Best = equip.TitleOf(d.Best.Name, len(d.Best.Loads)) + ", " + d.Best.State.String()
	}
	return c
}

// wordOf says in a word what a prescription comes to as one impregnated blend.
func wordOf(r report.Result, d rx.Decision) (word string, good bool) {
	switch {
	case report.FileErrors(r.Findings) > 0:
		return "repair the file", false
	case slices.ContainsFunc(r.Findings, rx.Finding.Doubt):
		return "in doubt", false
	case d.Impregnate:
		return "on label", true
	case r.Assessment.OffLabel() > 0:
		return "off label", false
	}
	return "look", false
}
