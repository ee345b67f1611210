package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestRefusals(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"", "-out: a file to write is needed"},
		{"-format kml -out OUT/x.kml", `-format "kml": want shp or geojson`},
		{"-epsg 32615 -format geojson -out OUT/x.geojson", "GeoJSON is in lon/lat"},
		{"-cells 0 -out OUT/x.shp", "0 cells: want 1 to 10000000"},
		{"-epsg 7 -out OUT/x.shp", "7"},
		{"-out OUT/x.shp more", `argument "more": only flags are taken`},
		{"-out OUT/missing/x.shp", "missing"},
		{"-nonsense", "nonsense"},
	} {
		dir := t.TempDir()
		var stderr bytes.Buffer
		args := strings.Fields(c.args)
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "OUT", dir)
		}
		if code := run(args, &stderr); code != 2 {
			t.Errorf("%s: exit %d, want 2", c.args, code)
		}
		if !strings.Contains(stderr.String(), c.want) {
			t.Errorf("%s: %q, want %q", c.args, stderr.String(), c.want)
		}
		if left, _ := os.ReadDir(dir); len(left) > 0 {
			t.Errorf("%s: left %v", c.args, left)
		}
	}
}

func TestSameBytes(t *testing.T) {
	for _, c := range []struct {
		args  string
		files []string
	}{
		{"-cells 500 -format geojson", []string{"x.geojson"}},
		{"-format shp", []string{"x.cpg", "x.dbf", "x.prj", "x.shp", "x.shx"}},
	} {
		first, second := made(t, c.args), made(t, c.args)
		if len(first) != len(c.files) {
			t.Errorf("%s: wrote %d files, want %v", c.args, len(first), c.files)
		}
		for _, name := range c.files {
			if len(first[name]) == 0 || !bytes.Equal(first[name], second[name]) {
				t.Errorf("%s: %s is missing, empty or not the same twice", c.args, name)
			}
		}
	}
}

// made returns what the command writes, by file name.
func made(t *testing.T, args string) map[string][]byte {
	t.Helper()
	dir := t.TempDir()
	fields := strings.Fields(args)
	path := filepath.Join(dir, "x."+fields[len(fields)-1])
	var stderr bytes.Buffer
	if code := run(append(fields, "-out", path), &stderr); code != 0 {
		t.Fatalf("%s: exit %d: %s", args, code, stderr.String())
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = data
	}
	return files
}
