package serve

import (
	"archive/zip"
	"bytes"
	"context"
	"html"
	"io"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
)

// TestWholeJob does the job of the invented field by the pages' own forms, and holds what
// they write against what the application writes for a command line.
func TestWholeJob(t *testing.T) {
	v := visit(t, nil)
	wants(t, v.get(""), "There is no prescription in this folder yet")
	wants(t, v.post("demo", url.Values{}), "field.zip", "off label", "Best way")
	page := v.get("field?file=field.zip")
	wants(t, page, "DRY_LBAC", "Do not impregnate this as one blend", "wet boom")
	page = v.get("field?file=field.zip&job=job.yaml&way=one-load")
	wants(t, page, "Release: one load", "It can't be released this way:</b> dry rates span 3.105 to 1", "Choose another way")
	if strings.Contains(page, `action="split"`) {
		t.Error("a way that is impossible can be written")
	}
	page = v.get("field?file=field.zip&job=job.yaml&way=loads")
	wants(t, page, "Release: ", "--way loads", "--out field-loads", "49.97 gal")
	page = v.post("split", url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "way": {"loads"}, "out": {"field-loads"}})
	wants(t, page, "The plan is written and proved: 2 impregnated loads, conditional; ", "Hold it</b> until", "To be released only if", "load 2 may get", ">DRY_LBAC</td>", "rxsplit split field.zip --job job.yaml --way loads --out field-loads")

	// The same from a command line, in the same folder.
	q, err := app.Resolve(app.Values{"job": {"job.yaml"}, "way": {"loads"}})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := (app.Run{}).Split(context.Background(), "field.zip", q, app.Target{Dir: "typed"}); err != nil {
		t.Fatal(err)
	}
	sameFiles(t, "field-loads", "typed")

	wants(t, v.post("verify", url.Values{"dir": {"field-loads"}}), "Proved: ", "each worked out again from the source")
	form := v.form("plan?dir=field-loads", "approve")
	if len(form["met"]) != 2 {
		t.Fatalf("the conditions to be ticked are %q", form["met"])
	}
	form.Set("by", "Invented Agronomist")
	form.Set("note", "a <note>")
	v.refusesToApprove(form)
	wants(t, v.post("approve", form),
		"Approved by Invented Agronomist", "a &lt;note&gt;", "Signed", "49.97 gal", "rxsplit approve field-loads --by")
	wants(t, v.get("plan?dir=field-loads"), "Show the release card with it")
	wants(t, v.get(""), "plan approved")
	wants(t, v.post("approve", url.Values{"dir": {"field-loads"}}), "The release card", "Signed", "By", "Invented Agronomist", "49.97 gal")
	unzip(t, v.see(v.answer(http.MethodGet, "zip?dir=field-loads", nil, nil), http.StatusOK), "out")
	m, err := (app.Run{}).Verify(context.Background(), "out/field-loads", app.InputsAt{Source: "field.zip"})
	if err != nil {
		t.Fatal(err)
	}
	if m.Approval == nil || m.Approval.By != "Invented Agronomist" {
		t.Errorf("the approval that came with the download is %v", m.Approval)
	}
	wants(t, html.UnescapeString(v.get("")), "field-loads", "Invented Agronomist")
}

// refusesToApprove wants every condition to be ticked, of the plan that was looked at.
func (v *visitor) refusesToApprove(form url.Values) {
	v.t.Helper()
	for name, texts := range form {
		for i := range texts {
			if name != "met" && name != "plan" {
				continue
			}
			other := maps.Clone(form)
			other[name] = slices.Concat(texts[:i], []string{"another"}, texts[i+1:])
			wants(v.t, html.UnescapeString(v.see(v.answer(http.MethodPost, "approve", other, nil), http.StatusConflict)), map[string]string{"met": "not said to be met: " + texts[i], "plan": "was written anew since its page was opened"}[name])
		}
	}
	if _, err := os.Stat(filepath.Join(form.Get("dir"), "approval.json")); err == nil {
		v.t.Error("it was approved all the same")
	}
}

// sameFiles wants two folders to hold the same files, byte for byte.
func sameFiles(t *testing.T, a, b string) {
	t.Helper()
	list := func(dir string) map[string]string {
		files := map[string]string{}
		err := filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
			if err == nil && !entry.IsDir() {
				text, _ := os.ReadFile(path)
				name, _ := filepath.Rel(dir, path)
				files[name] = string(text)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return files
	}
	x, y := list(a), list(b)
	if len(x) < 8 || len(x) != len(y) {
		t.Fatalf("%d files and %d", len(x), len(y))
	}
	for name := range x {
		if x[name] != y[name] {
			t.Errorf("%s differs", name)
		}
	}
}

func unzip(t *testing.T, data, dir string) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader([]byte(data)), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		from, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(from)
		if err != nil {
			t.Fatal(err)
		}
		os.MkdirAll(filepath.Join(dir, filepath.Dir(f.Name)), 0o777)
		if err := os.WriteFile(filepath.Join(dir, f.Name), text, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// Between two columns that can be the rate nobody knows which is meant.
func TestRateIsNeverGuessed(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns, "label.yaml": "name: x\nrate: 30 fl oz/ac\n"})
	page := v.get("field?file=two.geojson")
	wants(t, page, "Choose it.", "N_RATE", "P_RATE")
	if bytes.Contains([]byte(page), []byte("As one impregnated blend")) {
		t.Error("there is a verdict before a column is chosen")
	}
	wants(t, v.get("field?file=two.geojson&rate-field=P_RATE"), "As one impregnated blend")
	wants(t, v.get("field?file=two.geojson&rate-field=P_RATE&stabilizer-rate=3+lb"), `aria-invalid="true"`, "is a weight")
}

const twoColumns = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"N_RATE":120,"P_RATE":80},"geometry":{"type":"Polygon","coordinates":[[[-93.0,42.0],[-92.998,42.0],[-92.998,42.002],[-93.0,42.002],[-93.0,42.0]]]}},
{"type":"Feature","properties":{"N_RATE":220,"P_RATE":60},"geometry":{"type":"Polygon","coordinates":[[[-92.998,42.0],[-92.996,42.0],[-92.996,42.002],[-92.998,42.002],[-92.998,42.0]]]}}]}`

// Whether the rates count product or N is asked with their column, and nothing is written before
// it is said. What the column's name says is chosen already, and no more than that.
func TestProductOrNIsAsked(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns, "four.geojson": strings.ReplaceAll(cells(2), `"RATE":`, `"UREA_KGHA":`), "label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n", "job.yaml": "label: label.yaml\nrate-of: product\nrate-unit: kg/ha\n"})
	const write, radio = "Write and prove the plan", `type="radio" name="rate-of" value="`
	for _, c := range []struct {
		query       string
		n, kg, asks bool
	}{
		{"two.geojson&label=label.yaml&rate-field=P_RATE", false, false, true},
		{"two.geojson&label=label.yaml&rate-field=N_RATE", true, false, true},
		{"two.geojson&label=label.yaml&rate-field=P_RATE&rate-field=N_RATE", false, false, true},
		{"four.geojson&label=label.yaml", false, true, true},
		{"four.geojson&label=label.yaml&rate-of=product", false, true, true}, // the unit is still nobody's word
		{"four.geojson&label=label.yaml&rate-of=product&rate-unit=kg/ha", false, true, false},
		{"four.geojson&job=job.yaml", false, false, false}, // as the job says
	} {
		page := v.get("field?way=wet-boom&file=" + c.query)
		if got := strings.Contains(page, radio+`N" checked`); got != c.n {
			t.Errorf("%s: N is chosen: %v", c.query, got)
		}
		if got := strings.Contains(page, `<option value="kg/ha" selected>`); got != c.kg {
			t.Errorf("%s: kg/ha is chosen: %v", c.query, got)
		}
		if got := strings.Contains(page, "Say first what the rates count"); strings.Contains(page, `id="release"`) && (got != c.asks || strings.Contains(page, write) == c.asks) {
			t.Errorf("%s: asked first: %v", c.query, got)
		}
	}
	if page := v.get("field?file=four.geojson&label=label.yaml&rate-of=product&rate-unit=kg/ha"); strings.Contains(page, "as the job says: ") {
		t.Error("what the page was told is said to be the job's")
	}
	wants(t, v.get("field?file=four.geojson&job=job.yaml"), radio+`" checked required> as the job says: product`, `as the job says: kg/ha`)
}

// A doubt stands above what follows from it, with what mends it; a refusal leads to the fields
// where they are, as does the doubt.
func TestDoubtIsTheFirstThingTold(t *testing.T) {
	four := strings.ReplaceAll(cells(2), `"RATE":`, `"N_RATE":`)
	v := visit(t, map[string]string{"four.geojson": four, "label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"})
	const field = "field?file=four.geojson&label=label.yaml&way=wet-boom"
	page := v.get(field)
	doubt, decision := strings.Index(page, "<b>In doubt:</b> field N_RATE was taken as product"), strings.Index(page, `id="decision"`)
	if doubt < 0 || decision < doubt {
		t.Errorf("the doubt stands at %d, the decision at %d", doubt, decision)
	}
	wants(t, page, `href="#o-rate-of"`)
	form := url.Values{"file": {"four.geojson"}, "label": {"label.yaml"}, "way": {"wet-boom"}, "out": {"plan"}}
	page = html.UnescapeString(v.see(v.answer(http.MethodPost, "split", form, nil), http.StatusConflict))
	link := between(page, `href="field?`, `#o-rate-of"`)
	if link == "" {
		t.Fatalf("nothing leads to the field: %s", page)
	}
	wants(t, v.get("field?"+link), `id="o-rate-of"`, "N_RATE")
	if page := v.get(field + "&rate-of=N&analysis=46-0-0"); strings.Contains(page, "In doubt") {
		t.Error("it is in doubt though it was said")
	}
	wants(t, v.get(field+"&accept.rate-of-n=meant+so"), "In doubt: field N_RATE")
	if page := v.get(field + "&accept.rate-of-n=meant+so"); strings.Contains(page, "<b>In doubt:</b>") {
		t.Error("an answered doubt is still told first")
	}
}
