package app_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/geo"
	"rxsplit/rx"
)

// Rates of a layer that the program wrote itself are those that were applied, without the noise
// of its means; others are taken as they stand.
func TestRatesOfALayerWithoutNoise(t *testing.T) {
	for text, want := range map[string]float64{"59.9999701236": 60, "45.0000619562": 45, "29.9999790366": 30, "30.0042": 30.0042, "0.0000071": 0, "0": 0} {
		layer := filepath.Join(t.TempDir(), "layer.geojson")
		os.WriteFile(layer, []byte(strings.ReplaceAll(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"STAB_RATE":@},
			"geometry":{"type":"Polygon","coordinates":[[[-90.5,47.3],[-90.3,47.3],[-90.3,47.4],[-90.5,47.4],[-90.5,47.3]]]}}]}`, "@", text)), 0o666)
		field, q := demo(t, app.Values{"already-applied": {layer}})
		result, err := (app.Run{}).Check(t.Context(), field, q)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(result.Assessment.Terms.AlreadyApplied); got != want {
			t.Errorf("%s is taken as %v, want %v", text, got, want)
		}
	}
}

// A zone whose season is full stays untreated where that is allowed, or where it is kept out; the
// others get what is meant.
func TestSeasonIsFullInAZone(t *testing.T) {
	field, q := demo(t, app.Values{})
	whole, err := (app.Run{}).Check(t.Context(), field, q)
	if err != nil {
		t.Fatal(err)
	}
	const at = 11 // by index
	p := whole.Prescription
	ring, _ := json.Marshal(p.LonLat.Shape(int(p.Zones[at].Record)))
	layer := filepath.Join(t.TempDir(), "layer.geojson")
	os.WriteFile(layer, []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"STAB_RATE":80},
		"geometry":{"type":"MultiPolygon","coordinates":`+string(ring)+`}}]}`), 0o666)
	for name, more := range map[string]app.Values{"blocked": {}, "left off": {"leave-off": {"true"}}, "kept out": {"keep-out": {layer}}} {
		more["already-applied"] = []string{layer}
		field, q := demo(t, more)
		result, err := (app.Run{}).Check(t.Context(), field, q)
		if err != nil {
			t.Fatal(err)
		}
		boom := result.Ways[slices.IndexFunc(result.Ways, func(w rx.Way) bool { return w.Name == "wet-boom" })]
		if name == "blocked" {
			if boom.Possible() || !slices.Equal(result.Assessment.Terms.NoRoom, []int{at}) {
				t.Errorf("%s: possible %v, no room in %v", name, boom.Possible(), result.Assessment.Terms.NoRoom)
			}
			more["way"] = []string{"wet-boom"}
			field, q = demo(t, more)
			_, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: filepath.Join(t.TempDir(), "plan")})
			if got := app.Explain(err); !strings.Contains(got.Hint, "--leave-off lets these stay untreated") {
				t.Errorf("%s: %+v", name, got)
			}
			continue
		}
		if want := p.DryArea() - p.Zones[at].Area; math.Abs(float64(boom.Sprayed-want)) > 1e-6 || !boom.Possible() {
			t.Errorf("%s: %v ac sprayed, want %v", name, boom.Sprayed, want)
		}
		if name == "left off" && !slices.Equal(boom.LeftZones, []int{p.Zones[at].Number()}) {
			t.Errorf("left off: zones %v", boom.LeftZones)
		}
		if testing.Short() {
			continue
		}
		more["way"] = []string{"wet-boom"}
		field, q = demo(t, more)
		split, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: filepath.Join(t.TempDir(), "plan")})
		if err != nil {
			t.Fatal(err)
		}
		for i, z := range p.Zones {
			if got := split.Plan.Stabilizer[i]; (got > 0) != (z.Dry > 0 && i != at) {
				t.Errorf("%s: zone %d gets %v", name, z.Number(), got)
			}
		}
	}
}

// A further liquid that rides on the dry goes where the dry goes: where its season is full in a
// zone, no boom can leave that zone out, nor can a keep-out. One for the tank stays out with the
// stabilizer.
func TestSeasonOfAFurtherLiquidIsFull(t *testing.T) {
	field, q := demo(t, app.Values{})
	whole, err := (app.Run{}).Check(t.Context(), field, q)
	if err != nil {
		t.Fatal(err)
	}
	const at = 11 // by index
	ring, _ := json.Marshal(whole.Prescription.LonLat.Shape(int(whole.Prescription.Zones[at].Record)))
	for _, c := range []struct {
		on, option string
		possible   bool
	}{{"blend", "leave-off", false}, {"blend", "keep-out", false}, {"boom", "leave-off", true}, {"boom", "keep-out", true}} {
		field, _ := demo(t, app.Values{})
		dir := filepath.Dir(field)
		job, layer := filepath.Join(dir, "job.yaml"), filepath.Join(dir, "layer.geojson")
		os.WriteFile(layer, []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"ROOT_AID":14},"geometry":{"type":"MultiPolygon","coordinates":`+string(ring)+`}}]}`), 0o666)
		os.WriteFile(filepath.Join(dir, "aid.yaml"), []byte("name: Root aid (invented)\nrate: {min: 3 fl oz/ac, max: 12 fl oz/ac}\nseason-max: 16 fl oz/ac\ntank-mix: allowed\n"), 0o666)
		text, _ := os.ReadFile(job)
		os.WriteFile(job, append(text, "\nfurther-liquids: [{name: root aid, label: aid.yaml, rate: 6 fl oz/ac, on: "+c.on+"}]\n"...), 0o666)
		values := app.Values{"job": {job}, "already-applied": {layer}, "leave-off": {"true"}}
		if c.option == "keep-out" {
			values["keep-out"], values["leave-off"] = []string{layer}, nil
		}
		q, err := app.Resolve(values)
		if err != nil {
			t.Fatal(err)
		}
		result, err := (app.Run{}).Check(t.Context(), field, q)
		if err != nil {
			t.Fatal(err)
		}
		boom := result.Ways[slices.IndexFunc(result.Ways, func(w rx.Way) bool { return w.Name == "wet-boom" })]
		if boom.Possible() != c.possible || c.on == "blend" && len(result.Assessment.Terms.NoRoom) > 0 {
			t.Errorf("on the %s, %s: %s, %s; no room in %v", c.on, c.option, boom.State, boom.Why, result.Assessment.Terms.NoRoom)
		}
	}
}

// A table without a map is told from a layer that can't be read, and from a file that is not there.
func TestWhatIsNoLayerOfASeason(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "broken.geojson"), []byte(`{"type":`), 0o666)
	os.WriteFile(filepath.Join(dir, "log.csv"), []byte("LON,LAT\n-90.4,47.35\n"), 0o666)
	for name, want := range map[string]string{"broken.geojson": "broken.geojson: ", "log.csv": "log.csv: is a table", "gone.csv": "gone.csv: no such file", "gone.geojson": "gone.geojson: no such file"} {
		field, q := demo(t, app.Values{"already-applied": {filepath.Join(dir, name)}})
		_, err := (app.Run{}).Check(t.Context(), field, q)
		if got := app.Explain(err).Text; !strings.Contains(got, want) || strings.Contains(got, "is a table") != (name == "log.csv") {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// A layer tells of the liquids that it has fields of, and every bad record of it, sixty by name; a job and a layer
// don't both say it.
func TestWhatALayerOfASeasonTells(t *testing.T) {
	const square = `"geometry":{"type":"Polygon","coordinates":[[[-90.5,47.3],[-90.3,47.3],[-90.3,47.4],[-90.5,47.4],[-90.5,47.3]]]}}`
	layer := filepath.Join(t.TempDir(), "layer.geojson")
	for _, c := range []struct {
		what, properties, further, want string
		count                           int
		stabilizer, aid                 float64
	}{
		{"both", `"STAB_RATE":7,"ROOT_AID":3`, "", "", 1, 7, 3},
		{"the stabilizer alone", `"STAB_RATE":7`, "", "", 1, 7, 0},
		{"by any case", `"stab_rate":7,"root_aid":3`, "", "", 1, 7, 3},
		{"an empty cell", `"STAB_RATE":" ","ROOT_AID":3`, "", "", 1, 0, 3},
		{"said by the job", `"STAB_RATE":7`, ", already-applied: 2 fl oz/ac", "", 1, 7, 2},
		{"said twice", `"STAB_RATE":7,"ROOT_AID":3`, ", already-applied: 2 fl oz/ac", "layer.geojson: its field ROOT_AID holds what was applied of root aid, and the job gives a rate of that", 1, 0, 0},
		{"no rate", `"STAB_RATE":"much"`, "", `field STAB_RATE: "much" is no rate of 0 or more`, 1, 0, 0},
		{"below nothing", `"STAB_RATE":-0.001`, "", `"-0.001" is no rate of 0 or more`, 1, 0, 0},
		{"no data", `"STAB_RATE":3.4e38`, "", `"3.4e38" is more than any rate: it may stand for no data`, 1, 0, 0},
		{"of no end", `"STAB_RATE":"Inf"`, "", `"Inf" is no rate of 0 or more`, 1, 0, 0},
		{"no such field", `"RATE":7`, "", "has no field STAB_RATE", 1, 0, 0},
		{"as many as are named", `"STAB_RATE":"x"`, "", fmt.Sprintf("record %d: ", geo.MaxBadRecords), geo.MaxBadRecords, 0, 0},
		{"more than are named", `"STAB_RATE":"x"`, "", "and 2 more", geo.MaxBadRecords + 2, 0, 0},
	} {
		features := strings.Repeat(`,{"type":"Feature","properties":{`+c.properties+`},`+square, c.count)
		os.WriteFile(layer, []byte(`{"type":"FeatureCollection","features":[`+features[1:]+`]}`), 0o666)
		field, _ := demo(t, app.Values{})
		job := filepath.Join(filepath.Dir(field), "job.yaml")
		text, _ := os.ReadFile(job)
		os.WriteFile(job, append(text, "\nfurther-liquids: [{name: root aid, rate: 6 fl oz/ac"+c.further+"}]\n"...), 0o666)
		q, err := app.Resolve(app.Values{"job": {job}, "already-applied": {layer}})
		if err != nil {
			t.Fatal(err)
		}
		got, err := (app.Run{}).Check(t.Context(), field, q)
		if c.want != "" {
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s: %v, want %q", c.what, err, c.want)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		if terms := got.Assessment.Terms; float64(terms.AlreadyApplied) != c.stabilizer || float64(terms.Further[0].AlreadyApplied) != c.aid {
			t.Errorf("%s: %v and %v, want %v and %v", c.what, terms.AlreadyApplied, terms.Further[0].AlreadyApplied, c.stabilizer, c.aid)
		}
	}
}
