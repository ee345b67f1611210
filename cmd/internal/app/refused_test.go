package app

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/geo/taskdata"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/readout"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/write"
)

// told is what an error says, with what to do about it.
func told(err error) string {
	if err == nil {
		return ""
	}
	f := Explain(err)
	return f.Text + "\n" + f.Hint
}

// Reasons that no folder of the scripts leads to: each says what is wrong, and about what.
func TestWhatIsRarelyRefused(t *testing.T) {
	why := report.DayField{Path: "why.shp", Why: []string{"no window"}}
	six := []report.DayField{why, {Path: "x.shp", Err: errors.New("x.shp: is empty")}, why, why, why, why}
	dir, profile := t.TempDir(), rxtest.Label(t, "")
	if err := os.WriteFile(filepath.Join(dir, "there.shp"), nil, 0o666); err != nil {
		t.Fatal(err)
	}
	parts := &write.Manifest{Inputs: []write.Input{
		{Role: "prescription", Name: "a.shp", SHA256: "1", Path: "there.shp"}, {Role: "prescription", Name: "a.dbf", SHA256: "2"},
		{Role: "already-applied", Name: "b.shp", SHA256: "3", Path: "gone.shp"}, {Role: "keep-out", Name: "k.shp", Path: "-"},
	}}
	at := func(role, given, flag string) string {
		path, err := inputPath(dir, parts, role, given, flag)
		return path + told(err)
	}
	files := func(role string, list ...rx.SourceFile) string { return told(sameSource(list, parts.Inputs, role)) }
	shp, dbf := rx.SourceFile{Name: "a.shp", SHA256: "1"}, rx.SourceFile{Name: "a.dbf", SHA256: "2"}
	_, packages := DayAsked{Packages: strings.Split(strings.Repeat("1 gal,", day.MostSizes)+"1 gal", ",")}.limits(unit.US)
	hours := func(blender, spreader string) string {
		_, err := DayAsked{Blender: blender, Spreader: spreader}.limits(unit.US)
		return told(err)
	}
	last, kept, _ := spreadBy("2026-05-01", "2026-05-02", rxtest.Terms(profile))
	few := []report.ReadoutField{{Name: "north", Readings: make([]readout.Reading, 2)}, {Name: "south"}}
	metered := func(most string, loading unit.Loading) string { // by steps of 0.1 fl oz/ton, on ground that gets a ton an acre
		terms := rxtest.Terms(rxtest.Profile(t, "name: Narrow (invented)\nrate: {min: 20.02 fl oz/ac, max: "+most+"}\n"))
		terms.Loading = loading
		p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 2000})
		w, why := dayWindow(&checked{prescription: p, assessment: rxtest.Grade(t, p, terms)})
		if w == nil {
			return why
		}
		return fmt.Sprintf("%.4g to %.4g", float64(w.Min), float64(w.Max))
	}
	held := func(l unit.Loading, more string) string { // left-over blend of a loading, by a label
		return told(leftOver{DayLeftOver: data.DayLeftOver{Loading: "it"}}.hold(&report.DayLeft{Left: day.Left{Load: rx.Load{Loading: l}}}, rxtest.Terms(rxtest.Label(t, more)), "2026-05-01"))
	}
	for _, c := range []struct{ what, got, want string }{
		{"left over with too much on it", held(385, "max-liquid: 3 gal/ton\n"), "it would load more than the label allows: a ton takes up 384 fl oz/ton at most"},
		{"left over with all that a ton takes up", held(384, "max-liquid: 3 gal/ton\n"), ""},
		{"left over with less than the label's own range", held(300, "loading: {min: 310 fl oz/ton, max: 330 fl oz/ton}\n"), ""},
		{"left over with more than that", held(331, "loading: {min: 310 fl oz/ton, max: 330 fl oz/ton}\n"), "it would load more than the label's most, 330 fl oz/ton"},
		{"between graduations", metered("20.08 fl oz/ac", 0), "no graduation of a meter lies between 20.02 fl oz/ton and 20.08 fl oz/ton"},
		{"one loading between graduations", metered("20.02 fl oz/ac", 0), "the one loading that would do, 20.02 fl oz/ton, is no graduation of a meter"},
		{"one graduation", metered("20.12 fl oz/ac", 0), "20.1 to 20.1"},
		{"two graduations", metered("20.22 fl oz/ac", 0), "20.1 to 20.2"},
		{"what the plant has fixed", metered("20.08 fl oz/ac", 20.05), "20.02 to 20.08"},
		{"none of six served", told((&Day{Shown: report.Day{Fields: six}}).name()), "no field is served, so there is nothing to write\nwhy.shp: no window\nx.shp: is empty\nwhy.shp: no window\nwhy.shp: no window\nwhy.shp: no window\nand 1 more\nsee all of the day"},
		{"none of five served", told((&Day{Shown: report.Day{Fields: six[:5]}}).noneServed()), "why.shp: no window\nsee all"},
		{"a folder's name", folderName("in/North 40 (söuth)_1-b.shp"), "North-40--s-uth-_1-b"},
		{"a long folder's name", fmt.Sprint(len(folderName(strings.Repeat("n", 41) + ".zip"))), "40"},
		{"packages", told(packages), "--package: 4 sizes are given\n"},
		{"a minute of each machine", hours("1 min", "1 min"), ""},
		{"no time of the blender", hours("0 h", "1 min"), `"0 h" leaves no time`},
		{"no time of the spreaders", hours("", "-1 h"), "--spreader-day: "},
		{"no such input", at("log", "", "--log"), "plan.json: names no log\nwrite the plan again"},
		{"no such input, and one given", at("log", "x", "--log"), "plan.json: names no log\nleave out --log"},
		{"an input", at("prescription", "", "--source"), filepath.Join(dir, "there.shp")},
		{"an input elsewhere", at("prescription", "other.shp", "--source"), "other.shp"},
		{"an input that is gone", at("already-applied", "", ""), "the already-applied of the plan is not there\nput it there again as it was"},
		{"an input from standard input", at("keep-out", "", "--keep-out"), "the keep-out came from standard input\nname its file with --keep-out FILE"},
		{"the same parts", files("prescription", shp, dbf), ""},
		{"a part is missing", files("prescription", shp), "a.dbf: the plan was made with it, and it is missing\nname the right file with --source, or write"},
		{"a part is another", files("prescription", shp, rx.SourceFile{Name: "A.DBF", SHA256: "1"}), "A.DBF: is not the file that the plan was made from\n"},
		{"another kind of file", files("prescription", rx.SourceFile{Name: "a.geojson"}), "a.geojson: is not the file that the plan was made from, which was a.dbf\n"},
		{"no flag for it", files("already-applied", rx.SourceFile{Name: "b.shp"}), "b.shp: is not the file that the plan was made from\nput it there again as it was, or"},
		{"held for no known time", string(last) + kept, ""},
		{"one blend", fmt.Sprint(blendBy(report.Day{Fields: []report.DayField{{Blend: -1}, {Blend: 1}, {Blend: 2, DayDiffers: report.DayDiffers{Job: 1}}, {Blend: 1}}}, 0)), "1"},
		{"two blends", fmt.Sprint(blendBy(report.Day{Fields: []report.DayField{{Blend: 1}, {Blend: 2}}}, 0)), "-1"},
		{"a way without conditions", reasonOf(rx.Way{State: rx.Ready}, "", unit.US), "it asks the agronomist first"},
		{"a reason of its own", reasonOf(rx.Way{State: rx.Ready}, "late", unit.US), "late"},
		{"a set of task data", told(&taskdata.FileError{File: "x.xml", Why: "is torn"}), "x.xml: is torn\n" + hintDamaged},
		{"a set of task data with a hint", told(&taskdata.FileError{File: "x.xml", Line: 3, Why: "is torn", Hint: "mend it"}), "x.xml: line 3: is torn\nmend it"},
		{"an error without a place", SystemSays(errors.New("torn")), "torn"},
		{"too few replicates", told(join(&report.Readout{Fields: few}, 0.9)), ": north, south\nleave out fields with fewer than 3 replicates"},
	} {
		if !strings.Contains(c.got, c.want) || c.want == "" && c.got != "" {
			t.Errorf("%s: got %q, want %q", c.what, c.got, c.want)
		}
	}
}

// How a field is to be driven: the ends of what may be asked, and what is refused by its name.
func TestCoursesThatAreAsked(t *testing.T) {
	course := func(a PassesAsked) string {
		c, err := a.course()
		if err != nil {
			return strings.TrimSpace(told(err))
		}
		return fmt.Sprint(c.Laps, " ", c.Azimuth, " ", c.Offset, " ", c.Ahead)
	}
	for _, c := range []struct{ got, want string }{
		{course(PassesAsked{}), "1 0 0 ft 0 min"},
		{course(PassesAsked{Laps: "0", Azimuth: "-360", Offset: "3 ft", Ahead: "2 s"}), "0 -360 3 ft 2 s"},
		{course(PassesAsked{Laps: fmt.Sprint(mostLaps), Azimuth: "360°"}), fmt.Sprint(mostLaps, " 360 0 ft 0 min")},
		{course(PassesAsked{Laps: fmt.Sprint(mostLaps + 1)}), fmt.Sprintf("--headland: %d is no number of laps\ngive 0 to %d, such as --headland 1", mostLaps+1, mostLaps)},
		{course(PassesAsked{Laps: "-1"}), fmt.Sprintf("--headland: -1 is no number of laps\ngive 0 to %d, such as --headland 1", mostLaps)},
		{course(PassesAsked{Laps: "1.5"}), fmt.Sprintf("--headland: 1.5 is no number of laps\ngive 0 to %d, such as --headland 1", mostLaps)},
		{course(PassesAsked{Azimuth: "360.5"}), "--azimuth: 360.5 is no direction\ngive degrees clockwise from north, such as --azimuth 90"},
		{course(PassesAsked{Azimuth: "NaN"}), "--azimuth: NaN is no direction\ngive degrees clockwise from north, such as --azimuth 90"},
		{course(PassesAsked{Offset: "3 s"}), "--offset: \"3 s\" is a time: want a length such as \"70 ft\""},
		{course(PassesAsked{Ahead: "2 ft"}), "--look-ahead: \"2 ft\" is a length: want a time such as \"5 min\""},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// The layer of a plan that a log is of: the one its map names, or the only one of its product.
func TestLayerOfALog(t *testing.T) {
	dry, boom, other := rx.Layer{Name: "dry", Product: rx.Dry}, rx.Layer{Name: "boom", Product: rx.Liquid}, rx.Layer{Name: "dry-2", Product: rx.Dry}
	for _, c := range []struct {
		layers  []rx.Layer
		product string
		named   string
		want    string
	}{
		{[]rx.Layer{dry, boom}, "dry", "", "0"}, {[]rx.Layer{dry, boom}, "stabilizer", "", "1"}, {[]rx.Layer{dry, boom, other}, "stabilizer", "", "1"}, {[]rx.Layer{dry, boom, other}, "dry", "dry-2", "2"}, {[]rx.Layer{boom, dry}, "dry", "boom", "0"},
		{[]rx.Layer{dry, boom, other}, "dry", "", "log.yaml: layer: it does not say which layer of the plan the log is of\nthe layers of the plan are: dry, boom, dry-2"},
		{[]rx.Layer{boom}, "dry", "", "log.yaml: layer: it does not say which layer of the plan the log is of\nthe layers of the plan are: boom"},
		{[]rx.Layer{dry, boom}, "dry", "dry-2", "log.yaml: layer: the plan has no layer \"dry-2\"\nthe layers of the plan are: dry, boom"},
	} {
		m, err := read.ParseLogMap("m", []byte("columns: {rate: R}\nwidth: 20 m\nrate-unit: "+map[bool]string{true: "lb/ac", false: "gal/ac"}[c.product == "dry"]+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		m.Layer = c.named
		i, err := layerOf(&rx.Plan{Layers: c.layers}, m, "in/log.yaml")
		got := told(err)
		if err == nil {
			got = fmt.Sprint(i)
		}
		if got != c.want {
			t.Errorf("%s of %d layers, named %q: got %q, want %q", c.product, len(c.layers), c.named, got, c.want)
		}
	}
}

// What logs say of a plan's strips is taken from a folder of that plan alone, and a strip that was
// sprayed is told.
func TestStripsByLogs(t *testing.T) {
	const inputs = `"kind":"applied","inputs":[{"role":"plan","sha256":"self"}]`
	for text, want := range map[string]string{
		"":                                       "applied.json: does not hold what was applied",
		`{"kind":"passes"}`:                      "does not hold what was applied",
		`{"kind":"applied"}`:                     "is of another plan than p",
		"{" + inputs + "}":                       "no log of the liquid was laid",
		"{" + inputs + `,"untreated_strips":[]}`: "",
		"{" + inputs + `,"untreated_strips":[{"rep":1,"sprayed_share":0.05},{"rep":2,"sprayed_share":0.95}]}`: "replicate 2: 95 % of its untreated strip was sprayed all the same",
	} {
		dir := t.TempDir()
		os.WriteFile(filepath.Join(dir, "applied.json"), []byte(text), 0o666)
		var out report.Readout
		lost, err := Harvest{Plan: "p", Applied: dir}.applied(&write.Manifest{Self: "self"}, &out)
		if got := told(err) + strings.Join(lost.why, ", "); !strings.Contains(got, want) || want == "" && got != "" {
			t.Errorf("%s: got %q, want %q", text, got, want)
		}
		if taken := len(out.Inputs) == 1; taken != (err == nil) {
			t.Errorf("%s: is among the inputs: %t", text, taken)
		}
	}
	if _, err := (Harvest{Plan: "p", Applied: t.TempDir()}).applied(&write.Manifest{}, &report.Readout{}); !strings.Contains(told(err), "applied.json: no such file") {
		t.Error(err)
	}
}

// Of several inputs of a kind the one that has changed is named, and no other.
func TestInputThatHasChangedIsNamed(t *testing.T) {
	folder := write.Folder{Dir: t.TempDir(), Manifest: "applied.json"}
	os.WriteFile(filepath.Join(folder.Dir, "applied.json"), []byte(`{"inputs":[{"role":"log","path":"a/log.csv","name":"log.csv","sha256":"1"},{"role":"log","path":"b/log.csv","name":"log.csv","sha256":"2"},{"role":"map","path":"b/log.csv","name":"log.csv","sha256":"3"}]}`), 0o666)
	for digests, want := range map[[3]string]string{{"1", "2", "3"}: "", {"1", "x", "3"}: "log.csv has changed since this was written from it", {"x", "2", "3"}: "log.csv has changed since this was written from it"} {
		got := ""
		for _, m := range changedInputs(folder, []write.Input{{Role: "log", Path: "a/log.csv", Name: "log.csv", SHA256: digests[0]}, {Role: "log", Path: "b/log.csv", Name: "log.csv", SHA256: digests[1]}, {Role: "map", Path: "b/log.csv", Name: "log.csv", SHA256: digests[2]}}) {
			got += m.File + " " + m.What
		}
		if got != want {
			t.Errorf("%v: got %q, want %q", digests, got, want)
		}
	}
}

// Where logs say of every strip that it was sprayed, there is nothing to read.
func TestNoStripStayedUntreated(t *testing.T) {
	var list []string
	for i, treated := range []int{1, 0, 1} {
		west := -90.4 + 0.001*float64(i)
		list = append(list, fmt.Sprintf(`{"type":"Feature","properties":{"rep":2,"treated":%d},"geometry":{"type":"Polygon","coordinates":[[[%v,47.35],[%v,47.35],[%v,47.352],[%v,47.352],[%[2]v,47.35]]]}}`, treated, west, west+0.001, west+0.001, west))
	}
	path := filepath.Join(t.TempDir(), "strips.geojson")
	os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[`+strings.Join(list, ",")+"]}"), 0o666)
	lost := sprayed{reps: []int{2}, why: []string{"replicate 2: sprayed"}}
	if got := told((Run{}).readStrips(t.Context(), Harvest{Strips: path}, nil, lost, &report.Readout{})); !strings.HasPrefix(got, "no strip stayed untreated: replicate 2: sprayed\n") {
		t.Error(got)
	}
}

// Nothing goes with a day that is written anew but what it wrote.
func TestWhatWouldGoWithADay(t *testing.T) {
	out := filepath.Join(t.TempDir(), "day")
	d, _, err := writeDay(t, dayFolder(t, rand.New(rand.NewPCG(5, 1)), 2), out, false, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := wholeDay(out); err != nil {
		t.Fatal(err)
	}
	plan := d.Shown.Fields[0].Folder
	_, bare := (Harvest{Plan: filepath.Join(out, plan)}).planned(&report.Readout{})
	_, unsaid := (Run{}).Record(t.Context(), filepath.Join(out, plan), InputsAt{}, RecordFrom{Said: filepath.Join(t.TempDir(), "gone.yaml")})
	for _, c := range []struct{ what, got, want string }{
		{"a day again", told((Run{}).WriteDay(t.Context(), out, d, false)), "day: is there already\nchoose a new folder with --out, or replace the day in it with --force"},
		{"strips of a plan without any", told(bare), filepath.Join(out, plan) + ": the plan leaves no strips untreated\nname strips that were left by hand with --strips FILE; next year's plan leaves some with rxsplit split --strips 6"},
		{"a record of what nobody said", told(unsaid), "gone.yaml: no such file"},
	} {
		if !strings.Contains(c.got, c.want) {
			t.Errorf("%s: %q, want %q", c.what, c.got, c.want)
		}
	}
	m, c, _, err := Run{}.prove(t.Context(), filepath.Join(out, plan), InputsAt{})
	if err != nil {
		t.Fatal(err)
	}
	if wrong := d.isOf(0, m, c); len(wrong) > 0 {
		t.Errorf("a plan of the day is told to be another: %v", wrong)
	}
	own, by := d.Shown.Fields[0].Path, d.fields[0].way.Name
	d.Shown.Fields[0].Path = "other.shp"
	if wrong := d.isOf(0, m, c); len(wrong) != 1 || wrong[0] != (write.Mismatch{File: plan + "/plan.json", What: "is of another prescription than the day's"}) {
		t.Errorf("a plan of another prescription: %v", wrong)
	}
	d.Shown.Fields[0].Path = own
	c.request.values = Values{"way": {string(by)}}
	if wrong := d.isOf(0, m, c); len(wrong) != 1 || wrong[0] != (write.Mismatch{File: plan + "/plan.json", What: "was written by other parameters than the day's"}) {
		t.Errorf("a plan by other parameters: %v", wrong)
	}
	for _, c := range []struct{ name, want string }{
		{dayName, "it holds no day"}, {dayText, dayText + " was changed"}, {plan + "/plan.json", plan + "/plan.json was changed"}, {plan + "/zones.csv", plan + ": zones.csv"},
		{plan + "/mine.txt", plan + ": mine.txt is not of its plan"}, {plan + "/approval.json", plan + ": somebody has approved it"}, {"mine.txt", "mine.txt is not of its day"},
	} {
		path := filepath.Join(out, filepath.FromSlash(c.name))
		before, err := os.ReadFile(path)
		os.WriteFile(path, []byte("changed"), 0o666)
		if _, err := wholeDay(out); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s is changed: %v, want %q", c.name, err, c.want)
		}
		if os.WriteFile(path, before, 0o666); err != nil {
			os.Remove(path)
		}
	}
}

// A folder with a field, a label and logs is made whole or not at all.
func TestDemoLeavesNothingHalf(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	torn := errors.New("torn")
	if err := Demo(dir, func(field, job string) error { return torn }); err != torn {
		t.Error(err)
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("a folder that nobody could use is left")
	}
	if err := DemoLog(filepath.Join(dir, "logs")); !strings.Contains(told(err), "logs: no such file") {
		t.Error(err)
	}
	const most = 4095 // bytes of a path on Linux: the folder's name is the last that fits
	for len(dir) < most-210 {
		dir = filepath.Join(dir, strings.Repeat("d", 200))
	}
	if os.MkdirAll(dir, 0o777) != nil {
		t.Skip("no path is that long here")
	}
	dir = filepath.Join(dir, strings.Repeat("d", most-len(dir)-2))
	if err := Demo(dir, nil); !strings.Contains(told(err), "field.zip: file name too long") {
		t.Error(err)
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("an empty folder is left")
	}
	if err := DemoLog(dir); !strings.Contains(told(err), "file name too long") {
		t.Error(err)
	}
}

// Two entries of one file are the same ground but for what is read of it.
func TestSameEntryOfOneFile(t *testing.T) {
	for name, same := range map[string]bool{"layer": false, "rate-field": false, keepOutName: false, "field": true} {
		if got := sameGround(Values{name: {"a"}}, Values{name: {"b"}}); got != same {
			t.Errorf("of another %s: the same ground is %t", name, got)
		}
	}
}

// A folder of plans names a field's other files as they lie from it, a rate that was applied by no file, and finds them there again.
func TestOtherFilesOfAField(t *testing.T) {
	all := Values{keepOutName: {"d/k.shp"}, alreadyName: {"d/a.SHP"}, alreadyMap: {"d/in/m.yaml"}}
	for _, c := range []struct {
		values  Values
		written *written
		want    string
	}{
		{Values{}, nil, "map[]"}, {all, nil, "map[already-applied:../a.SHP already-map:../in/m.yaml keep-out:../k.shp]"},
		{Values{alreadyName: {"20 fl oz/ac"}}, nil, "map[]"}, {Values{alreadyMap: {"d/m.yaml"}}, nil, "map[]"},
		{Values{alreadyName: {"d/a.csv"}}, nil, "map[already-applied:../a.csv]"}, {Values{alreadyName: {"d/a.txt"}}, nil, "map[]"},
		{Values{alreadyName: {"d/a.csv"}}, &written{already: "d/b.csv", mapped: "d/n.yaml"}, "map[already-applied:../b.csv already-map:../n.yaml]"},
	} {
		at := (&Request{values: c.values, written: c.written}).inputsFrom("d/out")
		if fmt.Sprint(at) != c.want || (at == nil) != (c.want == "map[]") {
			t.Errorf("%v: got %v, want %s", c.values, at, c.want)
		}
		if w := foundAt("d/out", at); len(at) == 3 && [3]string{w.keepOut, w.already, w.mapped} != [3]string{"d/k.shp", "d/a.SHP", "d/in/m.yaml"} {
			t.Errorf("found again: %+v", w)
		}
	}
}

// A field's cards name the run that makes its blend with that of others, or with left-over blend; they say
// that there is none where left-over blend is all that it gets.
func TestRunOfAField(t *testing.T) {
	own, shared := rx.Lot{Fields: []int{0}, Portion: rx.Portion{Dry: 1}}, rx.Lot{Fields: []int{0, 1}, Portion: rx.Portion{Dry: 1}}
	asIs, blended := rx.Lot{Fields: []int{0}, Left: &rx.LotLeft{}}, rx.Lot{Fields: []int{0}, Left: &rx.LotLeft{}, Portion: rx.Portion{Dry: 1}}
	for _, c := range []struct {
		lots []rx.Lot // of the second run
		want string
	}{
		{nil, ""}, {[]rx.Lot{own}, ""}, {[]rx.Lot{{Fields: []int{1, 2}}}, ""}, {[]rx.Lot{shared}, "run 2"}, {[]rx.Lot{own, shared}, "run 2"},
		{[]rx.Lot{asIs}, equip.NoRun}, {[]rx.Lot{asIs, own}, "run 2"}, {[]rx.Lot{blended}, "run 2"},
	} {
		if got := runOf([]rx.Run{{}, {Lots: c.lots}}, 0); got != c.want {
			t.Errorf("%v: got %q, want %q", c.lots, got, c.want)
		}
	}
}

// Cards call a field as its list does, and say which file that is, so that it is found; a field that a list
// doesn't name is called by its file alone.
func TestCardsNameFields(t *testing.T) {
	north := report.DayField{Path: "in/f.geojson", DayDiffers: report.DayDiffers{Customer: "somebody", Values: Values{"field": {"North"}, "place": {"NW 4"}}}}
	other := report.DayField{Path: "in/g.geojson", DayDiffers: report.DayDiffers{Values: Values{"field": {"South"}, "place": {"SE 9"}}}, Err: errors.New("is empty")}
	text := fmt.Sprint(dayCards(report.Day{Fields: []report.DayField{north, {Path: "in/h.geojson"}, other}, Hauls: []rx.Haul{{Field: 0, Run: -1}, {Field: 1, Run: -1}, {Field: 2, Run: -1}}}))
	for _, want := range []string{"North, f.geojson", "somebody", "NW 4", " h.geojson", "South, g.geojson", "SE 9"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	if strings.Contains(text, "h.geojson, h.geojson") {
		t.Error("a file is named twice")
	}
}

// What no split writes though its digests agree: names that are not those of their paths, and times that are none; standard
// input has no path.
func TestWhatNoSplitWrites(t *testing.T) {
	c := &checked{assessment: &rx.Assessment{}, prescription: rxtest.Plain()}
	for _, c2 := range []struct{ name, path, stamp, want string }{
		{"a.shp", "../in/a.shp", "", ""}, {"a.shp", "-", "", ""}, {"a.shp", "../in/b.shp", "", `names an input "a.shp", and its path "../in/b.shp"`},
		{"a.shp", "a.shp", "2026-05-01T10:00:00Z", ""}, {"a.shp", "a.shp", "2026-05-01T10:00:00+02:00", `its stamp "2026-05-01T10:00:00+02:00" is no time`},
		{"a.shp", "a.shp", "2026-13-01T10:00:00Z", "is no time"}, {"a.shp", "a.shp", "yesterday", "is no time"},
	} {
		wrong := c.neverWritten(&write.Manifest{Stamp: c2.stamp, Inputs: []write.Input{{Name: c2.name, Path: c2.path}}})
		if (len(wrong) == 0) != (c2.want == "") || len(wrong) > 1 || c2.want != "" && (wrong[0].File != "plan.json" || !strings.Contains(wrong[0].What, c2.want)) {
			t.Errorf("%+v: %v", c2, wrong)
		}
	}
}

// A plan with an error is refused by its way and its first error; one with warnings is not.
func TestPlanWithAnError(t *testing.T) {
	bad := rx.NewRule[rx.Nothing]("left-off", rx.AboutPlan, rx.EveryPlan)
	plan := &rx.Plan{Way: rx.Way{Name: "loads"}}
	for _, severity := range []rx.Severity{rx.Note, rx.Warning, rx.Error} {
		plan.Findings = append(plan.Findings, bad.Find(severity, rx.Nothing{}))
		err := refusePlan(plan, unit.US)
		if (err != nil) != (severity == rx.Error) || err != nil && !strings.HasPrefix(err.Error(), "way loads: ") {
			t.Errorf("%v: %v", severity, err)
		}
	}
}

// A log is laid twice where all its files and the map by which it is read stood before, in this order.
func TestLogsThatAreLaidTwice(t *testing.T) {
	log := func(sum string) write.Input { return write.Input{Role: "log", SHA256: sum} }
	mapped := func(sum string) write.Input { return write.Input{Role: "map", SHA256: sum} }
	two := []rx.SourceFile{{SHA256: "1"}, {SHA256: "2"}}
	for _, c := range []struct {
		inputs []write.Input
		want   bool
	}{
		{nil, false}, {[]write.Input{log("1"), log("2"), mapped("m")}, true}, {[]write.Input{log("1"), log("2"), mapped("n")}, false},
		{[]write.Input{log("1"), mapped("m")}, false}, {[]write.Input{log("3"), log("2"), mapped("m")}, false}, {[]write.Input{log("1"), log("2"), mapped("n"), log("1"), log("2"), mapped("m")}, true},
		{[]write.Input{log("1"), mapped("m"), log("2"), mapped("m")}, false}, {[]write.Input{{Role: "plan", SHA256: "1"}, log("2"), mapped("m")}, false}, {[]write.Input{log("1"), log("2"), mapped("n"), mapped("m")}, false},
	} {
		if got := laidTwice(c.inputs, two, "m"); got != c.want {
			t.Errorf("%v: %t", c.inputs, got)
		}
	}
}

// What is known of a plan that can't be made again is told behind its hint; an error of another kind stays as it is. Of
// another version nothing but layers is proved.
func TestWhatIsKnownOfAPlan(t *testing.T) {
	m := &write.Manifest{Files: []write.FileSum{{Name: "dry.shp"}, {Name: "dry.dbf"}, {Name: "liquid.geojson"}, {Name: "zones.csv"}, {Name: "report.html"}, {Name: "TASKDATA/TASKDATA.XML"}}}
	const known = "until then no more is proved than that plan.json and the 6 files that it lists fit each other"
	for hint, want := range map[string]string{"": known, "find it": "find it\n" + known} {
		before := &Error{What: "gone", Hint: hint}
		if got := told(digestsAlone(before, m)); got != "gone\n"+want || before.Hint != hint {
			t.Errorf("%q: %q", hint, got)
		}
	}
	if torn := errors.New("torn"); digestsAlone(torn, m) != torn {
		t.Error("another error is changed")
	}
	if got, want := fmt.Sprint(unprovedOf(m)), "[zones.csv report.html the findings and costs in plan.json]"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "job.yaml"), []byte("b"), 0o666)
	os.Mkdir(filepath.Join(dir, "folder"), 0o777)
	in := func(role, path, text string) write.Input {
		return write.Input{Role: role, Path: path, SHA256: write.Digest([]byte(text))}
	}
	m.Inputs = []write.Input{in("job", "job.yaml", "b"), in("label", "job.yaml", "a"), in("prescription", "job.yaml", "a"), in("keep-out", "job.yaml", "a"), in("job", "gone.yaml", "a"), in("job", "folder", "a")}
	if got := changedSince(dir, m); len(got) != 1 || got[0].Role != "label" {
		t.Errorf("changed: %+v", got)
	}
}

// Strips that a whole header does not fit into are named with their widths, four of them by name; 9 m are 29.5 ft, and a
// header of 30 ft wants 3.3 ft more on each side.
func TestStripsThatAreTooNarrow(t *testing.T) {
	const meter = 1 / (111_480 * 0.7547) // degrees of longitude at 41 N
	strip := func(at, wide float64) readout.Strip {
		x := -96.6 + at*meter
		return readout.Strip{Ground: orb.MultiPolygon{{{{x, 41}, {x + wide*meter, 41}, {x + wide*meter, 41.003}, {x, 41.003}, {x, 41}}}}}
	}
	field := func(narrow int) *readout.Field { // of six strips, the untreated one of a replicate first
		var reps []readout.Replicate
		for rep := range 2 {
			wide := func(k int) float64 { return map[bool]float64{true: 9, false: 20}[3*rep+k < narrow] }
			one := readout.Replicate{Rep: rep + 1, Untreated: strip(float64(90*rep+60), wide(0)), Treated: [2]readout.Strip{strip(float64(90*rep), wide(1)), strip(float64(90*rep+30), wide(2))}}
			one.Untreated.Rep, one.Treated[0].Rep, one.Treated[1].Rep = rep+1, rep+1, rep+1
			one.Treated[0].Treated, one.Treated[1].Treated = true, true
			reps = append(reps, one)
		}
		return readout.Lay(reps)
	}
	header := readout.Header{Meters: 9.144, Whole: true}
	for narrow, want := range map[int][]string{
		0: nil, 1: {"strips.shp: the header of 30.0 ft, with 3.3 ft to spare on each side, does not fit into: replicate 1: an untreated strip is 29.5 ft wide\n"},
		3: {"replicate 1: a treated strip is 29.5 ft wide\n"}, 4: {"replicate 2: an untreated strip is 29.5 ft wide\n"}, 5: {"ft wide; and 1 more\n"}, 6: {"ft wide; and 2 more\n"},
	} {
		got := told(tooNarrow(field(narrow), header, "strips.shp"))
		if (got == "") != (want == nil) || want != nil && !strings.Contains(got, want[0]) || narrow > 0 && strings.Count(got, "strip is") != min(narrow, 4) {
			t.Errorf("%d narrow: %q, want %q", narrow, got, want)
		}
	}
	if err := tooNarrow(field(6), readout.Header{Meters: 9.144}, "strips.shp"); err != nil {
		t.Errorf("of an antenna: %v", err)
	}
}
