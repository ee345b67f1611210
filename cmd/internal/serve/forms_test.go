package serve

import (
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What a file and a form say of a key, as a form shows it.
func TestAnswersOfAForm(t *testing.T) {
	file := inFile{"rate": "30.5 fl oz/ac", "odd": "about 30", "many[1]": "a", "many[2]": "b", "many[4]": "d", "one": "alone", "rows[2].x": "1", "rows[11].y": "2", "other[3]": "z"}
	form := inForm(url.Values{"rate": {" 30 "}, "rate unit": {"gal/ac"}, "twice": {"a", "b "}, "least rows": {"-3"}, "none rows": {"x"}, "some rows": {"40"}, "more rows": {"41"}})
	amount := func(a answers, key string) string { n, of := a.amount(key); return n + "|" + of }
	for _, c := range []struct{ what, got, want string }{
		{"an amount", amount(file, "rate"), "30.5|fl oz/ac"}, {"no amount", amount(file, "odd"), "about 30|"}, {"nothing", amount(file, "gone"), "|"},
		{"a list up to its gap", file.lines("many"), "a\nb"}, {"a list of one", file.lines("one"), "alone"}, {"no list", file.lines("gone"), ""},
		{"rows", fmt.Sprint(file.rows("rows"), file.rows("many"), file.rows("other"), file.rows("one")), "11 4 3 0"},
		{"an amount of a form", amount(form, "rate"), "30|gal/ac"}, {"a text of a form", form.text("twice"), "a\nb"},
		{"rows of a form", fmt.Sprint(form.rows("least"), form.rows("none"), form.rows("gone"), form.rows("some"), form.rows("more")), "0 0 0 40 40"},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %q, want %q", c.what, c.got, c.want)
		}
	}
}

// What is not said any more that a label lacks it, is not known then; what is lacking is noted, and taken back.
func TestLacksAreNotedAndTakenBack(t *testing.T) {
	k := textFiles()["label"]
	const base = "name: x\nrate: 30 fl oz/ac\n"
	answer := func(text string, more url.Values) string {
		form := sent("label", "x.yaml", []byte(text))
		for key, v := range more {
			form[key] = v
		}
		got, err := k.edit([]byte(text), k.fields(inForm(form), []byte(text)))
		if err != nil {
			t.Fatal(err)
		}
		return string(got)
	}
	lacks := answer(base, url.Values{"hold none": {"1"}})
	if !strictyaml.Noted([]byte(lacks), "hold", label.NotOnLabel) || strictyaml.Noted([]byte(base), "hold", label.NotOnLabel) {
		t.Errorf("it is not noted:\n%s", lacks)
	}
	if again := answer(lacks, nil); again != lacks {
		t.Errorf("nothing was changed:\n%s", again)
	}
	back := answer(lacks, url.Values{"hold none": nil})
	if strictyaml.Noted([]byte(back), "hold", label.NotOnLabel) || !strictyaml.Noted([]byte(back), "hold", "unknown") {
		t.Errorf("it is still noted, or not unknown:\n%s", back)
	}
	said := answer(lacks, url.Values{"hold none": nil, "hold": {"24"}, "hold unit": {"h"}})
	if p, err := label.Parse("x.yaml", []byte(said)); err != nil || p.Hold != label.Know(24*60*unit.Minute) {
		t.Errorf("%v:\n%s", err, said)
	}
	both := answer(lacks, url.Values{"hold": {"24"}, "hold unit": {"h"}}) // what is given counts
	if !strings.Contains(both, "hold: 24 h") {
		t.Errorf("a figure beside the note is lost:\n%s", both)
	}
	gone := answer(said, url.Values{"hold": {""}, "hold unit": {""}})
	if p, err := label.Parse("x.yaml", []byte(gone)); err != nil || p.Hold != (label.Known[unit.Time]{}) {
		t.Errorf("%v, it still says 24 h:\n%s", err, gone)
	}
}

// What is wrong stands beside its field, the first of several; what has no field, and no key, stands by itself, in order.
func TestWhatIsWrongStandsBesideItsField(t *testing.T) {
	k := textFiles()["label"]
	text := []byte("name: x\nrate: 30 fl oz/ac\nzebra: 1\napple: 2\nhold: soon\n")
	form := k.fields(inFile(k.written(text).All()), text)
	rest, ok := k.judge("x.yaml", text, form)
	if ok || len(rest) != 2 || !strings.HasPrefix(rest[0], "apple: ") || !strings.HasPrefix(rest[1], "zebra: ") {
		t.Errorf("usable %t, %q", ok, rest)
	}
	for _, q := range form {
		if (q.Err != "") != (q.Key == "hold") {
			t.Errorf("%s: %q", q.Key, q.Err)
		}
	}
	k.check = func(string, []byte) ([]label.Problem, error) {
		return []label.Problem{{Key: "gone", Text: "is odd"}, {Key: "name", Text: "is short"}}, errors.New("torn")
	}
	form = k.fields(inFile{}, nil)
	if rest, ok := k.judge("x.yaml", nil, form); ok || fmt.Sprint(rest) != "[gone: is odd torn]" {
		t.Errorf("usable %t, %q", ok, rest)
	}
	for _, q := range form {
		if q.Err != "" || (q.Remark != "") != (q.Key == "name") {
			t.Errorf("%s: %q, %q", q.Key, q.Err, q.Remark)
		}
	}
	k.check = func(string, []byte) ([]label.Problem, error) { return nil, nil }
	if rest, ok := k.judge("x.yaml", nil, form); !ok || len(rest) > 0 {
		t.Errorf("usable %t, %q", ok, rest)
	}
}

// Every remark of a job file's template stands at a field of its form, and every option has one.
func TestRemarksStandAtTheirFields(t *testing.T) {
	shown, texts := map[string]string{}, map[string]bool{}
	for _, q := range textFiles()["job"].fields(inFile{}, nil) {
		q.each(func(p *ask) { shown[p.Key], texts[p.Help] = p.Help, true })
	}
	for key, want := range map[string]string{
		"blender.drum": "Room that it may fill.", "blend[1].share": "Part of the weight.", "prices.nitrogen": "The price of N itself.", "prices.blending": "", "crop": "",
		"spreader.lost-rate": "What it spreads when it has lost its position.", "boom.sections": "As those of the spreader.",
		"spreader.pan-test": "What pans in a line across the machine's way have caught, for one rate or more.", "spreader.pan-test[1].spacing": "From the middle of a pan to the next.",
		"further-liquids":       "More of them, each with a label profile of its own, by which it is graded. Give the rate that is wanted on the ground, or the loading that the plant has fixed.",
		"further-liquids[1].on": "Blend (impregnated) or boom (in the tank of the wet boom).", "most-n": "The most that any zone should get, of N itself: a rate above it is questioned.",
	} {
		if shown[key] != want {
			t.Errorf("%s: %q, want %q", key, shown[key], want)
		}
	}
	for key, text := range jobHelps() {
		if text != "" && !texts[text] {
			t.Errorf("what is remarked of %s stands nowhere: %s", key, text)
		}
	}
	for _, o := range app.Options() {
		if o.InJob() && shown[o.Name] != o.About {
			t.Errorf("%s: %q, want %q", o.Name, shown[o.Name], o.About)
		}
	}
}

// Whom a job names, and whether it may stand for files: one that can't be read tells its mistakes instead.
func TestWhomAJobNames(t *testing.T) {
	t.Chdir(t.TempDir())
	for text, want := range map[string]struct {
		names string
		fits  bool // a.geojson
	}{
		"":                          {"", true},
		"field: A\n":                {"job.yaml names the field A: so the sheets", true},
		"field: B\n":                {"job.yaml names the field B: so the sheets", false},
		"customer: C\n":             {"job.yaml names the customer C: so the sheets", false},
		"field: A\ncustomer: C\n":   {"job.yaml names the field A and the customer C: so the sheets", true},
		"field: [A]\ncustomer: {\n": {"", true},
	} {
		os.WriteFile("job.yaml", []byte(ownJob+text), 0o666)
		if got := namesOf("job.yaml"); !strings.HasPrefix(got, want.names) || (got == "") != (want.names == "") {
			t.Errorf("%q: %q", text, got)
		}
		if got := fits("job.yaml", []string{"in/a.geojson"}); got != want.fits {
			t.Errorf("%q fits: %t", text, got)
		}
		if !fits("job.yaml", nil) {
			t.Errorf("%q does not fit no file", text)
		}
		if fits("job.yaml", []string{"a.geojson", "other.geojson"}) != (want.fits && want.names == "") {
			t.Errorf("%q fits another file too", text)
		}
	}
	if namesOf("") != "" || namesOf("gone.yaml") != "" {
		t.Error("no job names somebody")
	}
}

// Commands that do the same at a terminal, and names and links of pages.
func TestWhatATerminalTakes(t *testing.T) {
	a := asked{File: "a b.zip", Values: app.Values{"way": {"loads"}, "label": {"l.yaml"}}}
	for _, c := range []struct{ what, got, want string }{
		{"a name for a plan", outName("in/.field.north.zip", "loads"), "in/.field.north-loads"}, {"one of a hidden file", outName(".field.zip", "base"), "field-base"},
		{"a plan", splitCommand(a, "out dir", app.Target{}), `rxsplit split 'a b.zip' --label l.yaml --way loads --out 'out dir'`},
		{"a plan with all", splitCommand(a, "o", app.Target{KML: true, Stamp: time.Unix(1, 0)}), ` --out o --kml --stamp`},
		{"an approval", approveCommand("a b", rx.Approval{By: "A B", License: "0 1", Note: "so be it"}), `rxsplit approve 'a b' --by 'A B' --license '0 1' --note 'so be it'`},
		{"an approval by nobody", approveCommand("a", rx.Approval{}), "rxsplit approve a"},
		{"the page of a field", nextPage("field?file=a"), "field?file=a"}, {"no page", nextPage("https://field?x"), ""}, {"another page", nextPage("fields"), ""},
	} {
		if !strings.HasSuffix(c.got, c.want) || c.want == "" && c.got != "" {
			t.Errorf("%s: got %s, want %s", c.what, c.got, c.want)
		}
	}
	var b asked
	b.Values = app.Values{}
	b.read(url.Values{"file": {"f.zip"}, "way": {" loads ", "base"}, "label": {"in/l.yaml"}, "analysis": {"46-0-0, 0-0-60", " "}, "rate-field": {"A, B", "C"}, "unknown": {"x"}, "job": {" "}})
	if got := fmt.Sprint(b.File, " ", b.Values); got != "f.zip map[analysis:[46-0-0 0-0-60] label:["+filepath.FromSlash("in/l.yaml")+"] rate-field:[A, B C] way:[loads]]" || len(b.Values["rate-field"]) != 2 {
		t.Errorf("got %s", got)
	}
}
