package app

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// effectField is an invented field of four zones of 18 ac, with rates of two products and what
// has been put on already.
func effectField(overlapping bool) string {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i, rate := range []int{100, 180, 250, 300} {
		west, east := -90.4+float64(i)*0.0025, -90.4+float64(i+1)*0.0025
		if overlapping && i == 0 {
			east += 0.001
		}
		if i > 0 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, `{"type":"Feature","properties":{"RATE":%d,"OTHER":%d,"STAB_RATE":%d,"MINE":%d},"geometry":{"type":"Polygon","coordinates":[[[%[5]g,47.35],[%[6]g,47.35],[%[6]g,47.3536],[%[5]g,47.3536],[%[5]g,47.35]]]}}`,
			rate, 10*i+20, i, 2*i, west, east)
	}
	return b.String() + "]}"
}

// effects are, of options that need more than their sample, the value and what is given
// besides. Of the way in it the effect shows.
var effects = map[string]struct {
	value string
	base  Values
}{
	"layer":           {value: "nosuch"},
	"rate-field":      {value: "OTHER"},
	"rate-of":         {"N", Values{"analysis": {"46-0-0"}}},
	"analysis":        {"46-0-0", Values{"rate-of": {"N"}}},
	"carrier":         {"OTHER", Values{"rate-field": {"RATE", "OTHER"}}},
	"crs":             {value: "EPSG:32615"},
	"already-applied": {value: "45 fl oz/ac"},
	"already-field":   {"MINE", Values{"already-applied": {"field.geojson"}}},
	"already-map":     {"map.yaml", Values{"already-applied": {"field.geojson"}}},
	"loading":         {value: "300 fl oz/ton"},
	"way":             {value: "loads"},
	"date":            {"2026-05-04", Values{"way": {"loads"}}},
	"day-run":         {"run 2", Values{"way": {"loads"}}},
	"day-left":        {"250 fl oz/ton", Values{"way": {"refit"}}},
	"leave-off":       {"true", Values{"way": {"one-load"}}},
	"rate-unit":       {value: "kg/ha"},
	"rate-error":      {value: "9 %"},
	"units":           {value: "metric"},
	"keep-out":        {value: "nosuch.geojson"},
	"strips":          {value: "6"},
	"azimuth":         {value: "45"}, // without it they run from west to east here
	"zip-entries":     {value: "1"},
}

// Each option changes what comes of a split: that it is read shows in the sheets, the table of
// zones, the document or the layers, or in why it is refused.
func TestEveryOptionHasAnEffect(t *testing.T) {
	if testing.Short() {
		t.Skip("splits a field for each option")
	}
	dir := t.TempDir()
	t.Chdir(dir)
	save(t, dir, "label.yaml", string(label.DemoYAML()))
	save(t, dir, "field.geojson", effectField(false))
	save(t, dir, "overlap.geojson", effectField(true))
	if err := os.WriteFile("field.zip", demoField, 0o666); err != nil {
		t.Fatal(err)
	}
	job := string(demoJob)
	for _, key := range []string{"rate-field", "rate-unit", "rate-of", "analysis", "stabilizer-rate"} { // that options give here
		at := strings.Index(job, "\n"+key+":") + 1
		job = job[:at] + job[at+strings.Index(job[at:], "\n")+1:]
	}
	save(t, dir, "job.yaml", job)
	for _, o := range Options() {
		if o.Kind == Document || o.Name == "zip-ratio" {
			continue // TestDocuments; the ratio bounds parts of more than 1 MiB, in geo/shapefile's tests
		}
		base := Values{"job": {"job.yaml"}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}}
		field := "field.geojson"
		switch {
		case o.Name == "overlap":
			field = "overlap.geojson"
		case o.Name == "layer" || strings.HasPrefix(o.Name, "zip-"):
			field, base["rate-field"] = "field.zip", []string{"DRY_LBAC"}
		}
		for with, of := range map[string][]Option{taskDataName: ofTaskData(), stripsName: ofStrips()} {
			for _, one := range of {
				if one.Name == o.Name && with != o.Name {
					base[with] = map[string][]string{taskDataName: {"true"}, stripsName: {"4"}}[with]
				}
			}
		}
		given := sample(o)
		if e, ok := effects[o.Name]; ok {
			given = []string{e.value}
			maps.Copy(base, e.base)
		}
		delete(base, o.Name)
		without := outcome(t, field, base)
		base[o.Name] = given
		if outcome(t, field, base) == without {
			t.Errorf("--%s %q changes nothing: %.200s", o.Name, given, without)
		}
	}
}

// outcome is all that is made of a field, without how it was asked for; or why nothing is.
func outcome(t *testing.T, field string, v Values) string {
	t.Helper()
	q, err := Resolve(v)
	if err != nil {
		return err.Error()
	}
	name, err := split.ParseWay(q.values.one(wayName))
	if err != nil {
		t.Fatal(err)
	}
	c, err := Run{}.assess(context.Background(), field, q)
	if err != nil {
		return err.Error()
	}
	result, job, err := Run{}.worked(context.Background(), c, name, Target{Dir: "out"})
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	if err := data.Check(&b, result); err != nil {
		t.Fatal(err)
	}
	if err := text.Sheets(&b, result.Sheets); err != nil {
		t.Fatal(err)
	}
	if result.Plan.TaskData == nil {
		return b.String()
	}
	to := filepath.Join(t.TempDir(), "out") // the set is made while it is written
	if _, err := write.Plan(to, job); err != nil {
		t.Fatal(err)
	}
	set, err := os.ReadFile(filepath.Join(to, "TASKDATA", "TASKDATA.XML"))
	if err != nil {
		t.Fatal(err)
	}
	return b.String() + string(set)
}
