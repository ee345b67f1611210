package serve

import (
	"path/filepath"
	"slices"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/read"
)

// group is some of the options, under one heading.
type group struct {
	Title  string
	Open   bool
	Fields []option
}

// option is one option as a field of a form.
type option struct {
	app.Option
	Words  string
	Value  string
	On     bool
	Tip    string   // how to fill it in
	Choice []choice // of files; none for a text
	None   string   // what it is not to choose any
	Names  string   // whose job it is, where the chosen one says so
	Err    string
}

type choice struct {
	Value    string
	Selected bool
}

// optionGroups lists the options that are not asked for elsewhere on the page: every one of
// the table, so that nothing that a command line can say is missing here.
func (s *Server) optionGroups(a asked, h *holding) []group {
	main := group{Title: "Label and job", Open: len(a.Values[labelName])+len(a.Values[jobName]) == 0}
	rates := group{Title: "What the rates count, and what is wanted"}
	opens := group{Title: "How the file is opened"}
	for _, o := range app.Options() {
		one := option{Option: o, Words: optionWords(o.Name), Tip: o.Help, None: "as the job says, or none"}
		for _, text := range a.Values[o.Name] {
			if one.Value != "" {
				one.Value += ", "
			}
			one.Value += text
		}
		one.On = one.Value == "true"
		switch {
		case o.Name == fieldName, o.Name == wayName, o.Name == acceptName:
			continue // asked for by themselves
		case o.Name == labelName || o.Name == jobName:
			files := map[string][]string{labelName: h.Labels, jobName: h.Jobs}[o.Name]
			one.Choice, one.Tip = choices(files, one.Value), map[string]string{labelName: "what the product's label allows", jobName: "the equipment, the blend and the prices"}[o.Name]
			if o.Name == jobName || len(a.Values[jobName]) == 0 {
				one.None = "none"
			}
			if o.Name == jobName {
				one.Names = namesOf(one.Value)
			}
			main.Fields = append(main.Fields, one)
		case o.Opens:
			opens.Fields = append(opens.Fields, one)
			opens.Open = opens.Open || one.Value != ""
		default:
			if o.Kind == app.File {
				one.Choice = choices(h.Fields, one.Value)
			}
			rates.Fields = append(rates.Fields, one)
			rates.Open = rates.Open || one.Value != ""
		}
	}
	return []group{main, rates, opens}
}

func choices(files []string, value string) []choice {
	list := []choice{{Value: ""}}
	value = filepath.ToSlash(value)
	for _, f := range files {
		list = append(list, choice{f, f == value})
	}
	if value != "" && !slices.Contains(files, value) {
		list = append(list, choice{value, true})
	}
	return list
}

// isPart reports whether a name ends as a part of a prescription's file does.
func isPart(ending string) bool { return slices.Contains(read.Parts(), ending) }
