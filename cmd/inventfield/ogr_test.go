package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/internal/oracle"
)

func TestFormatsByOGR(t *testing.T) {
	const sql = `select count(*) as n, sum(ST_IsValid(geometry)) as valid,
		sum(ST_MinX(geometry) > -91 and ST_MaxY(geometry) < 48) as there, sum(DRY_LBAC) as sum from x`
	const args = "-cells 700 -seed 2 -format "
	var rates []float64
	for _, format := range []string{"shp", "geojson"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "x."+format)
		var stderr bytes.Buffer
		if code := run(append(strings.Fields(args+format), "-out", path), &stderr); code != 0 {
			t.Fatalf("%s: exit %d: %s", format, code, stderr.String())
		}
		got := oracle.Query(t, path, sql)
		if got["n"] != 700 || got["valid"] != 700 || got["there"] != 700 {
			t.Errorf("%s: got %v", format, got)
		}
		rates = append(rates, got["sum"])
	}
	if rates[0] != rates[1] {
		t.Errorf("sums of rates %v differ between formats", rates)
	}
}
