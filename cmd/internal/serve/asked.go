package serve

import (
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
)

// Names of options that a page asks for by themselves.
const (
	labelName   = "label"
	jobName     = "job"
	fieldName   = "rate-field"
	wayName     = "way"
	unitsName   = "units"
	acceptName  = "accept"
	keepOutName = "keep-out"

	rateUnitName = "rate-unit"
	rateOfName   = "rate-of"
	analysisName = "analysis"
)

// asked is what a page is asked for: a file and options, as the address or a form gives them.
type asked struct {
	File   string
	Values app.Values
}

// ask reads what is asked for, and makes sure that all of it lies in the folder.
func (s *server) ask(r *http.Request) (asked, error) {
	a := asked{Values: app.Values{}}
	a.read(r.Form)
	if a.File != "" {
		local, err := s.folder.inside(a.File)
		if err != nil {
			return a, err
		}
		a.File = local
	}
	return a, s.folder.allows(a.Values)
}

// read takes the options out of a form.
func (a *asked) read(form url.Values) {
	a.File = form.Get("file")
	for _, o := range app.Options() {
		var list []string
		for _, text := range form[o.Name] {
			if o.Kind == app.List && o.Name != fieldName && o.Name != acceptName {
				for part := range strings.SplitSeq(text, ",") {
					list = append(list, strings.TrimSpace(part))
				}
				continue
			}
			list = append(list, strings.TrimSpace(text))
		}
		list = slices.DeleteFunc(list, func(text string) bool { return text == "" })
		if o.Kind == app.File || o.Kind == app.Document {
			for i, name := range list {
				list[i] = filepath.FromSlash(name)
			}
		}
		if o.Kind != app.List && len(list) > 1 {
			list = list[:1]
		}
		if len(list) > 0 {
			a.Values[o.Name] = list
		}
	}
	if ticked := form["ticked"]; len(ticked) > 0 && slices.Equal(ticked, form[fieldName]) {
		delete(a.Values, fieldName) // the page's own ticks are nobody's choice: another job may want another column
	}
	for name, texts := range form {
		rule, doubt := strings.CutPrefix(name, acceptName+".")
		if doubt && strings.TrimSpace(texts[0]) != "" {
			a.Values[acceptName] = append(a.Values[acceptName], rule+"="+texts[0])
		}
	}
	slices.Sort(a.Values[acceptName])
}

// with returns the same with an option set to something else; to nothing without texts.
func (a asked) with(name string, texts ...string) asked {
	values := app.Values{}
	for k, v := range a.Values {
		values[k] = v
	}
	delete(values, name)
	if len(texts) > 0 {
		values[name] = texts
	}
	return asked{a.File, values}
}

// query writes what is asked for as it stands in an address.
func (a asked) query() string {
	q := url.Values{}
	if a.File != "" {
		q.Set("file", filepath.ToSlash(a.File))
	}
	for name, texts := range a.Values {
		q[name] = texts
	}
	return q.Encode()
}

// Hidden lists what a form carries along, without the options that it asks for itself.
func (a asked) Hidden(without ...string) (list []pair) {
	if a.File != "" {
		list = append(list, pair{"file", filepath.ToSlash(a.File)})
	}
	for _, o := range app.Options() {
		if slices.Contains(without, o.Name) {
			continue
		}
		for _, text := range a.Values[o.Name] {
			list = append(list, pair{o.Name, text})
		}
	}
	return list
}

type pair struct{ Name, Value string }

// command is what a terminal takes for a check or a split.
func (a asked) command(verb string, splits bool) string {
	values := app.Values{}
	for _, o := range app.Options() {
		if texts := a.Values[o.Name]; len(texts) > 0 && (splits || !o.Splits) {
			values[o.Name] = texts
		}
	}
	return "rxsplit " + verb + " " + app.Command(a.File, values)
}
