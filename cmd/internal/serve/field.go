package serve

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
	"rxsplit/rx/tell"
)

// field is the page of one prescription, from what its file holds to the way that is chosen.
type field struct {
	frame
	asked
	*holding
	Self    string // this page's own address
	Facts   []fact
	Columns []column
	ToName  bool // the rate's column has to be named, and is not
	ToCheck bool // only the label has to be chosen
	Found   []found
	Options []group
	Unsaid  bool // whether the rates count product or N, or their unit

	Failure *failure // what stops the check
	Checked *checked
	Command string
}

type fact struct{ What, Value string }

// column is one column of the file's table.
type column struct {
	Name, Kind, Low, High, Mean, Empty, Note string

	CanBe, Chosen bool   // the rate
	Unit          string // that the file or the name says; empty for none
	OfN           bool   // by the name
	Map, Bins     *drawing
}

// NoRate reports whether the table has no column that can be the rate.
func (v field) NoRate() bool {
	can := func(c column) bool { return c.CanBe || c.Chosen }
	return len(v.Columns) > 0 && !slices.ContainsFunc(v.Columns, can)
}

// found is a finding in words.
type found struct {
	Severity, Text, Hint string
	Rule                 string // where it is a doubt that can be answered
	Reason               string // that was given
}

// field shows one prescription.
func (s *server) field(w http.ResponseWriter, r *http.Request) {
	h, a, ok := s.askIn(w, r, true)
	if !ok {
		return
	}
	t, err := s.works.do(&task{title: filepath.Base(a.File), back: ""}, "field?"+a.query()+"#"+h.mark, func(ctx context.Context, run app.Run) made {
		return s.fieldOf(ctx, run, h, a)
	})
	s.answer(w, r, t, err)
}

func (s *server) fieldOf(ctx context.Context, run app.Run, h *holding, a asked) made {
	v := field{frame: s.frame(filepath.Base(a.File)), asked: a, holding: h, Self: "field?" + a.query(), Options: s.optionGroups(a, h)}
	l, err := s.lookAt(ctx, run, a, h.inputs)
	if err != nil {
		v.fail(err)
	} else {
		v.Facts, v.Columns, v.ToName, v.Found = l.facts, l.columns, l.toName, l.found
		if l.result != nil {
			v.Checked = s.tellCheck(l, a)
			v.Found = v.Checked.Found
		}
		inJob, _ := s.request(a.with(rateOfName).with(rateUnitName).with(analysisName)) // what is wrong with it is told by the check
		v.Unsaid = !v.Options[0].askRate(inJob, l.columns)
		if l.problem != nil {
			v.fail(l.problem)
		}
	}
	v.ToCheck = v.Checked == nil && !v.ToName && len(h.Labels)+len(h.Jobs) > 0
	v.Command = a.command("check", false)
	m := s.page("field.html", v)
	m.again = ctx.Err() != nil
	return m
}

// fail takes note of what stops the check, and of where to mend it.
func (v *field) fail(err error) {
	f := plainly(err)
	v.Failure = f
	for i := range v.Options {
		for k := range v.Options[i].Fields {
			o := &v.Options[i].Fields[k]
			for _, spot := range f.At {
				if spot.Key == o.Name {
					o.Err = spot.What
				}
			}
			if strings.HasPrefix(f.Text, "--"+o.Name+":") {
				o.Err = strings.TrimSpace(strings.TrimPrefix(f.Text, "--"+o.Name+":"))
			}
			v.Options[i].Open = v.Options[i].Open || o.Err != ""
		}
	}
}

// factsOf says what a file holds.
func factsOf(c *read.Content, s unit.System) []fact {
	q := figures.In(s)
	return []fact{
		{"File", c.Source.Name + ", " + c.Source.Format},
		{"Coordinate system", c.Source.SystemText()},
		{"Ground", fmt.Sprintf("%s in %s, %s %s", figures.Plural(c.Polygons, "polygon", "polygons"), figures.Plural(c.Source.Records, "record", "records"), q.Area(c.Area), unit.Symbol[unit.Area](s))},
		{"Where", fmt.Sprintf("latitude %.5f to %.5f, longitude %.5f to %.5f", c.Extent.Min[1], c.Extent.Max[1], c.Extent.Min[0], c.Extent.Max[0])},
	}
}

// columnsOf lists the columns, draws those that can be the rate, and reports whether one of
// them has to be named.
func columnsOf(f *read.File, c *read.Content, chosen []string) (list []column, ask bool) {
	names, toName := read.RateFields(c.Fields)
	ground := svg.Ground{Shapes: f.LonLat, Zones: f.Layer.Shapes.Len(), Record: func(i int) int { return i }}
	for i, r := range c.Fields {
		one := column{Unit: cmp.Or(r.Unit, r.NamedUnit()), OfN: r.NamesN(), Name: r.Name, Kind: r.Kind.String(), Empty: figures.Count(r.Nulls), Note: data.FieldNote(r), CanBe: slices.Contains(names, r.Name)}
		if r.Numbers > 0 {
			one.Low, one.High, one.Mean = figures.Trim(r.Min), figures.Trim(r.Max), figures.Trim(r.Mean())
		}
		named := func(name string) bool { return strings.EqualFold(name, r.Name) }
		one.Chosen = slices.ContainsFunc(chosen, named) || !toName && one.CanBe && len(chosen) == 0
		if r.Numbers > 0 && (one.Chosen || one.CanBe) {
			values := f.Numbers(i)
			one.Map, one.Bins = numbersMap(ground, values, r), histogram(values, r)
		}
		list = append(list, one)
	}
	return list, toName && len(chosen) == 0
}

// foundOf tells findings, the worst first; reason says why a doubt was answered.
func foundOf(list []rx.Finding, s unit.System, reason func(rule string) string) (out []found) {
	for _, f := range rx.WorstFirst(list) {
		said := tell.Finding(f, s)
		one := found{Severity: f.Severity.String(), Text: report.Plain(said.Text), Hint: report.Plain(said.Hint)}
		answered := func(o found) bool { return o.Rule == f.Rule() }
		if f.Doubt() && reason != nil && !slices.ContainsFunc(out, answered) {
			one.Rule, one.Reason = f.Rule(), reason(f.Rule())
		}
		out = append(out, one)
	}
	return out
}
