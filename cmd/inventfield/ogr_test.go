package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// What GDAL's ogrinfo reads in the demo's field: all records, valid by GEOS, one
// with rate 0, some of several parts and its acres.
func TestDemoByOGR(t *testing.T) {
	got := query(t, "/vsizip/"+demo, `select count(*) as zones, sum(ST_IsValid(geometry)) as valid,
		sum(DRY_LBAC = 0) as dry, sum(ST_NumGeometries(geometry) > 1) as multi,
		sum(ST_Area(geometry)) / 4046.8564224 as acres,
		min(DRY_LBAC) as lowest, max(DRY_LBAC) as highest, sum(ZONE_NAME = 'Waterway') as ways,
		max(abs(N_LBAC - 0.46 * DRY_LBAC)) as off from field`)
	zones := got["zones"]
	for _, c := range []struct {
		name     string
		min, max float64
	}{
		{"zones", 40, 80}, {"valid", zones, zones}, {"dry", 1, 1}, {"multi", 1, 10}, {"acres", 150, 300},
		{"lowest", 0, 0}, {"highest", 255, 300}, {"ways", 1, 1}, {"off", 0, 0.0501}, // N has one decimal
	} {
		if v, ok := got[c.name]; !ok || v < c.min || v > c.max {
			t.Errorf("%s: got %v, want %v to %v", c.name, got[c.name], c.min, c.max)
		}
	}
}

func TestFormatsByOGR(t *testing.T) {
	const sql = `select count(*) as n, sum(DRY_LBAC is null) as nulls, sum(ST_IsValid(geometry)) as valid,
		sum(ST_MinX(geometry) > -91 and ST_MaxY(geometry) < 48) as there, sum(DRY_LBAC) as sum from x`
	const args = "-kind grid -cells 700 -seed 2 -nulls 0.1 -format "
	var rates []float64
	for _, format := range []string{"shp", "zip", "geojson"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "x."+format)
		var stderr bytes.Buffer
		if code := run(append(strings.Fields(args+format), "-out", path), &stderr); code != 0 {
			t.Fatalf("%s: exit %d: %s", format, code, stderr.String())
		}
		if format == "zip" {
			path = "/vsizip/" + path
		}
		got := query(t, path, sql)
		if got["n"] != 700 || got["valid"] != 700 || got["there"] != 700 || got["nulls"] < 40 || got["nulls"] > 100 {
			t.Errorf("%s: got %v", format, got)
		}
		rates = append(rates, got["sum"])
	}
	if rates[0] != rates[1] || rates[0] != rates[2] {
		t.Errorf("sums of rates %v differ between formats", rates)
	}
}

var cell = regexp.MustCompile(`(?m)^  (\w+) \(\w+\) = (\S+)$`)

// query returns the one row of a query in OGR's SQLite dialect.
func query(t *testing.T, path, sql string) map[string]float64 {
	t.Helper()
	ogrinfo, err := exec.LookPath("ogrinfo")
	if err != nil {
		if os.Getenv("RXSPLIT_ORACLES") == "require" {
			t.Fatal("GDAL's ogrinfo is required and not installed")
		}
		t.Skip("GDAL's ogrinfo is not installed")
	}
	out, err := exec.Command(ogrinfo, "-ro", "-q", path, "-dialect", "SQLite", "-sql", sql).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	row := map[string]float64{}
	for _, m := range cell.FindAllSubmatch(out, -1) {
		v, err := strconv.ParseFloat(string(m[2]), 64)
		if err != nil {
			t.Fatalf("%s: %v", m[1], err)
		}
		row[string(m[1])] = v
	}
	if len(row) == 0 {
		t.Fatalf("ogrinfo: %s", out)
	}
	return row
}
