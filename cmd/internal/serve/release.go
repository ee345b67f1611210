package serve

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"path/filepath"

	"rxsplit/cmd/internal/app"
)

// free returns a name that nothing in the folder has, as like another as can be.
func (f *folder) free(name string) string {
	for n := 1; n < 1000; n++ {
		try := name
		if n > 1 {
			try = fmt.Sprintf("%s-%d", name, n)
		}
		if _, err := f.root.Lstat(filepath.FromSlash(try)); errors.Is(err, fs.ErrNotExist) {
			return try
		}
	}
	return name
}

// target is where a plan is to be written: a new name in a folder that is there.
func (f *folder) target(name string) (string, error) {
	if err := named(name); err != nil {
		return "", &app.Error{What: fmt.Sprintf("%.60q can't be the name of a new folder", name), Hint: "use letters, digits, dashes and spaces"}
	}
	local := filepath.FromSlash(name)
	if dir := filepath.Dir(local); dir != "." {
		if _, err := f.inside(filepath.ToSlash(dir)); err != nil {
			return "", err
		}
	}
	return local, nil
}

// split writes and proves the plan of a way.
func (s *server) split(w http.ResponseWriter, r *http.Request) {
	a, err := s.ask(r)
	back := "field?" + a.query() + "#release"
	var to app.Target
	if err == nil {
		to.Dir, err = s.folder.target(r.PostForm.Get("out"))
	}
	to.KML = r.PostForm.Get("kml") != ""
	if r.PostForm.Get("stamp") != "" {
		to.Stamp = s.options.Now()
	}
	if err != nil {
		s.write(w, s.wrong(http.StatusBadRequest, err, back))
		return
	}
	t, err := s.works.do(&task{title: "Writing " + to.Dir, back: back, writes: true}, "", func(ctx context.Context, run app.Run) made {
		return s.release(ctx, run, a, to, back)
	})
	s.answerWork(w, r, t, err)
}

// release writes a plan; whoever put a file into the folder at the same time waits.
func (s *server) release(ctx context.Context, run app.Run, a asked, to app.Target, back string) made {
	s.writing.Lock()
	defer s.writing.Unlock()
	q, err := app.Resolve(a.Values)
	if err == nil {
		_, _, err = run.Split(ctx, a.File, q, to)
	}
	switch {
	case err != nil && ctx.Err() != nil:
		return made{again: true}
	case err != nil:
		return s.wrong(http.StatusConflict, err, back)
	}
	return made{at: "plan?" + url.Values{"dir": {filepath.ToSlash(to.Dir)}, "written": {splitCommand(a, filepath.ToSlash(to.Dir), to)}}.Encode()}
}

// answerWork sends what work that changes the folder comes to or, where it takes long, goes
// to a page that can be loaded again.
func (s *server) answerWork(w http.ResponseWriter, r *http.Request, t *task, err error) {
	if err != nil {
		s.busy(w)
		return
	}
	select {
	case <-t.done:
		s.finish(w, r, t)
	default:
		http.Redirect(w, r, s.prefix+"work?id="+t.id, http.StatusSeeOther)
	}
}
