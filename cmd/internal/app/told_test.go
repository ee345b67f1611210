package app

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/write"
)

// moment is a context that is canceled for whoever looks first.
type moment struct {
	context.Context
	now atomic.Bool // several goroutines look
}

func (m *moment) Err() error {
	if m.now.CompareAndSwap(true, false) {
		return context.Canceled
	}
	return nil
}

// What a step before should have refused, or a folder holds that nobody wrote, is told by whoever meets it, and goes
// no further.
func TestEveryStepTellsItsError(t *testing.T) {
	dir, run := t.TempDir(), Run{}
	put := func(name, text string) string {
		path := filepath.Join(dir, filepath.FromSlash(name))
		os.MkdirAll(filepath.Dir(path), 0o777)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return path
	}
	cell := func(x string) string {
		return `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"RATE":200},"geometry":{"type":"Polygon","coordinates":[[` + x + `]]}}]}`
	}
	field := put("field.geojson", cell("[-90.41,47.34],[-90.40,47.34],[-90.40,47.35],[-90.41,47.35],[-90.41,47.34]"))
	bow := put("bow.geojson", cell("[-90.41,47.34],[-90.40,47.35],[-90.40,47.34],[-90.41,47.35],[-90.41,47.34]"))
	profile := put("label.yaml", string(label.DemoYAML()))
	far := put("far.csv", "LON,LAT,TIME,RATE\n-95.41,47.34,1770000000,30\n-95.41,47.3401,1770000001,30\n-95.41,47.3402,1770000002,30\n")
	mapped := put("map.yaml", "columns: {lon: LON, lat: LAT, time: TIME, rate: RATE}\ntime-form: epoch-s\nrate-unit: fl oz/ac\nwidth: 70 ft\nholds: [{liquid: stabilizer, part: 30 fl oz/ac in 30 fl oz/ac}]\n")
	base := Values{"label": {profile}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}}
	with := func(name string, text ...string) Values {
		v := Values{name: text}
		for k, w := range base {
			if k != name {
				v[k] = w
			}
		}
		return v
	}
	check := func(v Values) error {
		q, err := Resolve(v)
		if err == nil {
			_, err = run.Check(t.Context(), field, q)
		}
		return err
	}
	again := func(parameters string) error {
		q, err := requestOf([]byte(parameters))
		if err == nil {
			_, err = q.settings()
		}
		return err
	}
	demo := `"label":"` + strings.ReplaceAll(strings.ReplaceAll(string(label.DemoYAML()), `"`, `\"`), "\n", `\n`) + `","rate_fields":["RATE"],"rate_unit":"lb/ac"`
	logged := with("already-applied", far)
	logged["already-map"] = []string{mapped}
	loose, err := Resolve(with("loading", "much"))
	if err != nil {
		t.Fatal(err)
	}
	zeros := strings.Repeat("0", 64)
	manifest := `{"schema":"rxsplit.plan/1","files":[{"name":"zones.csv"}],"self":"` + zeros + `"}`
	put("plan/plan.json", strings.Replace(manifest, zeros, write.Digest([]byte(manifest)), 1))
	_, _, looked := run.Look(t.Context(), field, Values{"zip-entries": {"many"}})
	_, _, ground := run.proveGround(t.Context(), dir, InputsAt{})
	_, bare := Harvest{Plan: dir}.planned(&report.Readout{})
	_, lacks := Harvest{Plan: filepath.Join(dir, "plan")}.planned(&report.Readout{})
	_, each := Each(t.Context(), run, []string{field}, loose, false, func(string, report.Result, error) int { return 0 })
	_, dayOf := run.Day(t.Context(), dayFiles(t, field), loose, DayAsked{})
	put("day/"+dayName, `{"schema":"rxsplit.day/1","parameters":3}`)
	_, jobs := run.proveDay(t.Context(), filepath.Join(dir, "day"))
	put("bare/"+dayName, `{"schema":"rxsplit.day/1","parameters":{`+demo+`}}`)
	_, unserved := run.proveDay(t.Context(), filepath.Join(dir, "bare"))
	_, unread := run.proveReadout(t.Context(), dir)
	_, unrecorded := run.proveRecord(t.Context(), dir, InputsAt{})
	_, list := NewDayList([]string{filepath.Join(dir, "none")})
	_, _, replanned := run.replan(t.Context(), dir, InputsAt{}, &write.Manifest{Parameters: []byte("3")})
	dayList, stopped := dayFiles(t, field), &moment{Context: t.Context()}
	asked, err := Resolve(base)
	if err != nil {
		t.Fatal(err)
	}
	_, halted := Run{Progress: func(Step) { stopped.now.Store(true) }}.Day(stopped, dayList, asked, DayAsked{})
	_, several := Several([]string{filepath.Join(dir, "none")})
	if many, err := Several([]string{"-"}); many || err != nil {
		t.Errorf("standard input is several: %t, %v", many, err)
	}
	torn := errors.New("torn")
	_, _, unmapped := logMap(filepath.Join(dir, "none.yaml"))
	season := func(v Values) error {
		return (&Request{values: v}).findInputs(dir, InputsAt{}, &write.Manifest{Inputs: []write.Input{{Role: alreadyName, Path: "field.geojson"}}[:len(v)-1]})
	}
	for _, c := range []struct {
		what string
		err  error
		want string
	}{
		{"look", looked, "--zip-entries: \"many\" is no whole number"},
		{"keep-out", check(with("keep-out", bow)), "bow.geojson: keep-out 1: a ring crosses itself: which ground it encloses, and its acres, are in doubt\nrepair the polygon where it was drawn"},
		{"log elsewhere", check(logged), "far.csv: none of its rows lays anything: compare the columns that its map names, and the form of the time\ngive what was applied on this field"},
		{"further label", check(with("job", put("further.yaml", "label: label.yaml\nfurther-liquids: [{name: root aid, rate: 3 fl oz/ac, on: boom, label: none.yaml}]\n"))), "DIR/none.yaml: no such file\ncheck the name and the folder"},
		{"ground", ground, "DIR: holds neither a plan nor what lands on a field"},
		{"strips", bare, "DIR: holds no plan: there is no plan.json\nname the folder that rxsplit split wrote"},
		{"strips of a plan that lacks a file", lacks, "zones.csv: is missing\ndo not work from this folder; write the plan again with: rxsplit split"},
		{"each", each, "--loading: \"much\" does not start with a number: want a loading such as \"320 fl oz/ton\""},
		{"day", dayOf, "--loading: \"much\" does not start with a number: want a loading such as \"320 fl oz/ton\""},
		{"day that is canceled for a moment", halted, "context canceled"},
		{"jobs", jobs, "day.json: its parameters can't be read\nwrite the day again with: rxsplit day"},
		{"list", list, "DIR/none: no such file\ncheck the name and the folder"},
		{"log's map", unmapped, "DIR/none.yaml: no such file\ncheck the name and the folder"},
		{"replan", replanned, "plan.json: its parameters can't be read\nwrite the plan again with: rxsplit split"},
		{"already", season(Values{alreadyName: {"x.geojson"}}), "plan.json: names no already-applied\nwrite the plan again with: rxsplit split"},
		{"already map", season(Values{alreadyName: {"x.csv"}, alreadyMap: {"m.yaml"}}), "plan.json: names no already-map\nwrite the plan again with: rxsplit split"},
		{"plan", onlyPlan(dir), "DIR: holds no plan: there is no plan.json\nname the folder that rxsplit split wrote"},
		{"parameters", again("3"), "json: cannot unmarshal number into Go value of type map[string]json.RawMessage"},
		{"zip", again(`{"zip":3}`), "json: cannot unmarshal number into Go value of type map[string]json.RawMessage"},
		{"further", again(`{"further_labels":3}`), "json: cannot unmarshal number into Go value of type []string"},
		{"day without fields", unserved, "no field is served, so there is nothing to write\nsee all of the day, with what to do about each, without --out"},
		{"readout", unread, "DIR/readout.json: no such file\nname a folder that rxsplit readout --out has written"},
		{"record", unrecorded, ": holds no plan and no results\nname the folder that rxsplit split, day, passes, applied, readout or record wrote"},
		{"a list", again(`{"rate_fields":3}`), "json: cannot unmarshal number into Go value of type []string"},
		{"text", again(`{"label":3}`), "json: cannot unmarshal number into Go value of type string"},
		{"job", again(`{` + demo + `,"job":"spreader: {"}`), "job:1:11: is not YAML: could not find flow mapping end token '}'\ncorrect the file, then look at it with: rxsplit label check, or rxsplit job check"},
		{"its further label", again(`{` + demo + `,"job":"further-liquids: [{name: root aid, rate: 3 fl oz/ac, on: boom}]\n","further_labels":["name: x\n"]}`), "label of root aid:1:1: rate: is missing: it has to be given\ncorrect the file, then look at it with: rxsplit label check, or rxsplit job check"},
		{"several", several, "DIR/none: no such file\ncheck the name and the folder"},
		{"strips twice", Harvest{Map: "m", Yield: "y", Strips: "s", Plan: "p"}.whole(), "a plan is named, and strips as well\nleave out --strips to read those of the plan, or name no folder"},
		{"no mistake in a text", mistaken(torn, "mend it"), "torn"},
		{"overlap", check(with("overlap", "maybe")), "--overlap: \"maybe\" is none of error, first, last, max\nit says which zone owns ground that two zones cover"},
	} {
		if got := strings.TrimSpace(strings.ReplaceAll(told(c.err), dir, "DIR")); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// What a field gets of the boom's day: its loads, each with its loading, and what they take; what is metered, and
// else what is worked out. A field without any way keeps the reason that it has.
func TestWhatADayGivesAField(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, "drying-agent: 1 lb/pt\n"))
	for _, c := range []struct {
		metered, stabilizer, want unit.Volume
	}{{7, 9, 7}, {0, 9, 9}} {
		f := &dayField{terms: terms, whole: true, ways: []rx.Way{{Name: "one"}, {Name: rx.Loads, Metered: c.metered, Stabilizer: c.stabilizer, Loads: []rx.Load{{Loading: 300, Mass: 4}, {Loading: 200, Mass: 5}}}}}
		f.take(0)
		want := agentFor(terms, unit.Uptake(unit.Loading(300), unit.Mass(4))) + agentFor(terms, unit.Uptake(unit.Loading(200), unit.Mass(5)))
		if f.amounts.stabilizer != c.want || !slices.Equal(f.shown.Loadings, []unit.Loading{300, 200}) || f.amounts.agent != want || want == 0 {
			t.Errorf("of %v metered and %v: %v at %v, with %v of %v", c.metered, c.stabilizer, f.amounts.stabilizer, f.shown.Loadings, f.amounts.agent, want)
		}
	}
	for _, c := range []struct {
		field dayField
		want  string
	}{
		{dayField{}, "it does not fit into the boom's day"},
		{dayField{ways: make([]rx.Way, 1), shown: report.DayField{Why: []string{"late"}}}, "it does not fit into the boom's day, late"},
		{dayField{shown: report.DayField{Why: []string{"late"}}}, "late"},
	} {
		if c.field.take(day.LeftOut); strings.Join(c.field.shown.Why, ", ") != c.want {
			t.Errorf("got %q, want %q", c.field.shown.Why, c.want)
		}
	}
}
