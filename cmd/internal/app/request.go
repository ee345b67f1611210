package app

import (
	"cmp"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"rxsplit/cmd/internal/report"
	"rxsplit/geo/shapefile"
	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/write"
)

// Values are options as texts, by their names: one text, or as many as a list has.
type Values map[string][]string

// one returns the text of an option; empty if nothing is said.
func (v Values) one(name string) string {
	if len(v[name]) == 0 {
		return ""
	}
	return v[name][0]
}

// fill sets texts to what is said under their names.
func (v Values) fill(named map[string]*string) {
	for name, into := range named {
		*into = v.one(name)
	}
}

// valuesOf is what named texts say, without those that are empty.
func valuesOf(named map[string]*string) Values {
	v := Values{}
	for name, text := range named {
		if *text != "" {
			v[name] = []string{*text}
		}
	}
	return v
}

// System returns the units to show: US ones where the values don't say it.
func (v Values) System() (unit.System, error) {
	if v.one(unitsName) == "" {
		return unit.US, nil
	}
	s, err := unit.ParseSystem(v.one(unitsName))
	if err != nil {
		return s, &Error{What: "--units: " + err.Error()}
	}
	return s, nil
}

// Command prints a file and the options it was given with, as words of a command that
// is to be typed again; documents come first.
func Command(path string, v Values) string {
	words := []string{report.Word(path)}
	options := Options()
	slices.SortStableFunc(options, func(a, b Option) int { return rank(a) - rank(b) })
	for _, o := range options {
		for _, text := range v[o.Name] {
			switch {
			case o.Kind != Switch:
				words = append(words, "--"+o.Name, report.Word(text))
			case text == "true":
				words = append(words, "--"+o.Name)
			default:
				words = append(words, "--"+o.Name+"="+text)
			}
		}
	}
	return strings.Join(words, " ")
}

func rank(o Option) int {
	if o.Kind == Document {
		return 0
	}
	return 1
}

// Request is everything that decides a result, and nothing else. The manifest of a plan
// keeps it as its parameters, so that the plan can be made again from the source.
type Request struct {
	given      Values // before the job file was asked; nil for a request that a manifest keeps
	values     Values
	label, job document
	further    []document // labels of the job's further liquids, in their order; one without text for none
	written    *written   // of a request that a manifest keeps; nil for one that is asked for
	once       *documents // as they were read, for all files that go by them
}

// documents are what the texts of a request come to, in the units in which they were read first.
type documents struct {
	mu    sync.Mutex
	units unit.System
	terms *rx.Terms // nil before
}

// written is what a plan was made from, as its manifest has it, and where that lies now.
type written struct {
	inputs  []write.Input
	keepOut string // empty for none
	already string // layer or log of what was applied this season; empty for none
	mapped  string // map of the log's columns; empty for none
}

// source returns the name that the prescription had; empty for its own.
func (q *Request) source() string {
	if q.written == nil || len(q.written.inputs) == 0 {
		return ""
	}
	return q.written.inputs[0].Name // the prescription comes first
}

// keepOut returns where the keep-outs lie; empty for none.
func (q *Request) keepOut() string {
	if q.written != nil {
		return q.written.keepOut
	}
	return q.values.one(keepOutName)
}

// already returns where what was applied this season lies, and the map of its columns; empty for
// none.
func (q *Request) already(s *settings) (path, mapped string) {
	if q.written != nil && s.alreadyLayer != "" {
		return q.written.already, q.written.mapped
	}
	return s.alreadyLayer, s.alreadyMap
}

// Value returns what an option comes to, with what the job file says of it; nil where nothing
// is said. It must not be changed.
func (q *Request) Value(name string) []string { return q.values[name] }

// document is a file of text that a request was made from.
type document struct {
	path string // empty where the text comes from a manifest
	text []byte // nil if there is none
}

// Resolve joins what was asked for with what the job file says, which stands in for
// options that are not given. It reads the job file and the label profile.
func Resolve(given Values) (*Request, error) {
	q := &Request{given: given, values: Values{}, once: new(documents)}
	options := Options()
	for _, name := range slices.Sorted(maps.Keys(given)) {
		at := slices.IndexFunc(options, func(o Option) bool { return o.Name == name })
		if at < 0 {
			return nil, &Error{What: fmt.Sprintf("no option is called %q", name)}
		}
		if options[at].Kind == List || given.one(name) != "" {
			q.values[name] = given[name]
		}
	}
	if err := q.readJob(options); err != nil {
		return nil, err
	}
	path := q.values.one(labelName)
	if path == "" {
		return nil, &Error{What: "no label profile is given", Hint: "give one with --label FILE; rxsplit label new writes one to fill in from the label in hand"}
	}
	text, err := readText(path)
	q.label = document{path, text}
	return q, err
}

// readJob takes from the job file, if there is one, what is not given.
func (q *Request) readJob(options []Option) error {
	path := q.values.one(jobName)
	if path == "" {
		return nil
	}
	text, err := readText(path)
	if err != nil {
		return err
	}
	job, err := q.parseJob(path, text)
	if err != nil {
		return textError(IsJob, path, text, err)
	}
	q.job = document{path, text}
	for _, l := range job.FurtherLiquids {
		var d document
		if l.Label != "" {
			d.path = fromFolder(filepath.Dir(path), l.Label)
			if d.text, err = readText(d.path); err != nil {
				return err
			}
		}
		q.further = append(q.further, d)
	}
	for _, o := range options {
		said := o.said(job)
		if len(said) == 0 || len(q.values[o.Name]) > 0 {
			continue
		}
		if o.Kind == File || o.Kind == Document {
			said = []string{fromFolder(filepath.Dir(path), said[0])}
		}
		q.values[o.Name] = said
	}
	return nil
}

// parseJob reads the job file; what is wrong with it is told in the units that were asked
// for, if they were.
func (q *Request) parseJob(path string, text []byte) (*equip.Job, error) {
	units, err := q.values.System()
	if q.values.one(unitsName) == "" || err != nil { // wrong units are told where they are used
		return equip.ParseJob(path, text)
	}
	job, _, err := equip.CheckJobIn(units, path, text)
	return job, err
}

// settings reads the label and the job file, and has all options act.
func (q *Request) settings() (*settings, error) {
	s, err := q.settingsOfMany()
	// --units says what is shown; whether the file follows it nobody can know.
	if err == nil && s.terms.Units == unit.Metric && s.rates.RateUnit == "" {
		return nil, &Error{What: "--units metric: nobody said whether the rates count kg/ha or lb/ac", Hint: "say it with --rate-unit kg/ha or --rate-unit lb/ac"}
	}
	if err == nil && s.terms.Job != nil {
		s.rates.Place = s.terms.Job.Place
	}
	return s, err
}

// settingsOfMany are those of files that each may say for themselves what their rates count.
func (q *Request) settingsOfMany() (*settings, error) {
	s := newSettings()
	if err := q.readDocuments(&s.terms); err != nil {
		return nil, err
	}
	if err := q.values.act(s, func(Option) bool { return true }); err != nil {
		return nil, err
	}
	if err := q.values.ofPlans(); err != nil {
		return nil, err
	}
	return s, nil
}

// newSettings is what holds where nothing is said.
func newSettings() *settings {
	return &settings{
		file: read.FileOptions{Archive: shapefile.DefaultLimits()}, rates: read.Options{Overlap: read.OverlapError},
		terms: rx.Terms{Units: unit.US, RateError: equip.UsualRateError, RateErrorAssumed: true, Strips: rx.StripsAsked{Seed: 1}},
	}
}

// act has those options act that say something and are to be taken.
func (v Values) act(s *settings, takes func(Option) bool) error {
	for _, o := range Options() {
		if o.act == nil || len(v[o.Name]) == 0 || !takes(o) {
			continue
		}
		if err := o.act(s, v[o.Name]); err != nil {
			return ofOption(o, err)
		}
	}
	return nil
}

// readDocuments takes the label and the job into the terms.
func (q *Request) readDocuments(t *rx.Terms) error {
	units, _ := q.values.System() // which are wrong where they can't be parsed by
	q.once.mu.Lock()
	defer q.once.mu.Unlock()
	if read := q.once; read.terms == nil || read.units != units {
		one := *t
		if err := q.parseDocuments(&one); err != nil {
			return err
		}
		read.terms, read.units = &one, units
	}
	r := q.once.terms
	t.Label, t.OddLabel, t.Intended, t.IntendedAssumed = r.Label, r.OddLabel, r.Intended, r.IntendedAssumed
	t.Job, t.OddJob, t.Further = r.Job, r.OddJob, slices.Clone(r.Further)
	return nil
}

// parseDocuments reads the label and the job into the terms.
func (q *Request) parseDocuments(t *rx.Terms) (err error) {
	if t.Label, t.OddLabel, err = label.Check(cmp.Or(q.label.path, "label"), q.label.text); err != nil {
		return textError(IsLabel, q.label.path, q.label.text, err)
	}
	t.Intended, t.IntendedAssumed = t.Label.Rate.Middle(), t.Label.Rate.Min < t.Label.Rate.Max
	units, err := q.values.System()
	if err != nil {
		return err
	}
	if q.job.text != nil {
		if t.Job, t.OddJob, err = equip.CheckJobIn(units, cmp.Or(q.job.path, "job"), q.job.text); err != nil {
			return err
		}
		return q.readFurther(t)
	}
	return nil
}

// furtherPaths lists where the labels of the further liquids lie.
func (q *Request) furtherPaths() []string {
	return each.Of(q.further, func(d document) string { return d.path })
}

// readFurther reads the labels of the job's further liquids.
func (q *Request) readFurther(t *rx.Terms) error {
	for i, l := range t.Job.FurtherLiquids {
		var own *label.Profile
		if i < len(q.further) && q.further[i].text != nil {
			var err error
			if own, err = label.Parse(cmp.Or(q.further[i].path, "label of "+l.Name), q.further[i].text); err != nil {
				return textError(IsLabel, q.further[i].path, q.further[i].text, err)
			}
		}
		t.Further = append(t.Further, rx.NewLiquid(l, own))
	}
	return nil
}

// ofOption says which option an error is about, unless it does.
func ofOption(o Option, err error) error {
	flag := "--" + o.Name
	if strings.HasPrefix(err.Error(), flag) {
		return err
	}
	out := &Error{What: flag + ": " + err.Error(), Err: err, spots: []spot{{Key: o.Name, What: err.Error()}}}
	if own, ok := err.(*Error); ok {
		out.Hint = own.Hint
	}
	return out
}
