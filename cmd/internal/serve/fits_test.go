package serve

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"
)

const (
	ownJob   = "label: label.yaml\nrate-field: [N_RATE]\nrate-unit: lb/ac\n"
	ownLabel = "name: x\nrate: 30 fl oz/ac\n"
)

// chosen wants a job to be, or not to be, the one that a page has chosen.
func chosen(t *testing.T, page, job string, want bool) {
	t.Helper()
	if got := regexp.MustCompile(`<option[^>]* selected>` + regexp.QuoteMeta(job) + `</option>`).MatchString(page); got != want {
		t.Errorf("%s is chosen: %t, want %t", job, got, want)
	}
}

// A job that names a field is not taken for another one before anybody chose it.
func TestJobOfAnotherField(t *testing.T) {
	v := visit(t, nil)
	chosen(t, v.post("demo", url.Values{}), "job.yaml", true)
	if err := os.WriteFile("mine.geojson", []byte(twoColumns), 0o666); err != nil {
		t.Fatal(err)
	}
	page := v.get("field?file=field.zip")
	chosen(t, page, "job.yaml", true)
	wants(t, page, "names the field Demo field (invented) and the customer Demo customer (invented)")
	page = v.get("field?file=mine.geojson")
	chosen(t, page, "job.yaml", false)
	chosen(t, page, "label.yaml", false)
	page = v.get("")
	chosen(t, page, "job.yaml", false)
	if link := "field?file=mine.geojson&job"; strings.Contains(html.UnescapeString(page), link) {
		t.Errorf("the folder leads to %s", link)
	}
	wants(t, v.get("?job=job.yaml"), "names the field Demo field (invented)")
}

// Texts of commands that have no page are no jobs between which one would have to choose.
func TestTextsOfOtherCommands(t *testing.T) {
	v := visit(t, map[string]string{
		"north_40.geojson": twoColumns, "label.yaml": ownLabel, "job.yaml": ownJob, "map.yaml": "columns: {lon: X, lat: Y, rate: R}\nwidth: 70 ft\nlayer: liquid\n",
		"said.yaml": "date: 2026-05-04\nwind: calm\n", "monday.yml": "date: 2026-05-04\nfields:\n  - file: north_40.geojson\n", "yield.yaml": "columns: {yield: Y}\nyield-unit: bu/ac\n",
	})
	page := v.get("")
	chosen(t, page, "job.yaml", true)
	wants(t, page, "map.yaml, the map of a log&#39;s columns: for a command in a terminal", "said.yaml, what those who were there say",
		"monday.yml, a list of a day&#39;s fields", "yield.yaml, the map of columns of yields")
	if n := strings.Count(page, ", a job with its equipment"); n != 1 {
		t.Errorf("%d texts are jobs", n)
	}
}

// A job stands for a field that it names as the file is called, and for every one where it names none.
func TestJobOfThisField(t *testing.T) {
	for says, want := range map[string]bool{
		"": true, "field: North 40\n": true, "field: South 40\n": false,
		"customer: Invented customer\n": false, "field: North 40\ncustomer: Invented customer\n": true,
	} {
		t.Run(says, func(t *testing.T) {
			v := visit(t, map[string]string{"north_40.geojson": twoColumns, "label.yaml": ownLabel, "job.yaml": ownJob + says})
			chosen(t, v.get("field?file=north_40.geojson"), "job.yaml", want)
		})
	}
}

// A column that only the job asks for is told as the job's, and nothing takes its place.
func TestColumnOfTheJob(t *testing.T) {
	job := strings.Replace(ownJob, "N_RATE", "DRY_LBAC", 1)
	v := visit(t, map[string]string{"two.geojson": twoColumns, "label.yaml": ownLabel, "job.yaml": job})
	page := v.get("field?file=two.geojson")
	wants(t, page, "The chosen job asks for the column DRY_LBAC, which this file does not have", "pick the rate below", "Choose it.",
		`name="rate-field" value="N_RATE">`, `name="rate-field" value="P_RATE">`)
	if strings.Contains(page, "As one impregnated blend") {
		t.Error("a column is guessed")
	}
	wants(t, v.get("field?file=two.geojson&job=job.yaml&rate-field=P_RATE"), "As one impregnated blend")
}

// Either button of the page of a field sends the rate, the label and the job.
func TestOneFormForRateAndTerms(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns, "label.yaml": ownLabel, "other.yaml": ownLabel, "job.yaml": ownJob})
	page := v.get("field?file=two.geojson&job=job.yaml&way=wet-boom")
	var forms []string
	for form := range strings.SplitSeq(page, "<form") {
		if form, _, _ = strings.Cut(form, "</form>"); strings.Contains(form, `action="field#verdict"`) {
			forms = append(forms, form)
		}
	}
	if len(forms) != 1 {
		t.Fatalf("%d forms", len(forms))
	}
	wants(t, forms[0], `name="file" value="two.geojson"`, `name="way" value="wet-boom"`, `name="rate-field" value="P_RATE"`, `name="label"`, `name="job"`,
		`name="ticked" value="N_RATE"`, "Take this as the rate", "Check with these")

	// What the page itself ticked gives way to another job; what the user ticked stays.
	at := "field?file=two.geojson&label=other.yaml&job=job.yaml&ticked=N_RATE&rate-field="
	if page := v.get(at + "N_RATE"); strings.Contains(page, "--rate-field N_RATE") || !strings.Contains(page, "As one impregnated blend") {
		t.Error("a tick of the page itself is taken for a choice")
	}
	wants(t, v.get(at+"P_RATE"), "--rate-field P_RATE", "--label other.yaml")
}

// A key too many must not end the program: its button is the last of a page.
func TestEndIsLast(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns})
	for _, address := range []string{"", "field?file=two.geojson", "label", "job"} {
		page := v.get(address)
		_, after, found := strings.Cut(page, "End the program")
		if !found || strings.Contains(page[:strings.Index(page, "<main")], "quit") || strings.Contains(after, "<a ") || strings.Contains(after, "<button") {
			t.Errorf("%q: the button that ends the program is not the last", address)
		}
	}
}

// What other commands wrote is led to; nothing else of their folders is shown.
func TestPagesOfOtherCommands(t *testing.T) {
	const document = `{"schema":"rxsplit.ground/1"}`
	v := visit(t, map[string]string{
		"two.geojson": twoColumns, "a [b]/passes/passes.html": "<p>where they drive", "a [b]/passes/passes.json": document, "a [b]/passes/dry.geojson": twoColumns,
		"other/x.html": "x", "other/x.json": "{}", "alone/x.html": "x",
	})
	page := v.get("")
	wants(t, page, "show/a%20[b]/passes/passes.html")
	for _, text := range []string{"x.html", "dry.geojson"} {
		if strings.Contains(page, text) {
			t.Errorf("the folder leads to %s", text)
		}
	}
	r := v.answer(http.MethodGet, "show/a%20%5bb%5d/passes/passes.html", nil, nil)
	wants(t, r.Header.Get("Content-Security-Policy"), "sandbox")
	wants(t, v.see(r, http.StatusOK), "where they drive")
	for _, name := range []string{"a%20%5bb%5d/passes/passes.json", "a%20%5bb%5d/passes/dry.geojson", "other/x.html", "alone/x.html"} {
		v.see(v.answer(http.MethodGet, "show/"+name, nil, nil), http.StatusNotFound)
	}
}
