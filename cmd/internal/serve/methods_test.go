package serve

import (
	"net/http"
	"net/url"
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
