package serve

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/write"
)

// sent is what a page sends of a file's form when nothing is touched.
func sent(kind, file string, text []byte) url.Values {
	k := textFiles()[kind]
	form := url.Values{"kind": {kind}, "file": {file}, "was": {write.Digest(text)}}
	for _, q := range k.fields(inFile(k.written(text).All()), text) {
		q.each(func(q *ask) {
			switch {
			case q.Rows != nil:
				form.Set(q.Key+" rows", fmt.Sprint(len(q.Rows)))
			case q.Parts == nil:
				form.Set(q.Key, q.Value)
				form.Set(q.Key+" unit", q.Unit)
			}
			if q.None {
				form.Set(q.Key+" none", "1")
			}
		})
	}
	return form
}

// A form that is sent as it came changes no byte of the file, whatever stands in it.
func TestUntouchedFormsChangeNothing(t *testing.T) {
	files := map[string][]byte{"label": label.DemoYAML()}
	for _, f := range app.DemoFiles() {
		if f.Name == "job.yaml" {
			files["job"] = f.Text
		}
	}
	for kind, text := range files {
		for name, text := range map[string]string{"as it is": string(text), "with Windows' ends of lines": strings.ReplaceAll(string(text), "\n", "\r\n"), "without a last end": strings.TrimSpace(string(text))} {
			k := textFiles()[kind]
			form := sent(kind, "x.yaml", []byte(text))
			got, err := k.edit([]byte(text), k.fields(inForm(form), []byte(text)))
			if err != nil || string(got) != text {
				t.Errorf("%s %s: %v\n%s", kind, name, err, got)
			}
		}
	}
}

// Every key of both tables can be entered, and is read back as it was entered.
func TestEveryKeyCanBeEntered(t *testing.T) {
	for kind, k := range textFiles() {
		var fill func(q *ask)
		fill = func(q *ask) {
			switch q.Kind {
			case strictyaml.Group:
				for i := range q.Parts {
					fill(&q.Parts[i])
				}
			case strictyaml.Items:
				for i := range q.Rows[0].Parts {
					fill(&q.Rows[0].Parts[i])
				}
			case strictyaml.Amount:
				q.Value, q.Unit = "3", q.Units[0]
			case strictyaml.Choice:
				q.Value = q.Choices[len(q.Choices)-1]
			case strictyaml.Switch:
				q.Value = "yes"
			default:
				q.Value = "12"
			}
		}
		text := []byte(k.template())
		fields := k.fields(inFile{}, text)
		for i := range fields {
			fill(&fields[i])
		}
		text, err := k.edit(text, fields)
		if err != nil {
			t.Fatal(err)
		}
		again := k.fields(inFile(k.written(text).All()), text)
		for i := range fields {
			if got, want := again[i].written(), fields[i].written(); got != want || want == "" {
				t.Errorf("%s %s: entered %s, read back %s", kind, fields[i].Name, want, got)
			}
		}
	}
}

func TestLabelForm(t *testing.T) {
	v := visit(t, nil)
	wants(t, v.get("label"), "The most that all passes of one season may add up to.", "not on the label")
	form := sent("label", "mine.yaml", []byte(label.Template()))
	form.Set("new", "1")
	form.Set("name", "Invented <b>stabilizer</b>")
	form.Set("rate.min", "20")
	form.Set("rate.min unit", "fl oz/ton") // of another quantity
	form.Set("rate.max", "40")
	form.Set("rate.max unit", "fl oz/ac")
	form.Set("season-max none", "1")
	page := v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity)
	wants(t, page, "Not saved yet", `data-key="rate.min">&#34;20 fl oz/ton&#34; is a`, `value="20"`)
	wants(t, v.see(v.answer(http.MethodPost, "try", form, nil), http.StatusOK), `"rate.min":`)
	if _, err := os.Stat("mine.yaml"); err == nil {
		t.Fatal("a form that is wrong was saved")
	}
	form.Set("rate.min unit", "fl oz/ac")
	wants(t, v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusOK), "Saved.")
	text, _ := os.ReadFile("mine.yaml")
	for _, line := range []string{`name: "Invented <b>stabilizer</b>"`, "rate: {min: 20 fl oz/ac, max: 40 fl oz/ac}", "#season-max: not on the label", "# The most that all passes of one season may add up to.", "#density: 9 lb/gal"} {
		if !strings.Contains(string(text), line+"\n") {
			t.Errorf("the file lacks %q:\n%s", line, text)
		}
	}
	p, _, err := app.Label("mine.yaml")
	if err != nil || p.Rate.Max != 40 {
		t.Errorf("the profile is %v, %v", p, err)
	}
	wants(t, v.get("label?file=mine.yaml"), `name="season-max none" value="1" checked`)

	// It goes on to the prescription that it was opened from, with the label chosen; nowhere else.
	again := sent("label", "mine.yaml", text)
	for next, want := range map[string]string{
		"field?file=gone.zip&way=loads": "field?file=gone.zip&label=mine.yaml&way=loads",
		"//elsewhere/field?file=x":      "label?file=mine.yaml&saved=1",
	} {
		again.Set("next", next)
		if to := v.answer(http.MethodPost, "label", again, nil).Request.URL.String(); to != v.base+want {
			t.Errorf("from %s to %s, want %s", next, to, want)
		}
	}

	// Never over another file, nor over what somebody has changed meanwhile.
	v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity)
	old := sent("label", "mine.yaml", text)
	os.WriteFile("mine.yaml", append(text, "# by hand\n"...), 0o666)
	wants(t, v.see(v.answer(http.MethodPost, "label", old, nil), http.StatusUnprocessableEntity), "was changed since this form was opened")
	if now, _ := os.ReadFile("mine.yaml"); !strings.HasSuffix(string(now), "# by hand\n") {
		t.Error("what somebody changed meanwhile is gone")
	}
	for _, name := range []string{"../out.yaml", "/tmp/out.yaml", "x.zip", ".x.yaml", "a/b.yaml"} {
		form.Set("file", name)
		v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity)
	}
}

// A figure that is questioned is saved only when it is sent a second time as it is.
func TestOddFiguresAreAskedFor(t *testing.T) {
	v := visit(t, nil)
	form := sent("label", "odd.yaml", []byte(label.Template()))
	form.Set("new", "1")
	form.Set("name", "Invented stabilizer")
	for _, key := range []string{"rate.min", "rate.max"} {
		form.Set(key, "18")
		form.Set(key+" unit", "gal/ac")
	}
	form.Set("season-max", "80")
	form.Set("season-max unit", "fl oz/ac")
	page := v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity)
	if !strings.Contains(page, `data-key="rate.max">18 gal/ac is above season-max`) || !strings.Contains(page, `data-key="season-max"></strong>`) {
		t.Errorf("the unit of the highest rate is wrong, and this is marked: %q", between(page, `data-key="season-max">`, `<`))
	}
	form.Del("season-max")
	form.Set("rate.max", "36")
	page = v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity)
	wants(t, page, "Not saved yet", `<button class="main">Save</button>`, "Save as it is", "gal/ac")
	v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity) // by the main button
	_, sure, _ := strings.Cut(page, `name="sure" value="`)
	sure, _, _ = strings.Cut(sure, `"`)
	if _, err := os.Stat("odd.yaml"); err == nil {
		t.Fatal("saved unasked")
	}
	other := url.Values{}
	for key, value := range form {
		other[key] = value
	}
	other.Set("sure", sure)
	other.Set("rate.max", "37") // the answer was for other figures
	v.see(v.answer(http.MethodPost, "label", other, nil), http.StatusUnprocessableEntity)
	form.Set("sure", sure)
	wants(t, v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusOK), "Saved.")
}

// One figure of one machine changes one line; the remarks beside the others stay.
func TestJobFormKeepsRemarks(t *testing.T) {
	const job = "# mine\nspreader:\n  swath: 70 ft # measured\n  # in spring\n  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}\n  bins: 1\n\n# the boom is elsewhere\nfield: North\n"
	v := visit(t, map[string]string{"job.yaml": job})
	form := sent("job", "job.yaml", []byte(job))
	form.Set("spreader.swath", "80")
	form.Set("spreader.turn", "20")
	form.Set("spreader.turn unit", "s")
	form.Set("blend rows", "1")
	form.Set("blend[1].name", "urea")
	form.Set("blend[1].grade", "46-0-0")
	wants(t, v.post("job", form), "Saved.")
	got, _ := os.ReadFile("job.yaml")
	want := strings.Replace(job, "70 ft #", "80 ft #", 1)
	want = strings.Replace(want, "  bins: 1\n", "  bins: 1\n  turn: 20 s\n", 1) + "blend:\n  - {name: urea, grade: 46-0-0}\n"
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Groups that were sent empty are not asked for again but for one.
func TestOneNewRowIsEnough(t *testing.T) {
	items := strictyaml.Form{Name: "pan-test", Kind: strictyaml.Items, Parts: []strictyaml.Form{{Name: "rate"}}}
	for given, want := range map[string]int{"": 1, "pan-test[1].rate": 2, "pan-test[3].rate": 4} {
		form := inForm{"pan-test rows": {"4"}}
		if given != "" {
			form[given] = []string{"200 lb/ac"}
		}
		if rows := asks([]strictyaml.Form{items}, form, "", 0)[0].Rows; len(rows) != want {
			t.Errorf("%q answered: %d rows, want %d", given, len(rows), want)
		}
	}
}
