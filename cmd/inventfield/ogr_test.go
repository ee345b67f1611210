package main

import (
	"bytes"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
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
		got := query(t, path, sql)
		if got["n"] != 700 || got["valid"] != 700 || got["there"] != 700 {
			t.Errorf("%s: got %v", format, got)
		}
		rates = append(rates, got["sum"])
	}
	if rates[0] != rates[1] {
		t.Errorf("sums of rates %v differ between formats", rates)
	}
}

var cell = regexp.MustCompile(`(?m)^  (\w+) \(\w+\) = (\S+)$`)

// query returns the one row of a query in OGR's SQLite dialect.
func query(t *testing.T, path, sql string) map[string]float64 {
	t.Helper()
	ogrinfo := oracle.Tool(t, "ogrinfo")
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
