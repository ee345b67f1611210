package app

import (
	_ "embed" // for the list to fill in
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// dayListed is an entry of a day's list: a file, and what differs from the job for it.
type dayListed struct {
	File      string   `yaml:"file"`
	Job       string   `yaml:"job"`
	Customer  string   `yaml:"customer"`
	Priority  int      `yaml:"priority"`
	NotByBoom bool     `yaml:"not-by-boom"`
	Way       string   `yaml:"way"`
	Called    string   `yaml:"field"`
	Place     string   `yaml:"place"`
	RateField []string `yaml:"rate-field"`
	RateUnit  string   `yaml:"rate-unit"`
	RateOf    string   `yaml:"rate-of"`
	Analysis  []string `yaml:"analysis"`
	Carrier   []string `yaml:"carrier"`
	Layer     string   `yaml:"layer"`
	CRS       string   `yaml:"crs"`
	KeepOut   string   `yaml:"keep-out"`
	Already   string   `yaml:"already-applied"`
	Map       string   `yaml:"already-map"`
	Field     string   `yaml:"already-field"`
	Accept    []string `yaml:"accept"`
}

// leftListed is treated blend that is left over, as the list has it.
type leftListed struct {
	Weighed  string     `yaml:"weighed"`
	Loading  string     `yaml:"loading"`
	Job      string     `yaml:"job"`
	Customer string     `yaml:"customer"`
	Made     label.Date `yaml:"made"`
}

type dayListing struct {
	Date   label.Date   `yaml:"date"`
	Fields []dayListed  `yaml:"fields"`
	Left   []leftListed `yaml:"left"`
}

//go:embed day.yaml
var dayTemplate string

// NewDayList is a list of a day's fields with comments: of the prescriptions that paths name or,
// where there are none, an example to fill in.
func NewDayList(paths []string) (string, error) {
	if len(paths) == 0 {
		return dayTemplate, nil
	}
	files, err := Prescriptions(paths)
	if err != nil {
		return "", err
	}
	comments, _, _ := strings.Cut(dayTemplate, "fields:\n")
	var b strings.Builder
	b.WriteString(comments + "fields:\n")
	for _, f := range once(files) {
		b.WriteString("  - file: " + strictyaml.Scalar(filepath.ToSlash(f)) + "\n")
	}
	return b.String(), nil
}

// DayList is what a day is of.
type DayList struct {
	Date   label.Date // of the day; empty where nobody says it
	Fields []DayFile
	Left   []leftOver
}

// DayFile is a prescription of a day, with what differs from the day's job for it.
type DayFile struct {
	Path    string
	JobFile string // of the job that it goes by; empty for the day's own
	report.DayDiffers

	wrong   error    // why it is not even read: its job can't be, or its plan was refused when the day was written
	refused bool     // that
	found   *written // where its other files lie, for a day that was written
}

// mostFields is how many fields a day may have; a plant blends for ten to sixty. The search for
// the best day grows faster than they do.
const mostFields = 300

// mostPriority is the last of the priorities; the usual one is in the middle.
const (
	mostPriority  = 3
	usualPriority = 2
)

// ListDay returns the prescriptions that paths name: files, folders, or one list of them as YAML.
func ListDay(paths []string) (list DayList, err error) {
	lists := slices.IndexFunc(paths, func(p string) bool { e := strings.ToLower(filepath.Ext(p)); return e == ".yaml" || e == ".yml" })
	if lists >= 0 && len(paths) > 1 {
		return list, &Error{What: paths[lists] + ": a list of fields stands alone", Hint: "name the other files in it, or leave it out"}
	}
	if lists >= 0 {
		return readDayList(paths[0])
	}
	files, err := Prescriptions(paths)
	for _, f := range once(files) {
		list.Fields = append(list.Fields, DayFile{Path: f, DayDiffers: report.DayDiffers{Priority: usualPriority}})
	}
	return list, err
}

func readDayList(path string) (list DayList, err error) {
	text, err := readText(path)
	if err != nil {
		return list, err
	}
	var l dayListing
	doc, dir := strictyaml.Decode(path, text, &l), filepath.Dir(path)
	list.Date = l.Date
	seen := map[string]int{}
	for i, e := range l.Fields {
		key := fmt.Sprintf("fields[%d]", i+1)
		f := e.at(dir)
		e.check(doc, key)
		if first, ok := seen[f.same()]; ok {
			doc.Fail(key+".file", fmt.Sprintf("is field %d of the list already", first+1))
		} else {
			seen[f.same()] = i
		}
		list.Fields = append(list.Fields, f)
	}
	for i, e := range l.Left {
		one := e.at(dir)
		key := fmt.Sprintf("left[%d]", i+1)
		line, _ := doc.Place(key)
		one.Where = fmt.Sprintf("%s:%d", filepath.Base(path), line)
		if _, err := one.weight(); err != nil {
			doc.Fail(key+".weighed", err.Error())
		}
		if _, err := parseLoading(one.Loading); err != nil {
			doc.Fail(key+".loading", err.Error())
		}
		list.Left = append(list.Left, one)
	}
	if len(l.Fields) == 0 && doc.Err() == nil {
		doc.Fail("fields", "the list names no field")
	}
	return list, textError(isDayList, path, text, doc.Err())
}

// check tells what is wrong with an entry by itself.
func (e dayListed) check(doc *strictyaml.Document, key string) {
	switch {
	case e.File == "":
		doc.Fail(key, "a field without its file")
	case e.File == "-":
		doc.Fail(key+".file", "a field of a day is read again to prove its plan: give a file")
	}
	if e.Priority < 0 || e.Priority > mostPriority {
		doc.Fail(key+".priority", fmt.Sprintf("want 1, which comes first, to %d", mostPriority))
	}
	if _, err := equip.WayOf(rx.WayName(e.Way)); err != nil && e.Way != "" {
		doc.Fail(key+".way", err.Error())
	}
}

// same tells one field from another: by its file and, where one file holds several, the layer.
func (f DayFile) same() string {
	path := f.Path
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	return path + "\n" + Values(f.Values).one("layer")
}

// at returns the entry with its files as they are seen from here.
func (e dayListed) at(dir string) DayFile {
	file := func(text string) string {
		if text == "" {
			return ""
		}
		return fromFolder(dir, text)
	}
	f := DayFile{Path: file(e.File), JobFile: file(e.Job), DayDiffers: report.DayDiffers{
		Customer: e.Customer, Priority: e.Priority, NotByBoom: e.NotByBoom, Fixed: e.Way, Values: Values{},
	}}
	if f.Priority == 0 {
		f.Priority = usualPriority
	}
	already := e.Already
	if _, err := unit.Parse[unit.LiquidRate](already); err != nil {
		already = file(already)
	}
	for name, text := range map[string]string{
		"rate-unit": e.RateUnit, "rate-of": e.RateOf, "layer": e.Layer, "crs": e.CRS, keepOutName: file(e.KeepOut),
		alreadyName: already, alreadyMap: file(e.Map), "already-field": e.Field, "field": e.Called, "place": e.Place,
	} {
		if text != "" {
			f.Values[name] = []string{text}
		}
	}
	for name, texts := range map[string][]string{"rate-field": e.RateField, "analysis": e.Analysis, "carrier": e.Carrier, acceptName: e.Accept} {
		if len(texts) > 0 {
			f.Values[name] = texts
		}
	}
	return f
}

func (e leftListed) at(dir string) leftOver {
	l := leftOver{DayLeftOver: data.DayLeftOver{Weighed: e.Weighed, Loading: e.Loading, Customer: e.Customer, Made: e.Made}}
	if e.Job != "" {
		l.file = fromFolder(dir, e.Job)
	}
	return l
}

// with is the request for one file of a day.
func (q *Request) with(f DayFile) *Request {
	one := *q
	one.values = maps.Clone(q.values)
	maps.Copy(one.values, f.Values)
	if f.Customer != "" {
		one.values["customer"] = []string{f.Customer}
	}
	one.written = f.found
	return &one
}

// inputsFrom says where a field's other files lie, as a folder sees them; nil for none.
func (q *Request) inputsFrom(dir string) map[string]string {
	at := map[string]string{}
	if path := q.keepOut(); path != "" {
		at[keepOutName] = relativePath(dir, path)
	}
	layer, mapped := q.values.one(alreadyName), q.values.one(alreadyMap)
	if q.written != nil {
		layer, mapped = q.written.already, q.written.mapped
	}
	if isAlreadyLayer(layer) {
		at[alreadyName] = relativePath(dir, layer)
		if mapped != "" {
			at[alreadyMap] = relativePath(dir, mapped)
		}
	}
	if len(at) == 0 {
		return nil
	}
	return at
}

// foundAt is where a field's other files lie that a folder names.
func foundAt(dir string, at map[string]string) *written {
	w := &written{}
	for name, into := range map[string]*string{keepOutName: &w.keepOut, alreadyName: &w.already, alreadyMap: &w.mapped} {
		if path := at[name]; path != "" {
			*into = fromFolder(dir, path)
		}
	}
	return w
}
