package serve

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/write"
)

// textPage is the form of a label profile or a job file.
type textPage struct {
	frame
	Kind, File string
	New        bool
	Was        string // the digest of the file that the form was made from
	Groups     []askGroup
	Rest       []string
	Wrong      bool
	Sure       string // of a file with odd figures, its digest: to be sent again if they are meant
	Saved      bool
	Next       string // the page that the form was opened from; empty for the folder's
	Failure    *failure
	Command    string
}

type askGroup struct {
	Title string
	Plain bool // shown without a heading to open
	Open  bool
	Asks  []ask
}

// mostText is how long such a file may be.
const mostText = 32 << 10

// textForm shows the form of a file, or of a new one.
func (s *server) textForm(kind string) http.HandlerFunc {
	k := textFiles()[kind]
	return func(w http.ResponseWriter, r *http.Request) {
		name := r.FormValue("file")
		text, err := s.textOf(k, name)
		if err != nil {
			s.failed(w, http.StatusNotFound, err)
			return
		}
		form := k.fields(inFile(k.written(text).All()), text)
		v := s.textPage(k, name, text, form)
		v.Next = nextPage(r.FormValue("next"))
		if name != "" {
			v.Rest, _ = k.judge(name, text, form)
			v.Saved = r.FormValue("saved") != ""
		}
		s.write(w, s.page("text.html", v))
	}
}

// textOf reads a file, or the template where none is named.
func (s *server) textOf(k textFile, name string) ([]byte, error) {
	if name == "" {
		return []byte(k.template()), nil
	}
	local, err := s.folder.inside(name)
	if err != nil {
		return nil, err
	}
	if !isText(strings.ToLower(path.Ext(name))) {
		return nil, &app.Error{What: name + ": is no label profile and no job file", Hint: "go back to the folder and choose one"}
	}
	file, err := s.folder.open(local)
	if err != nil {
		return nil, &app.Error{What: name + ": " + app.SystemSays(err)}
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, mostText+1))
	if err == nil && len(text) > mostText {
		err = &app.Error{What: name + ": is longer than such a file can be", Hint: "go back to the folder and choose another"}
	}
	return text, err
}

func (s *server) textPage(k textFile, name string, text []byte, form []ask) *textPage {
	v := &textPage{frame: s.frame(k.title), Kind: k.kind, File: name, New: name == "", Was: write.Digest(text)}
	if v.New {
		v.File = s.folder.free(k.name)
		if v.File != k.name {
			v.File = strings.Replace(v.File, path.Ext(k.name), "", 1) + path.Ext(k.name)
		}
	} else {
		v.Title = name
		v.Command = k.command + report.Word(name)
	}
	h, _ := s.folder.look() // without it a name is typed
	if path.Dir(name) != "." {
		h = nil
	}
	v.Groups = groupsOf(k, form, h)
	return v
}

// groupsOf puts the fields under headings: of a label all under one, of a job a machine each.
func groupsOf(k textFile, form []ask, h *holding) []askGroup {
	if k.canNone {
		return []askGroup{{Title: "From the label in hand", Plain: true, Asks: form}}
	}
	rx, sheets := askGroup{Title: "The prescription, and what is wanted"}, askGroup{Title: "For the work sheets"}
	var machines []askGroup
	for _, q := range form {
		if h != nil && q.Name == "label" { // their names count from the same folder
			q.Labels = h.Labels
		}
		open := wrongIn(q)
		switch {
		case q.Kind == strictyaml.Group || q.Kind == strictyaml.Items:
			if q.Name == "second-liquid" && !q.Given {
				continue // the short form of a further liquid
			}
			machines = append(machines, askGroup{Title: q.What, Open: q.Given || open, Asks: []ask{q}})
		case isOption(q.Name), q.Kind == strictyaml.Amount, q.Kind == strictyaml.Switch:
			rx.Asks, rx.Open = append(rx.Asks, q), rx.Open || q.Given || open
		default:
			sheets.Asks, sheets.Open = append(sheets.Asks, q), sheets.Open || q.Given || open
		}
	}
	return slices.Concat(machines, []askGroup{rx, sheets}) // machines first: the rest is asked for with the field too
}

func wrongIn(q ask) (wrong bool) {
	q.each(func(p *ask) { wrong = wrong || p.Err != "" })
	return wrong
}

func oddIn(q ask) (odd bool) {
	q.each(func(p *ask) { odd = odd || p.Remark != "" })
	return odd
}

// filled is a form that was sent: the file that it would make, and what is wrong with it.
func (s *server) filled(k textFile, form url.Values) (name string, text []byte, fields []ask, err error) {
	if form.Get("new") == "" {
		name = form.Get("file")
	}
	if text, err = s.textOf(k, name); err != nil {
		return name, nil, nil, err
	}
	fields = k.fields(inForm(form), text)
	if write.Digest(text) != form.Get("was") {
		return name, text, fields, &app.Error{What: name + ": was changed since this form was opened", Hint: "open it again, and enter your changes there"}
	}
	text, err = k.edit(text, fields)
	return name, text, fields, err
}

// save writes what a form says into the file, unless something is wrong with it.
func (s *server) save(kind string) http.HandlerFunc {
	k := textFiles()[kind]
	return func(w http.ResponseWriter, r *http.Request) {
		s.writing.Lock()
		defer s.writing.Unlock()
		name, text, fields, err := s.filled(k, r.PostForm)
		ok, sure := false, ""
		var rest []string
		if err == nil {
			rest, ok = k.judge(r.PostForm.Get("file"), text, fields)
		}
		if ok && (len(rest) > 0 || slices.ContainsFunc(fields, oddIn)) {
			sure = write.Digest(text)
		}
		if ok && (sure == "" || sure == r.PostForm.Get("sure")) {
			if err = s.put(name, r.PostForm.Get("file"), text); err == nil {
				s.saved(w, r, kind)
				return
			}
		}
		v := s.textPage(k, name, text, fields)
		v.Next = nextPage(r.PostForm.Get("next"))
		v.File, v.Was, v.Rest, v.Wrong = r.PostForm.Get("file"), r.PostForm.Get("was"), rest, err == nil && !ok
		v.Sure = sure
		if err != nil {
			v.Failure = plainly(err)
		}
		m := s.page("text.html", v)
		m.status = http.StatusUnprocessableEntity
		s.write(w, m)
	}
}

// saved goes on: to the page that the form was opened from, with what was saved chosen there.
func (s *server) saved(w http.ResponseWriter, r *http.Request, kind string) {
	file := r.PostForm.Get("file")
	if next := nextPage(r.PostForm.Get("next")); next != "" {
		at, query, _ := strings.Cut(next, "?")
		q, _ := url.ParseQuery(query) // what can't be read is left out
		q.Set(kind, file)
		http.Redirect(w, r, s.prefix+at+"?"+q.Encode(), http.StatusSeeOther)
		return
	}
	http.Redirect(w, r, s.prefix+kind+"?"+url.Values{"file": {file}, "saved": {"1"}}.Encode(), http.StatusSeeOther)
}

// nextPage takes the page of a prescription alone.
func nextPage(link string) string {
	if strings.HasPrefix(link, "field?") {
		return link
	}
	return ""
}

// put writes a new file, never over another, or a new state of the one that was opened.
func (s *server) put(old, name string, text []byte) error {
	if old == "" {
		if err := takes(name); err != nil {
			return err
		}
		if !isText(strings.ToLower(path.Ext(name))) {
			return &app.Error{What: name + ": such files end in .yaml", Hint: "name it so"}
		}
		return s.folder.add(name, bytes.NewReader(text))
	}
	local := filepath.FromSlash(old) // it was read from there: see textOf
	part := filepath.Join(filepath.Dir(local), "."+filepath.Base(local)+".part-"+random(4))
	root := s.folder.root
	defer root.Remove(part)
	err := root.WriteFile(part, text, 0o666)
	if err == nil {
		err = root.Rename(part, local)
	}
	if err != nil {
		return &app.Error{What: old + ": " + app.SystemSays(err), Hint: "the folder can't be written to", Err: err}
	}
	return nil
}

// try tells a script what is wrong with a form as it stands, by key.
func (s *server) try(w http.ResponseWriter, r *http.Request) {
	said := struct {
		Err    map[string]string `json:"err"`
		Remark map[string]string `json:"remark"`
	}{map[string]string{}, map[string]string{}}
	k, known := textFiles()[r.PostForm.Get("kind")]
	if !known {
		s.nothing(w, r)
		return
	}
	if _, text, fields, err := s.filled(k, r.PostForm); err == nil {
		k.judge(r.PostForm.Get("file"), text, fields)
		for i := range fields {
			fields[i].each(func(q *ask) {
				if q.Err != "" {
					said.Err[q.Key] = q.Err
				}
				if q.Remark != "" {
					said.Remark[q.Key] = q.Remark
				}
			})
		}
	}
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(said)
}
