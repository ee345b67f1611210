package serve

import (
	"cmp"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
)

// group is some of the options, under one heading.
type group struct {
	Title  string
	Step   string // of the page where they are asked for: "rate", "terms", or empty for those that are seldom wanted
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
	Choice []choice // to choose from; none for a text
	None   string   // what it is not to choose any
	Ask    bool     // it has to be said, and nobody has
	Radio  bool
	Names  string // whose job it is, where the chosen one says so
	Err    string
}

type choice struct {
	Value, Text string
	Selected    bool
}

// optionGroups lists the options that are not asked for elsewhere on the page: every one of
// the table, so that nothing that a command line can say is missing here.
func (s *server) optionGroups(a asked, h *holding) []group {
	list := []group{{Title: "What its numbers count", Step: "rate"}, {Title: "Label and job", Step: "terms"}}
	for _, o := range app.Options() {
		one := option{Option: o, Words: keyWords(o.Name), Tip: o.Help, None: "as the job says, or none", Value: strings.Join(a.Values[o.Name], ", ")}
		if o.Name == keepOutName {
			one.Choice = choices(h.Fields, one.Value)
		} else if o.Choices != nil {
			one.Choice, one.None = choices(o.Choices, one.Value), "not said"
			if o.InJob() {
				one.None = "as the job says, or " + cmp.Or(o.Default, "not said")
			}
		}
		one.On = one.Value == "true"
		at := slices.IndexFunc(list, func(g group) bool { return g.Title == o.Group })
		switch o.Name {
		case fieldName, wayName, acceptName:
			continue // asked for by themselves
		case rateUnitName, rateOfName, analysisName:
			at = 0
		case labelName, jobName:
			at = 1
			one.documents(a, h)
		}
		if at < 0 {
			at, list = len(list), append(list, group{Title: o.Group})
		}
		list[at].Fields = append(list[at].Fields, one)
		list[at].Open = list[at].Open || one.Value != "" && one.Value != o.Default
	}
	return list
}

// documents makes a choice of the folder's labels or jobs.
func (o *option) documents(a asked, h *holding) {
	files := map[string][]string{labelName: h.Labels, jobName: h.Jobs}[o.Name]
	o.Choice, o.Tip = choices(files, o.Value), map[string]string{labelName: "what the product's label allows", jobName: "the equipment, the blend and the prices"}[o.Name]
	if o.Name == jobName || len(a.Values[jobName]) == 0 {
		o.None = "none"
	}
	if o.Name == jobName {
		o.Names = namesOf(o.Value)
	}
}

// askRate asks what the numbers of the rate's column count, where neither the page nor the job
// has said it: what the file itself says of it is chosen already. It reports whether all is said.
func (g *group) askRate(inJob *app.Request, columns []column) (said bool) {
	unit, n := statedOf(columns)
	said = true
	for i := range g.Fields {
		o := &g.Fields[i]
		job := ""
		if inJob != nil {
			job = strings.Join(inJob.Value(o.Name), ", ")
		}
		o.None, o.Ask, o.Radio = "choose it", o.Value == "" && job == "" && o.Name != analysisName, o.Name == rateOfName
		if job != "" {
			o.None = "as the job says: " + job
		} else if o.Radio {
			o.None = "" // it is one or the other
		}
		switch {
		case o.Name == analysisName:
			o.Words = "analysis, the grade of the product"
			o.Tip = "such as 46-0-0, of several columns in their order with commas between; needed where N is counted"
			o.Default = cmp.Or(o.Default, job)
		case o.Name == rateOfName:
			o.Words, o.Tip = "the numbers are rates of", ""
			for c := range o.Choice {
				o.Choice[c].Text = map[string]string{"product": "the product itself, as it is spread", "N": "the nitrogen (N) in it"}[o.Choice[c].Value]
			}
			if n && o.Ask {
				o.choose("N")
			}
		default:
			o.Words, o.Tip = "counted in", ""
			if o.Ask {
				o.choose(unit)
			}
		}
		said = said && !o.Ask
	}
	return said
}

// choose makes one choice the chosen one, until somebody chooses another.
func (o *option) choose(value string) {
	for i := range o.Choice {
		o.Choice[i].Selected = o.Choice[i].Value == value
	}
}

// statedOf is what the chosen columns, or else the one that can be the rate, say of
// themselves: their unit, where it is one, and that they count N.
func statedOf(columns []column) (unit string, n bool) {
	var rates []column
	for _, c := range columns {
		if c.Chosen {
			rates = append(rates, c)
		}
	}
	for i, c := range rates {
		if i == 0 {
			unit, n = c.Unit, c.OfN
		} else if c.Unit != unit {
			unit = ""
		}
		n = n && c.OfN
	}
	return unit, n
}

func choices(files []string, value string) []choice {
	list := []choice{{Value: ""}}
	value = filepath.ToSlash(value)
	for _, f := range files {
		list = append(list, choice{f, f, f == value})
	}
	if value != "" && !slices.Contains(files, value) {
		list = append(list, choice{value, value, true})
	}
	return list
}
