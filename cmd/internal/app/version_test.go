package app_test

import (
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// Of another version's plan the layers and totals are compared; what else it holds is told
// to be proved by digests alone.
func TestPlanOfAnotherVersion(t *testing.T) {
	f := openFolder(t, forgedPlan(t, rx.WetBoom))
	f.edit(func(m *write.Manifest) { m.Tool.Version = "0.0.9" })
	m, err := (app.Run{}).Verify(t.Context(), f.dir, app.InputsAt{})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"zones.csv", "sheets.txt", "report.html", "dry.kml", "liquid.kml", "the findings and costs in plan.json"}
	if !slices.Equal(m.Unproved, want) {
		t.Errorf("not proved: %q, want %q", m.Unproved, want)
	}
	var out strings.Builder
	f.must(text.Verified(&out, f.dir, m, nil))
	if said := strings.Join(strings.Fields(out.String()), " "); !strings.Contains(said, "Version 0.0.9 of rxsplit wrote it") || !strings.Contains(said, "sheets.txt") || strings.Contains(said, "byte for byte") {
		t.Errorf("got %q", said)
	}
	f.swap("dry.geojson", `"id":1,`, `"id":2,`)
	if _, err := (app.Run{}).Verify(t.Context(), f.dir, app.InputsAt{}); err == nil {
		t.Error("a layer changed in another version's plan: passed")
	}
}

// The plan's own version proves all, and says so.
func TestPlanOfThisVersion(t *testing.T) {
	f := openFolder(t, forgedPlan(t, rx.Loads))
	m, err := (app.Run{}).Verify(t.Context(), f.dir, app.InputsAt{})
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	f.must(text.Verified(&out, f.dir, m, nil))
	if said := strings.Join(strings.Fields(out.String()), " "); !strings.Contains(said, "byte for byte") || len(m.Unproved) > 0 || len(m.Changed) > 0 {
		t.Errorf("got %q, not proved %q, changed %v", said, m.Unproved, m.Changed)
	}
}
