package app_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/write"
)

// resealed makes the list of files in a folder of results fit what lies there, as whoever has
// read how it is made would do it.
func resealed(t *testing.T, dir, manifest string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, manifest))
	var list struct {
		Files []write.FileSum
		Self  string
	}
	if err == nil {
		err = json.Unmarshal(text, &list)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list.Files {
		data, err := os.ReadFile(filepath.Join(dir, f.Name))
		if err != nil {
			t.Fatal(err)
		}
		now, _ := json.Marshal(write.FileSum{Name: f.Name, SHA256: write.Digest(data), Size: int64(len(data))})
		then, _ := json.Marshal(f)
		text = bytes.Replace(text, then, now, 1)
	}
	blank := strings.Repeat("0", 64)
	text = bytes.Replace(text, []byte(list.Self), []byte(blank), 1)
	at := bytes.LastIndex(text, []byte(blank))
	copy(text[at:], write.Digest(text))
	if err := os.WriteFile(filepath.Join(dir, manifest), text, 0o666); err != nil {
		t.Fatal(err)
	}
}

// resultForgery is a change to one file of a folder of results, by a regular expression.
type resultForgery struct {
	name, file, from, to string
	says                 string // what must be said, a regular expression
}

// forged makes a copy with one change of it, and proves that.
func (one resultForgery) forged(t *testing.T, dir, manifest string) {
	t.Helper()
	f := &folder{t: t, dir: dir + ".forged"}
	f.must(os.RemoveAll(f.dir))
	f.must(os.CopyFS(f.dir, os.DirFS(dir)))
	text := f.bytes(one.file)
	changed := regexp.MustCompile(one.from).ReplaceAll(text, []byte(one.to))
	if bytes.Equal(text, changed) {
		t.Errorf("%s: nothing to forge in %s", one.name, one.file)
		return
	}
	f.raw(one.file, changed)
	if at := filepath.Dir(one.file); at != "." { // of a plan in it
		plan := &folder{t: t, dir: filepath.Join(f.dir, at)}
		if name := filepath.Base(one.file); name != "plan.json" {
			plan.put(name, changed)
		} else {
			plan.sealText(string(changed))
		}
	}
	resealed(t, f.dir, manifest)
	var proof *write.VerifyError
	if _, err := verified(t, f.dir); !errors.As(err, &proof) || !regexp.MustCompile(`(?m)^`+one.says).MatchString(err.Error()) {
		t.Errorf("%s: got %v, want %s", one.name, err, one.says)
	}
}

// What day, passes, record and readout wrote is forged with all digests made to fit; each forgery is
// caught and named. Sealed anew without a change, it is whole.
func TestForgeriesOfResults(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	dir := t.TempDir()
	_, job := demoIn(t, dir)
	for i, name := range []string{"east.geojson", "west.geojson"} {
		text := strings.ReplaceAll(forgedSource, "DOSE_KGHA", "DOSE")
		text = strings.ReplaceAll(text, "47.30", []string{"47.30", "47.32"}[i])
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	q, err := app.Resolve(app.Values{"job": {job}, "rate-field": {"DOSE"}})
	if err != nil {
		t.Fatal(err)
	}
	day, passes, rec := filepath.Join(dir, "day"), filepath.Join(dir, "passes"), filepath.Join(dir, "rec")
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(app.Explain(err).Text)
		}
	}
	list, err := app.ListDay([]string{filepath.Join(dir, "east.geojson"), filepath.Join(dir, "west.geojson")})
	must(err)
	d, err := (app.Run{}).Day(t.Context(), list, q, app.DayAsked{})
	must(err)
	must((app.Run{}).WriteDay(t.Context(), day, d, false))
	plan := filepath.Join(day, d.Shown.Fields[0].Folder)
	g, err := (app.Run{}).Passes(t.Context(), plan, app.InputsAt{}, app.PassesAsked{})
	must(err)
	must((app.Run{}).WriteGround(t.Context(), passes, g))
	r, err := (app.Run{}).Record(t.Context(), plan, app.InputsAt{}, app.RecordFrom{})
	must(err)
	must((app.Run{}).WriteRecord(t.Context(), rec, r))
	said, together := harvested(t, dir)
	for _, of := range []struct {
		dir, manifest string
		forgeries     []resultForgery
	}{
		{day, "day.json", dayForgeries(d.Shown.Fields[1].Folder)},
		{passes, "passes.json", passesForgeries()},
		{rec, "record.json", recordForgeries()},
		{said, "readout.json", readoutForgeries()},
		{together, "readout.json", togetherForgeries()},
	} {
		resealed(t, of.dir, of.manifest)
		if _, err := verified(t, of.dir); err != nil {
			t.Errorf("%s, sealed anew: %v", of.manifest, err)
		}
		for _, one := range of.forgeries {
			one.forged(t, of.dir, of.manifest)
		}
	}
}

// harvested writes what strips say of a public yield map, of its moisture as an index and of invented
// stalks, and what that field and another say together.
func harvested(t *testing.T, dir string) (said, together string) {
	t.Helper()
	const from = "../../../rx/readout/testdata/yieldmap/"
	columns := "columns: {lon: lon, lat: lat, yield: yield_buac, distance: dist_in}\nyield-unit: bu/ac\ndistance-unit: in\nheader: 360 in\n" +
		"price: 4.25 $/bu\ncost: 9.50 $/ac\nyield-is: dry\nindex: {lon: lon, lat: lat, value: moist}\n"
	yields, err := os.ReadFile(from + "yieldmap_yield.csv")
	other := filepath.Join(dir, "yields.csv") // of another year
	if err == nil {
		err = os.WriteFile(other, append(yields, '\n'), 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
	var dirs []string
	for i, clean := range []string{"{low: 0.2, high: 2}", "{low: 0.5, high: 3}"} {
		columnsFile := filepath.Join(dir, fmt.Sprintf("columns-%d.yaml", i))
		if err := os.WriteFile(columnsFile, []byte(columns+"inside: point\nclean: "+clean+"\n"), 0o666); err != nil {
			t.Fatal(err)
		}
		h := app.Harvest{Strips: from + "yieldmap_strips.geojson", Yield: from + "yieldmap_yield.csv", Map: columnsFile}
		if i == 0 {
			h.Index = h.Yield
		} else {
			h.Yield = other
		}
		out, err := (app.Run{}).Readout(t.Context(), h)
		dirs = append(dirs, filepath.Join(dir, fmt.Sprint("said-", i)))
		if err == nil {
			err = (app.Run{}).WriteReadout(t.Context(), dirs[i], out)
		}
		if err != nil {
			t.Fatal(app.Explain(err).Text)
		}
	}
	out, err := (app.Run{}).Together(t.Context(), dirs, "")
	together = filepath.Join(dir, "together")
	if err == nil {
		err = (app.Run{}).WriteReadout(t.Context(), together, out)
	}
	if err != nil {
		t.Fatal(app.Explain(err).Text)
	}
	return dirs[0], together
}

func readoutForgeries() []resultForgery {
	says := `readout\.json: line 1`
	return []resultForgery{
		{"the verdict", "readout.json", `"verdict":"cannot be told"`, `"verdict":"more"`, says},
		{"a difference", "readout.json", `("difference":)-?[\d.]+`, "${1}9", says},
		{"a replicate left out", "readout.json", `("replicates":\[)\{[^}]*\},`, "$1", says},
		{"the interval", "readout.json", `("interval":\[)-?[\d.]+`, "${1}0.1", says},
		{"p", "readout.json", `("p":)[\d.]+`, "${1}0.01", says},
		{"what pays", "readout.json", `("p_pays":)[\d.e-]+`, "${1}0.99", says},
		{"points kept", "readout.json", `("kept":)\d+`, "${1}4949", says},
		{"no index", "readout.json", `"others":\[.*\],"files"`, `"others":[],"files"`, says},
		{"no remarks", "readout.json", `"remarks":\[[^\]]*\]`, `"remarks":[]`, says},
		{"another version", "readout.json", `("version":")[^"]*`, "${1}0.0.1", says},
		{"an input's digest", "readout.json", `("sha256":")[0-9a-f]{8}`, "${1}00000000", `.*`},
		{"a figure on the page", "readout.html", `annot be told`, "more", `readout\.html: line`},
		{"the page's curve", "readout.html", `( d="M)\d`, "${1}9", `readout\.html: line`},
		{"bytes behind the page", "readout.html", `\z`, "<!-- -->", `readout\.html: `},
	}
}

func togetherForgeries() []resultForgery {
	says := `readout\.json: line 1`
	return []resultForgery{
		{"the mean of all", "readout.json", `("pooled":\{[^}]*"mean":)-?[\d.]+`, "${1}9", says},
		{"a field's mean", "readout.json", `("fields":.*?"mean":)-?[\d.]+`, "${1}9", says},
		{"tau", "readout.json", `("tau2":)[\d.e-]+`, "${1}7", says},
		{"the page", "readout.html", `annot be told`, "more", `readout\.html: line`},
	}
}

func dayForgeries(plan string) []resultForgery {
	files := `("files":\[)(\{[^}]*\}),(\{[^}]*\})`
	return slices.Concat([]resultForgery{
		{"a card's figure", "cards.txt", `\d,\d\d\d lb`, "9,999 lb", `cards\.txt: line`},
		{"an order of the text", "day.txt", `(stabilizer: )\d`, "${1}9", `day\.txt: line`},
		{"an order of the document", "day.json", `("what":"stabilizer","amount":)[\d.]+`, "${1}99", `day\.json: line 1, from character`},
		{"files in another order", "day.json", files, "$1$3,$2", `day\.json: line 1`},
		{"a file not listed", "day.json", files, "$1$3", `day\.json: line 1`},
		{"another version of the day", "day.json", `"version":"[^"]*"`, `"version":"0.0.1"`, `day\.json: line 1`},
	}, []resultForgery{
		{"a row twice in a plan", plan + "/zones.csv", `(?m)^(1,.*\n)`, "$1$1", plan + `/zones\.csv: line 3`},
		{"a plan of another version", plan + "/plan.json", `("version": ")[^"]*`, "${1}0.0.1", plan + `/plan\.json: says that version "0\.0\.1" wrote it`},
	})
}

func passesForgeries() []resultForgery {
	return []resultForgery{
		{"a class of the ground", "passes.geojson", `"CLASS":2`, `"CLASS":1`, `passes\.geojson: `},
		{"acres of the document", "passes.json", `("verdict_area":\{"none":)[\d.]+`, "${1}0", `passes\.json: line 1`},
		{"an input twice", "passes.json", `("inputs":\[)(\{[^}]*\})`, "$1$2,$2", `passes\.json: line 1`},
		{"no findings", "passes.json", `"findings":\[.*\],"files"`, `"findings":[],"files"`, `passes\.json: line 1`},
		{"another datum", "passes.prj", "WGS", "NAD", `passes\.prj: `},
	}
}

func recordForgeries() []resultForgery {
	return []resultForgery{
		{"a line on the page", "record.html", `Demo customer`, "Other customer", `record\.html: line`},
		{"an entry", "record.json", `Demo customer`, "Other customer", `record\.json: line 1`},
		{"nothing is missing", "record.json", `"missing":\[.*?\]`, `"missing":[]`, `record\.json: line 1`},
		{"of another plan", "record.json", `("plan":")[0-9a-f]{8}`, "${1}00000000", `record\.json: line 1`},
	}
}

// Fields are joined only as they were written, and no harvest twice.
func TestTogetherTakesNothingTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	said, together := harvested(t, t.TempDir())
	dirs := []string{said, strings.TrimSuffix(said, "0") + "1"}
	again := func(name string, change func(text []byte) []byte) error {
		t.Helper()
		text, err := os.ReadFile(filepath.Join(said, "readout.json"))
		dir := filepath.Join(filepath.Dir(together), name)
		if err == nil {
			err = os.Mkdir(dir, 0o777)
		}
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, "readout.json"), change(text), 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
		_, err = (app.Run{}).Together(t.Context(), []string{dirs[1], dir}, "")
		return err
	}
	replace := func(from, to string) func([]byte) []byte {
		return func(text []byte) []byte { return bytes.Replace(text, []byte(from), []byte(to), 1) }
	}
	if err := again("copied", replace("", "")); err != nil {
		t.Error(err)
	}
	for name, change := range map[string]func([]byte) []byte{
		"forged": replace(`"difference":-2`, `"difference":2`), "unsealed": replace(`"self":`, `"was":`), "emptied": func(text []byte) []byte {
			at := bytes.LastIndex(text, []byte(`"self":"`)) + len(`"self":"`)
			return slices.Delete(text, at, at+64)
		},
	} {
		if err := again(name, change); err == nil || !strings.Contains(err.Error(), "changed since it was written") {
			t.Errorf("%s: %v", name, err)
		}
	}
	dirs[1] = said
	sealed := func(text []byte) []byte { // in other words, so that the file is another
		text = replace(`"inputs":`, ` "inputs":`)(text)
		at := bytes.LastIndex(text, []byte(`"self":"`)) + len(`"self":"`)
		copy(text[at:], strings.Repeat("0", 64))
		copy(text[at:], write.Digest(text))
		return text
	}
	if err := again("sealed", sealed); err == nil || !strings.Contains(err.Error(), "reads the same yields") {
		t.Errorf("one harvest twice: %v", err)
	}
}
