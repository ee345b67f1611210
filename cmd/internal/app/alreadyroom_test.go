package app_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
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
