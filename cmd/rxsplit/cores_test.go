package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label"
)

// TestSameOnAnyCores: what is printed and written never depends on how many cores
// the work is spread over. The grids are larger than any block of work; noise and
// shifted rows take the ways that clean layers don't need.
func TestSameOnAnyCores(t *testing.T) {
	zones, err := invent.Demo(4326)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	t.Chdir(dir)
	if err := os.WriteFile("label.yaml", label.DemoYAML(), 0o666); err != nil {
		t.Fatal(err)
	}
	save(t, "zones.geojson", zones)
	for name, opt := range map[string]invent.GridOptions{
		"utm.zip":       {Seed: 1, EPSG: 32615, Cells: 4500, Angle: 11},
		"noise.geojson": {Seed: 2, EPSG: 4326, Cells: 4500, Noise: 1e-9},
		"shift.shp":     {Seed: 3, EPSG: 4326, Cells: 4500, Shift: true},
	} {
		grid, err := invent.Grid(opt)
		if err != nil {
			t.Fatal(err)
		}
		save(t, name, grid)
	}
	cases := []struct{ name, way string }{
		{"utm.zip", "loads"}, {"noise.geojson", "wet-boom"}, {"zones.geojson", "base"},
		{"zones.geojson", "wet-boom"}, {"shift.shp", "wet-boom"},
	}
	if testing.Short() {
		cases = cases[:1]
	}
	for _, c := range cases {
		one := planBytes(t, 1, c.name, c.way)
		if len(one) < 8 {
			t.Fatalf("%s: only %d files", c.name, len(one))
		}
		several := planBytes(t, 5, c.name, c.way)
		if len(several) != len(one) {
			t.Errorf("%s, %s: %d files on several cores, %d on one", c.name, c.way, len(several), len(one))
		}
		for name, want := range one {
			if !bytes.Equal(several[name], want) {
				t.Errorf("%s, %s: %s is not the same on several cores", c.name, c.way, name)
			}
		}
	}
}

// planBytes returns what split writes and check prints, by name, on some cores.
func planBytes(t *testing.T, cores int, file, way string) map[string][]byte {
	t.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	with := []string{file, "--label", "label.yaml", "--rate-field", invent.RateField, "--rate-unit", "lb/ac"}
	program(t, exitClean, slices.Concat([]string{"split"}, with, []string{"--way", way, "--kml", "--out", "plan"})...)
	defer os.RemoveAll("plan")
	all := map[string][]byte{"check": program(t, exitFlagged, slices.Concat([]string{"check"}, with, []string{"--json"})...)}
	list, err := os.ReadDir("plan")
	if err != nil {
		t.Fatal(err)
	}
	for _, entry := range list {
		data, err := os.ReadFile(filepath.Join("plan", entry.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[entry.Name()] = data
	}
	return all
}
