package serve

import (
	"regexp"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// textFile is a kind of YAML file that a form fills in.
type textFile struct {
	kind, title, name string
	template          func() string
	forms             func() []strictyaml.Form
	written           func([]byte) *strictyaml.Document
	check             func(name string, text []byte) ([]label.Problem, error)
	command           string
	canNone           bool // a key may be answered with not being on the label
}

// textFiles lists them.
func textFiles() map[string]textFile {
	return map[string]textFile{
		"label": {
			"label", "Label profile", "label.yaml", label.Template, labelForms, label.Written,
			func(name string, text []byte) ([]label.Problem, error) {
				_, odd, err := label.Check(name, text)
				return odd, err
			}, "rxsplit label check ", true,
		},
		"job": {
			"job", "Job with its equipment", "job.yaml", app.JobTemplate, equip.Questions, equip.Written,
			func(name string, text []byte) ([]label.Problem, error) {
				_, odd, err := equip.CheckJob(name, text)
				return odd, err
			}, "rxsplit job check ", false,
		},
	}
}

func labelForms() (list []strictyaml.Form) {
	for _, q := range label.Questions() {
		list = append(list, q.Form)
	}
	return list
}

// fields are the form of a file with its answers.
func (k textFile) fields(a answers, text []byte) []ask {
	list := asks(k.forms(), a, "", 0)
	if !k.canNone {
		helps := jobHelps()
		for i := range list {
			key := list[i].Name
			list[i].each(func(part *ask) { part.Help = helps[key+"."+part.Name] })
			list[i].Help = helps[key]
		}
		return list
	}
	form, filled := a.(inForm)
	for i, q := range label.Questions() {
		one := &list[i]
		one.What, one.Help, one.CanNone = q.What, q.Help, !q.Required && q.Name != "label" && q.Name != "entered"
		one.None = one.CanNone && strictyaml.Noted(text, q.Name, label.NotOnLabel)
		if filled {
			one.None = one.CanNone && form.text(one.Key+" none") != ""
		}
	}
	return list
}

// isOption reports whether a key of the job file is an option of the commands too.
func isOption(name string) bool {
	return slices.ContainsFunc(app.Options(), func(o app.Option) bool { return o.Name == name && o.InJob() })
}

var (
	templateKey = regexp.MustCompile(`^#([a-z-]+):`)
	partOfKey   = regexp.MustCompile(`(?:^|[;.] )([a-z-]+): `)
)

// jobHelps are what the template of a job file remarks above its keys, by key, and of a key
// in another, as "drum: room that it may fill", by both with a dot between.
func jobHelps() map[string]string {
	helps, remark := map[string]string{}, ""
	for line := range strings.Lines(app.JobTemplate()) {
		if key := templateKey.FindStringSubmatch(line); key != nil {
			end := len(remark)
			for _, at := range slices.Backward(partOfKey.FindAllStringSubmatchIndex(remark, -1)) {
				helps[key[1]+"."+remark[at[2]:at[3]]] = sentence(remark[at[1]:end])
				end = at[0]
			}
			helps[key[1]] = sentence(remark[:end])
		}
		text, ok := strings.CutPrefix(line, "# ")
		if !ok || strings.HasPrefix(text, " ") {
			remark = ""
			continue
		}
		remark = strings.TrimSpace(remark + " " + strings.TrimSpace(text))
	}
	return helps
}

// sentence writes a remark as one; empty for none.
func sentence(remark string) string {
	if remark == "" {
		return ""
	}
	return tell.Capital(strings.TrimSuffix(remark, ".")) + "."
}

// edit brings the answers of a form into a file: keys that say the same keep their lines.
func (k textFile) edit(text []byte, form []ask) ([]byte, error) {
	before := k.written(text)
	old := k.fields(inFile(before.All()), text)
	var changed []string
	for i, q := range form {
		was, now := old[i].written(), q.written()
		none, wasNone := q.None && now == "", old[i].None
		switch {
		case was == now && none == wasNone:
			continue
		case none:
			text = strictyaml.Unset(text, q.Name, label.NotOnLabel)
		case now == "" && was == "": // it is not said any more that the label lacks it
			text = strictyaml.Unset(text, q.Name, "unknown")
		case now == "":
			text = strictyaml.Unset(text, q.Name, "")
		default:
			text = setKey(text, q, old[i])
		}
		changed = append(changed, q.Name)
	}
	if err := strictyaml.Same(before, k.written(text), changed); err != nil {
		return nil, &app.Error{What: err.Error(), Hint: "its form is not one that a form can change without loss", Err: err}
	}
	return text, nil
}

// setKey changes a key or, where it has a line for each key in it, only the lines of those
// that are changed.
func setKey(text []byte, q, old ask) []byte {
	inner, ok := strictyaml.Inside(text, q.Name)
	if !ok || q.Kind != strictyaml.Group {
		return strictyaml.Set(text, q.Name, q.written())
	}
	for i, p := range q.Parts {
		switch now := p.written(); {
		case now == old.Parts[i].written():
		case now == "":
			inner = strictyaml.Unset(inner, p.Name, "")
		default:
			inner = strictyaml.Set(inner, p.Name, now)
		}
	}
	return strictyaml.SetInside(text, q.Name, inner)
}

// judge checks a file and puts what is wrong, or odd, beside the fields. It returns what
// belongs to none of them, and whether the file can be used.
func (k textFile) judge(name string, text []byte, form []ask) (rest []string, ok bool) {
	odd, err := k.check(name, text)
	said := map[string]string{}
	if err != nil {
		f := app.Explain(err)
		for _, spot := range f.At {
			if said[spot.Key] == "" {
				said[spot.Key] = spot.What
			}
		}
		if len(f.At) == 0 {
			rest = append(rest, f.Text)
		}
	}
	remarks := map[string]string{}
	for _, p := range odd {
		remarks[p.Key] = p.Text
	}
	for i := range form {
		form[i].each(func(q *ask) {
			q.Err, q.Remark = said[q.Key], remarks[q.Key]
			delete(said, q.Key)
			delete(remarks, q.Key)
		})
	}
	for key, what := range said {
		rest = append(rest, strings.TrimPrefix(key+": "+what, ": "))
	}
	for key, what := range remarks {
		rest = append(rest, key+": "+what)
	}
	slices.Sort(rest)
	return rest, err == nil
}
