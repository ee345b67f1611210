package serve

import (
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"rxsplit/label"
)

// Pages are read and sent, nothing else.
func TestMethods(t *testing.T) {
	v := visit(t, map[string]string{"two.geojson": twoColumns})
	v.see(v.answer(http.MethodHead, "", nil, nil), http.StatusOK)
	for _, method := range []string{http.MethodPut, http.MethodDelete, http.MethodPatch, http.MethodOptions} {
		refused(t, v, v.answer(method, "", nil, nil), http.StatusMethodNotAllowed)
	}
}

// A form that can't be read is refused wherever one is sent, with what to do, and changes nothing; one
// that is larger than any form of these pages can't either.
func TestFormsThatCantBeRead(t *testing.T) {
	v := visit(t, map[string]string{"label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"})
	before, _ := os.ReadDir(".")
	for address, says := range map[string]string{
		"label": "the form can&#39;t be read", "job": "the form can&#39;t be read", "split": "the form can&#39;t be read",
		"drop": "the files can&#39;t be read",
	} {
		for _, body := range []string{"file=%zz", "file=" + strings.Repeat("x", mostForm)} {
			r, _ := http.NewRequest(http.MethodPost, v.base+address, strings.NewReader(body))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Origin", "http://"+v.server.host)
			answer, err := v.client.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			if page := v.see(answer, http.StatusBadRequest); !strings.Contains(page, says) {
				t.Errorf("%s answers %.300s", address, between(page, "<main", "</main>"))
			}
		}
	}
	if after, _ := os.ReadDir("."); len(after) != len(before) {
		t.Errorf("the folder holds %v, and held %v", after, before)
	}
}

// A unit of a file that the form does not know is kept as one more choice; known ones stand
// once.
func TestUnitsOfAForm(t *testing.T) {
	v := visit(t, nil)
	form := sent("label", "mine.yaml", []byte(label.Template()))
	form.Set("new", "1")
	form.Set("name", "Invented")
	form.Set("rate.min", "20")
	form.Set("rate.min unit", "fl oz/ton")
	form.Set("rate.max", "40")
	form.Set("rate.max unit", "fl oz/ac")
	page := v.see(v.answer(http.MethodPost, "label", form, nil), http.StatusUnprocessableEntity)
	for key, want := range map[string]int{"rate.min": 1, "rate.max": 0} {
		choice := between(page, `name="`+key+` unit"`, "</select>")
		if got := strings.Count(choice, ">fl oz/ton<"); got != want {
			t.Errorf("%s has %d choices of fl oz/ton, want %d: %s", key, got, want, choice)
		}
		if got := strings.Count(choice, ">fl oz/ac<"); got != 1 {
			t.Errorf("%s has %d choices of fl oz/ac: %s", key, got, choice)
		}
	}
}

// An approval that is canceled is no failure of the plan: the page asks again.
func TestApprovalIsCanceled(t *testing.T) {
	v := visit(t, nil)
	v.post("demo", url.Values{})
	v.post("split", url.Values{"file": {"field.zip"}, "job": {"job.yaml"}, "out": {"plan"}})
	form := v.form("plan?dir=plan", "approve")
	form.Set("by", "Invented")
	patience := v.server.patience
	v.server.patience = 1
	reached, _ := v.hold("layers", 0)
	r := v.answer(http.MethodPost, "approve", form, nil)
	select {
	case <-reached:
	case <-time.After(time.Minute):
		t.Fatal("an approval proves no layers")
	}
	id := between(v.see(r, http.StatusOK), `data-id="`, `"`)
	v.see(v.answer(http.MethodPost, "cancel", url.Values{"id": {id}}, nil), http.StatusOK)
	r = v.answer(http.MethodGet, "work?id="+id, nil, nil)
	if page := v.see(r, r.StatusCode); r.StatusCode == http.StatusConflict || strings.Contains(page, "context canceled") {
		t.Errorf("a canceled approval is told as a fault, status %d: %.2000s", r.StatusCode, page)
	}
	v.server.patience = patience
	wants(t, v.post("approve", form), "Approved by Invented")
}
