package app_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
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
