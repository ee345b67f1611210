package app_test

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/internal/oracle"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/write"
)

// forgery is a change to a written plan, with all digests made to fit, as whoever has read
// how the manifest is made would do it.
type forgery struct {
	name  string
	file  string // that the error must name, "*" for the layer's name; empty where any may be
	says  string // what it must say of it, a regular expression
	forge func(f *folder) bool
}

// forgeries lists those of all kinds.
func forgeries() []forgery {
	return slices.Concat(shpForgeries(), dbfForgeries(), geojsonForgeries(), textForgeries(), manifestForgeries(), listForgeries(), approvalForgeries(), taskForgeries())
}

const forgedSource = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"DOSE_KGHA":110},"geometry":{"type":"Polygon","coordinates":[[[-90.4,47.3],[-90.395,47.3],[-90.395,47.305],[-90.4,47.305],[-90.4,47.3]]]}},
{"type":"Feature","properties":{"DOSE_KGHA":200.5},"geometry":{"type":"Polygon","coordinates":[[[-90.395,47.3],[-90.39,47.3],[-90.39,47.305],[-90.395,47.305],[-90.395,47.3]]]}},
{"type":"Feature","properties":{"DOSE_KGHA":300},"geometry":{"type":"Polygon","coordinates":[[[-90.39,47.3],[-90.385,47.3],[-90.385,47.305],[-90.39,47.305],[-90.39,47.3]]]}}]}
`

const forgedKeepOut = `{"type":"Polygon","coordinates":[[[-90.394,47.301],[-90.391,47.301],[-90.391,47.304],[-90.394,47.304],[-90.394,47.301]]]}`

// forgedPlan writes a plan of one way, with a hole in the liquid layer, KML and a doubt that
// was answered.
func forgedPlan(t *testing.T, way rx.WayName) string {
	t.Helper()
	dir := t.TempDir()
	_, _ = demoIn(t, dir)
	values := app.Values{
		"job": {filepath.Join(dir, "demo", "job.yaml")}, "way": {string(way)}, "rate-field": {"DOSE_KGHA"},
		"accept": {"rate-unit=the export names all its fields so"}, "task-data": {"true"},
	}
	switch way {
	case rx.WetBoom:
		values["keep-out"] = []string{filepath.Join(dir, "pond.geojson")}
	case rx.OneLoad:
		values["leave-off"] = []string{"true"}
	}
	for name, text := range map[string]string{"field.geojson": forgedSource, "pond.geojson": forgedKeepOut} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	q, err := app.Resolve(values)
	if err != nil {
		t.Fatal(err)
	}
	plan := filepath.Join(dir, "plan")
	if _, _, err := (app.Run{}).Split(t.Context(), filepath.Join(dir, "field.geojson"), q, app.Target{Dir: plan, KML: true}); err != nil {
		t.Fatalf("%s: %s", way, app.Explain(err).Text)
	}
	return plan
}

// Each forgery is caught, and the file and what is wrong with it are named. A plan that is
// sealed anew and not changed is whole: it is not the seal that is seen. Where outside
// programs are required, a plan of each way is forged in every manner, else each is forged in
// some and each manner is tried.
func TestForgeries(t *testing.T) {
	everyWay := oracle.Required()
	caught := map[string]bool{}
	for w, way := range equip.Ways() {
		plan := forgedPlan(t, way.Name)
		same := openFolder(t, plan)
		same.seal(same.manifest())
		same.put(same.layer+".dbf", same.bytes(same.layer+".dbf"))
		if _, err := (app.Run{}).Verify(t.Context(), same.dir, app.InputsAt{}); err != nil {
			t.Fatalf("%s, sealed anew: %v", way.Name, err)
		}
		for i, one := range forgeries() {
			if caught[one.name] && !everyWay && i%len(equip.Ways()) != w {
				continue // the first way that can be forged so, and one of its own
			}
			f := openFolder(t, plan)
			if !one.forge(f) {
				continue
			}
			known := caught[one.name]
			caught[one.name] = true
			if testing.Short() && (known || i%8 != 0) {
				continue // made, and left to a full run
			}
			f.expect(one)
		}
	}
	for _, one := range forgeries() {
		if !caught[one.name] {
			t.Errorf("%s: no plan of any way could be forged so", one.name)
		}
	}
	if len(caught) < 72 {
		t.Errorf("only %d forgeries were made", len(caught))
	}
	t.Logf("%d kinds of forgeries", len(caught))
}

// expect proves a forged folder.
func (f *folder) expect(one forgery) {
	f.t.Helper()
	m, err := (app.Run{}).Verify(f.t.Context(), f.dir, app.InputsAt{})
	if err == nil {
		f.t.Errorf("%s, %s: passed", m.Way, one.name)
		return
	}
	var proof *write.VerifyError
	where := one.file
	if strings.HasPrefix(where, "*") {
		where = f.layer + where[1:]
	}
	want := regexp.MustCompile(`(?m)^(.*/)?` + regexp.QuoteMeta(where) + `: .*(` + one.says + `)`)
	if one.file == "" {
		want = regexp.MustCompile("")
	}
	if text := err.Error(); !want.MatchString(text) || !errors.As(err, &proof) && app.Explain(err).Hint == "" {
		f.t.Errorf("%s, %s: got %q, want %s", f.dir, one.name, text, want)
	}
}
