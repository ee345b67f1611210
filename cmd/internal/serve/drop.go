package serve

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/read"
)

// What may be dropped at once.
const (
	mostFiles   = 40
	mostDropped = 4 << 30 // bytes of all files
)

// drop copies files into the folder, each whole or not at all, and never over another.
func (s *server) drop(w http.ResponseWriter, r *http.Request) {
	if r.ContentLength > mostDropped {
		s.cut(w)
		s.failed(w, http.StatusRequestEntityTooLarge, &app.Error{What: "that is more than can be copied at once", Hint: "copy large files into the folder with the system's own means"})
		return
	}
	if !s.works.enter() {
		s.busy(w)
		return
	}
	defer s.works.alive.Done()
	stop := context.AfterFunc(s.ended, func() { http.NewResponseController(w).SetReadDeadline(time.Now()) })
	defer stop()
	r.Body = http.MaxBytesReader(w, r.Body, mostDropped)
	parts, err := r.MultipartReader()
	if err != nil {
		s.failed(w, http.StatusBadRequest, &app.Error{What: "the files can't be read", Hint: "drop them again"})
		return
	}
	var came []string
	for seen := 0; ; seen++ {
		part, err := parts.NextPart()
		switch {
		case errors.Is(err, io.EOF):
			err = nil
		case err != nil:
			err = &app.Error{What: "the files can't be read", Hint: "drop them again", Err: err}
		case seen == mostFiles:
			err = &app.Error{What: fmt.Sprintf("more than %d files are dropped at once", mostFiles), Hint: "drop the others after these"}
		case part.FormName() == "file":
			err = s.take(part)
			came = append(came, part.FileName())
		}
		if err != nil {
			s.failed(w, http.StatusConflict, err)
			return
		}
		if part == nil {
			break
		}
	}
	fields := slices.DeleteFunc(came, func(name string) bool { return !slices.Contains(read.Endings(), strings.ToLower(path.Ext(name))) })
	if len(fields) == 1 { // alone, or with its parts
		http.Redirect(w, r, s.prefix+"field?"+asked{File: fields[0]}.query(), http.StatusSeeOther)
		return
	}
	http.Redirect(w, r, s.prefix, http.StatusSeeOther)
}

// take copies one file that is dropped.
func (s *server) take(part *multipart.Part) error {
	name := part.FileName()
	if err := takes(name); err != nil {
		return err
	}
	return s.folder.add(name, part)
}

// takes refuses what is no file for this folder.
func takes(name string) error {
	ending := strings.ToLower(path.Ext(name))
	switch {
	case named(name) != nil || strings.ContainsAny(name, `/\:*?"<>|`) || len(name) > 150 || strings.HasSuffix(name, "."):
		return &app.Error{What: fmt.Sprintf("%.80q: such a name is not taken", name), Hint: "give the file another name: letters, digits, dashes and spaces"}
	case !slices.Contains(read.Endings(), ending) && !slices.Contains(read.Parts(), ending) && !isText(ending):
		return &app.Error{What: name + ": such a file is not used here", Hint: read.Wanted() + "; label profiles and job files are .yaml"}
	}
	return nil
}

// add puts a file into the folder under a name that nothing has.
func (f *folder) add(name string, from io.Reader) error {
	err := error(fs.ErrExist)
	if !f.has(name) {
		err = f.place(name, 0o666, from)
	}
	var large *http.MaxBytesError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return &app.Error{What: name + ": is in the folder already, and no file is copied over another", Hint: "give one of the two another name, or remove the old one with the system's own means"}
	case errors.As(err, &large):
		return &app.Error{What: name + ": that is more than can be copied at once", Hint: "copy large files into the folder with the system's own means"}
	}
	return &app.Error{What: name + ": it was not copied, and nothing of it was kept: " + app.SystemSays(err), Hint: "bring it again; if the folder can't be written to, choose another one", Err: err}
}

// place makes a file of a name that nothing has: under another name first, so that it is
// there whole or not at all. The error is [fs.ErrExist] where something has the name.
func (f *folder) place(name string, mode fs.FileMode, from io.Reader) error {
	part := "." + name + ".part-" + random(4)
	file, err := f.root.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	defer f.root.Remove(part)
	_, err = io.Copy(file, from)
	if err == nil {
		err = file.Sync()
	}
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return err
	}
	f.naming.Lock()
	defer f.naming.Unlock()
	if f.has(name) {
		return fs.ErrExist
	}
	err = f.root.Link(part, name)
	if err != nil && !errors.Is(err, fs.ErrExist) { // a file system without links: nothing has the name, as far as can be told
		err = f.root.Rename(part, name)
	}
	return err
}

// has reports whether something has a name, in capitals or not: other systems don't tell
// them apart.
func (f *folder) has(name string) bool {
	dir, err := f.root.Open(".")
	if err != nil {
		return true
	}
	defer dir.Close()
	names, _ := dir.Readdirnames(-1)
	return slices.ContainsFunc(names, func(other string) bool { return strings.EqualFold(other, name) })
}

// demo puts the invented field, label and job into the folder.
func (s *server) demo(w http.ResponseWriter, r *http.Request) {
	s.writing.Lock()
	defer s.writing.Unlock()
	for _, file := range app.DemoFiles() {
		if s.folder.has(file.Name) {
			s.failed(w, http.StatusConflict, &app.Error{What: file.Name + ": is in the folder already", Hint: "the invented field wants a folder without files of these names"})
			return
		}
	}
	for _, file := range app.DemoFiles() {
		if err := s.folder.add(file.Name, strings.NewReader(string(file.Text))); err != nil {
			s.failed(w, http.StatusConflict, err)
			return
		}
	}
	http.Redirect(w, r, s.prefix, http.StatusSeeOther)
}

// uploadTime is how long files that are dropped may take to come.
const uploadTime = 5 * time.Minute
