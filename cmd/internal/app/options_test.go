package app

import (
	"encoding/json"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/rx/equip"
)

// samples are values where an option's example is what holds anyway.
var samples = map[string]string{
	"accept":  "rate-unit=it is meant so",
	"overlap": "first", "stabilizer-rate": "25 fl oz/ac", "already-applied": "10 fl oz/ac", "units": "metric", "leave-off": "true",
	"task-data": "true", "one-task": "true", "grid-type": "1", "polygons": "true", "cell": "10 m", "position-lost": "rate",
	"strips": "6", "strip-length": "500 ft", "azimuth": "90", "offset": "10 ft", "strip-headland": "100 ft", "header": "30 ft", "seed": "7",
	"zip-entries": "11", "zip-bytes": "1000", "zip-ratio": "7",
}

// sample returns a value of an option, as a flag takes it.
func sample(o Option) []string {
	if s, ok := samples[o.Name]; ok {
		return []string{s}
	}
	if o.Kind == List {
		return strings.Split(strings.Trim(o.Example, "[]"), ", ")
	}
	return []string{o.Example}
}

// save writes a file, and returns its name.
func save(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// resolved joins values with a label profile that the folder gets, or with a job file.
func resolved(t *testing.T, dir string, v Values, job string) *Request {
	t.Helper()
	v = maps.Clone(v)
	v["label"] = []string{save(t, dir, "label.yaml", string(label.DemoYAML()))}
	if job != "" {
		v["job"] = []string{save(t, dir, "job.yaml", job)}
	}
	q, err := Resolve(v)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// acts is all that a request decides.
func acts(t *testing.T, q *Request) []any {
	t.Helper()
	s, err := q.settings()
	if err != nil {
		t.Fatal(err)
	}
	if j := s.terms.Job; j != nil { // without the equipment
		s.terms.Job = &equip.Job{Customer: j.Customer, Field: j.Field, Place: j.Place, Run: j.Run}
	}
	return []any{*s, q.values.one(wayName), q.values.one(keepOutName)}
}

// parameter looks up a member of the manifest's parameters.
func parameter(t *testing.T, q *Request, name string) any {
	t.Helper()
	text, err := q.parameters()
	if err != nil {
		t.Fatal(err)
	}
	var value any
	if err := json.Unmarshal(text, &value); err != nil {
		t.Fatal(err)
	}
	for _, step := range strings.Split(name, ".") {
		value = value.(map[string]any)[step]
	}
	return value
}

// Each option that is given acts, stands in the manifest and in the command that is to be
// typed again, and comes back from the manifest; a job file says the same.
func TestEveryOption(t *testing.T) {
	base := Values{"rate-unit": {"kg/ha"}} // which metric units need
	for _, o := range Options() {
		if o.Kind == Document {
			continue // TestDocuments
		}
		dir := t.TempDir()
		given := maps.Clone(base)
		if slices.ContainsFunc(ofTaskData(), func(t Option) bool { return t.Name == o.Name }) {
			given[taskDataName] = []string{"true"} // which the others ask for
		}
		if slices.ContainsFunc(ofStrips(), func(t Option) bool { return t.Name == o.Name }) {
			given[stripsName] = []string{"8"}
		}
		delete(given, o.Name)
		without := acts(t, resolved(t, dir, given, ""))
		given[o.Name] = sample(o)
		q := resolved(t, dir, given, "")
		with := acts(t, q)
		if reflect.DeepEqual(with, without) {
			t.Errorf("%s: %q decides nothing", o.Name, sample(o))
		}
		if want := " --" + o.Name; !strings.Contains(Command("field.zip", given), want) {
			t.Errorf("%s: %s lacks it", o.Name, Command("field.zip", given))
		}
		if o.member() != "" {
			inManifest(t, o, q)
		}
		if o.InJob() {
			delete(given, o.Name)
			sameInJob(t, o, resolved(t, t.TempDir(), given, jobKey(o)), q)
		}
	}
}

// jobKey writes an option as a job file says it.
func jobKey(o Option) string {
	text := strings.Join(sample(o), ", ")
	switch o.Kind {
	case List:
		text = "[" + text + "]"
	case Switch:
		text = "yes"
	}
	return o.Name + ": " + text + "\n"
}

func inManifest(t *testing.T, o Option, q *Request) {
	t.Helper()
	value := parameter(t, q, o.member())
	if value == nil {
		t.Errorf("%s: the manifest does not hold it", o.Name)
	}
	text, err := q.parameters()
	if err != nil {
		t.Fatal(err)
	}
	again, err := requestOf(text)
	if err != nil || !slices.Equal(again.values[o.Name], q.values[o.Name]) {
		t.Errorf("%s: the manifest gives back %q, %v, want %q", o.Name, again.values[o.Name], err, q.values[o.Name])
	}
	if second, err := again.parameters(); err != nil || string(second) != string(text) {
		t.Errorf("%s: from %s comes %s, %v", o.Name, text, second, err)
	}
}

func sameInJob(t *testing.T, o Option, job, flag *Request) {
	t.Helper()
	got, want := job.values[o.Name], flag.values[o.Name]
	if o.Kind == File { // beside the job file
		got = []string{filepath.Base(got[0])}
	}
	if !slices.Equal(got, want) {
		t.Errorf("%s: a job file says %q, the flag %q", o.Name, got, want)
	}
}

// The texts of the label and the job file stand in the manifest, and what they were named
// as in the command.
func TestDocuments(t *testing.T) {
	dir := t.TempDir()
	const job = "label: label.yaml\nfield: North\n"
	save(t, dir, "label.yaml", string(label.DemoYAML()))
	path := save(t, dir, "job.yaml", job)
	q, err := Resolve(Values{"job": {path}})
	if err != nil {
		t.Fatal(err)
	}
	if got := parameter(t, q, "label"); got != string(label.DemoYAML()) {
		t.Errorf("label: got %q", got)
	}
	if got := parameter(t, q, "job"); got != job {
		t.Errorf("job: got %q", got)
	}
	if got, want := Command("f.shp", Values{"crs": {"EPSG:4326"}, "job": {"job.yaml"}}), "f.shp --job job.yaml --crs EPSG:4326"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// What is given goes before the job file, in a switch that is turned off as well.
func TestFlagsWin(t *testing.T) {
	job := "crs: EPSG:32615\nrate-field: [A, B]\nleave-off: yes\nspreader: {swath: 70 ft, rate-error: 4 %, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}\n"
	q := resolved(t, t.TempDir(), Values{"crs": {"EPSG:4326"}, "leave-off": {"false"}, "layer": {""}}, job)
	want := Values{"crs": {"EPSG:4326"}, "rate-field": {"A", "B"}, "leave-off": {"false"}, "rate-error": {"4 %"}, "label": q.values["label"], "job": q.values["job"]}
	if !reflect.DeepEqual(q.values, want) {
		t.Errorf("got %v, want %v", q.values, want)
	}
	if s, err := q.settings(); err != nil || s.terms.LeaveOff {
		t.Errorf("got %+v, %v", s, err)
	}
}

// What can't be read is told with the option's name.
func TestBadValues(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"loading", "0 fl oz/ton", "--loading: 0 fl oz/ton is not above 0"},
		{"loading", "3 ac", "--loading: "},
		{"units", "imperial", "--units: "},
		{"overlap", "best", "--overlap: "},
		{"zip-ratio", "high", "--zip-ratio: "},
		{"units", "metric", "--units metric: nobody said whether the rates count kg/ha or lb/ac"},
	} {
		q := resolved(t, t.TempDir(), Values{c.name: {c.text}}, "")
		_, err := q.settings()
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("--%s %s: got %v, want %s", c.name, c.text, err, c.want)
		}
	}
	if _, err := Resolve(Values{"way-out": {"x"}}); err == nil || !strings.Contains(err.Error(), "way-out") {
		t.Errorf("an option that there is not: %v", err)
	}
}

// A job check has each option look at what the job says of it, at its line.
func TestJobCheckAsksTheOptions(t *testing.T) {
	const text = "rate-field: [A]\nfield: North\n"
	job, err := equip.ParseJob("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	picky := Option{
		Name: "field", job: func(j *equip.Job) []string { return one(j.Field) },
		act: func(_ *settings, v []string) error { return &Error{What: v[0] + " is not wanted"} },
	}
	got := refused([]Option{picky}, []byte(text), job)
	if len(got) != 1 || got[0].Severity != label.Error || got[0].Line != 2 || got[0].Key != "field" || got[0].Text != "North is not wanted" {
		t.Errorf("got %+v", got)
	}
}

// A manifest from before the options were one table gives the same request, and is
// written the same.
func TestManifestsOfBefore(t *testing.T) {
	const text = `{"crs":"EPSG:32615","layer":"field","rate_fields":["A","B"],"rate_unit":"lb/ac","rate_of":"N","analysis":["46-0-0","0-0-60"],` +
		`"carrier":"A","overlap":"max","stabilizer_rate":"30 fl oz/ac","loading":"320 fl oz/ton","rate_error":"5%","already_applied":"1 qt/ac",` +
		`"units":"us","leave_off":true,"label":"name: <x>\nrate: 30 fl oz/ac\n","job":"field: a & b\n","keep_out":"../out.geojson","zip":{"entries":1000,"bytes":4294967296,"ratio":200}}`
	q, err := requestOf(json.RawMessage(text))
	if err != nil {
		t.Fatal(err)
	}
	if got, err := q.parameters(); err != nil || string(got) != text {
		t.Errorf("got  %s, %v\nwant %s", got, err, text)
	}
	for _, bad := range []string{`[]`, `{"crs":3}`, `{"rate_fields":"A"}`, `{"zip":3}`} {
		if _, err := requestOf(json.RawMessage(bad)); err == nil {
			t.Errorf("%s: no error", bad)
		}
	}
}

// As it is the template says nothing; with its examples taken in it says all, and is
// without problems.
func TestJobTemplate(t *testing.T) {
	var lines []string
	for _, line := range strings.Split(JobTemplate(), "\n") {
		if strings.HasPrefix(line, "# ") && len(line) > 79 {
			t.Errorf("%q is wide", line)
		}
		if strings.HasPrefix(line, "#") && (len(line) == 1 || line[1] != ' ' || strings.HasPrefix(line, "#  ")) {
			line = line[1:]
		}
		lines = append(lines, line)
	}
	if _, err := equip.ParseJob("empty", []byte(JobTemplate())); err == nil || !strings.Contains(err.Error(), "says nothing") {
		t.Errorf("as it is: %v", err)
	}
	j, problems, err := equip.CheckJob("filled", []byte(strings.Join(lines, "\n")))
	if err != nil {
		t.Fatal(err)
	}
	if problems = append(problems, refused(Options(), nil, j)...); len(problems) > 0 {
		t.Errorf("got %+v", problems)
	}
	requireAllSet(t, reflect.ValueOf(*j), "Job")
}

// requireAllSet fails for every field that the template leaves at its zero value,
// but for those whose example is 0 or "no".
func requireAllSet(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	zero := map[string]bool{"Job.LeaveOff": true, "Job.BlendTested": true}
	for i := range v.NumField() {
		name, f := path+"."+v.Type().Field(i).Name, v.Field(i)
		if f.Kind() == reflect.Pointer && !f.IsNil() {
			f = f.Elem()
		}
		if f.IsZero() && !zero[name] && v.Type().Field(i).Tag.Get("yaml") != "-" { // which no file says
			t.Errorf("%s: the template does not show it", name)
		}
		if f.Kind() == reflect.Struct && f.Type().PkgPath() == "rxsplit/rx/equip" {
			requireAllSet(t, f, name)
		}
	}
}

// A text that is given for one of another kind is told as what it is, with the command that takes
// it and the one that writes what was meant; the mistakes of one without a name are told as they are.
func TestTextOfAnotherKind(t *testing.T) {
	texts := map[TextKind]string{
		IsLabel: "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\nseason-max: 80 fl oz/ac\n", IsJob: "rate-of: product\nrate-field: [A]\nunits: us\n",
		isLogMap: "columns: {lon: X, lat: Y, rate: R}\nwidth: 70 ft\ntime-form: iso\n", isYieldMap: "columns: {yield: Y}\nyield-form: dry\nprice: 4 $/bu\n",
		isSaid: "applicator: A\nwind: calm\nsoil: 50 F\n", isDayList: "fields:\n  - {file: a.zip}\nleft: []\n",
	}
	taken := map[TextKind]string{
		IsLabel: "give it with --label", IsJob: "give it with --job", isLogMap: "rxsplit applied takes it, with --map",
		isYieldMap: "rxsplit readout takes it, with --map", isSaid: "rxsplit record takes it, with --said", isDayList: "rxsplit day takes it",
	}
	writes := map[TextKind]string{
		IsLabel: "rxsplit label new writes a label profile", IsJob: "rxsplit job new writes a job file", isLogMap: "rxsplit applied new LOG writes the map of a log's columns",
		isYieldMap: "rxsplit readout new writes the map of columns of yields", isSaid: "rxsplit record new writes what those who were there say", isDayList: "rxsplit day new writes a list of a day's fields",
	}
	for _, want := range textKinds {
		for kind, text := range texts {
			if kind == want.kind {
				continue
			}
			err := textError(want.kind, "it.yaml", []byte(text), want.decode("it.yaml", []byte(text)))
			var told *Error
			if !errors.As(err, &told) || told.What != "it.yaml: is "+kind.String()+", not "+want.what || told.Hint != taken[kind]+"; "+writes[want.kind]+" to fill in" {
				t.Errorf("%s for %s: %v, %+v", kind, want.what, err, told)
			}
			if errors.As(textError(want.kind, "", []byte(text), want.decode("", []byte(text))), &told) {
				t.Errorf("%s for %s, without a name: is not told as it is", kind, want.what)
			}
		}
	}
}
