package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo/crs"
	"rxsplit/geo/invent"
	"rxsplit/internal/oracle"
	"rxsplit/label"
)

// program runs the program and returns what it prints; it must exit with status
// want.
func program(t *testing.T, want int, args ...string) []byte {
	t.Helper()
	var out, errs bytes.Buffer
	if got := run(args, strings.NewReader(""), &out, &errs); got != want {
		t.Fatalf("rxsplit %s: exit %d, want %d: %s", strings.Join(args, " "), got, want, errs.String())
	}
	return out.Bytes()
}

// checkFile returns a check of a file against the demo's label.
func checkFile(t *testing.T, path string) checkDoc {
	t.Helper()
	profile := filepath.Join(t.TempDir(), "label.yaml")
	if err := os.WriteFile(profile, label.DemoYAML(), 0o666); err != nil {
		t.Fatal(err)
	}
	text := program(t, exitFlagged, "check", path, "--label", profile, "--rate-field", invent.RateField, "--rate-unit", "lb/ac", "--json")
	var doc checkDoc
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

// save writes a layer in the format of the path's ending.
func save(t *testing.T, path string, l *invent.Layer) string {
	t.Helper()
	files, err := encodeLayer(path, l, l.Columns())
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range files {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return path
}

func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// utmField is the demo's field in its own coordinates, UTM.
func utmField(t *testing.T) *invent.Layer {
	t.Helper()
	l, err := invent.Demo(32615)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// sameAcres holds two checks of one field against each other: acres by verdict,
// pounds and stabilizer, within a ten-millionth, which on 200 acres is less than
// a square foot.
func sameAcres(t *testing.T, name string, got, want checkDoc) {
	t.Helper()
	if want.Area.Below == 0 || want.Area.Within == 0 || want.Area.Above == 0 || want.Area.NoDry == 0 {
		t.Fatalf("the field has not every verdict: %+v", want.Area)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"zones", float64(len(got.Zones)), float64(len(want.Zones))},
		{"total", got.Area.Total, want.Area.Total}, {"treated", got.Area.Treated, want.Area.Treated},
		{"below", got.Area.Below, want.Area.Below}, {"within", got.Area.Within, want.Area.Within},
		{"above", got.Area.Above, want.Area.Above}, {"no dry", got.Area.NoDry, want.Area.NoDry},
		{"mass", got.Dry.Mass, want.Dry.Mass}, {"volume", got.Stabilizer.Volume, want.Stabilizer.Volume},
	} {
		if math.Abs(c.got-c.want) > 1e-7*c.want {
			t.Errorf("%s: %s %v, want %v", name, c.what, c.got, c.want)
		}
	}
}

// One field as a zipped shapefile in UTM, a shapefile in WGS 84 and GeoJSON.
func TestTwins(t *testing.T) {
	dir := t.TempDir()
	l := utmField(t)
	want := checkFile(t, save(t, filepath.Join(dir, "utm.zip"), l))
	system, err := crs.Parse("EPSG:32615")
	if err != nil {
		t.Fatal(err)
	}
	if err := system.ToLonLat(l.Shapes.Points, l.Shapes.Points); err != nil {
		t.Fatal(err)
	}
	l.EPSG = 4326
	for _, name := range []string{"wgs.shp", "twin.geojson"} {
		sameAcres(t, name, checkFile(t, save(t, filepath.Join(dir, name), l)), want)
	}
}

// The same, with GDAL's ogr2ogr to change the coordinates: PROJ's formulas, not
// ours.
func TestTwinsByOGR(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	t.Parallel()
	dir := t.TempDir()
	grid, err := invent.Grid(invent.GridOptions{Seed: 1, EPSG: 32615, Cells: 500, Angle: 20})
	if err != nil {
		t.Fatal(err)
	}
	for kind, l := range map[string]*invent.Layer{"demo": utmField(t), "grid": grid} {
		utm := save(t, filepath.Join(dir, kind+".zip"), l)
		want := checkFile(t, utm)
		for _, twin := range [][]string{
			{"wgs.shp", "-t_srs", "EPSG:4326"},
			{"albers.shp", "-t_srs", "EPSG:5070"},
			{"nad83.shp", "-t_srs", "EPSG:26915"},
			{"mercator.shp", "-t_srs", "EPSG:3857"},
			{"twin.geojson", "-t_srs", "EPSG:4326", "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=15"},
			{"rfc.geojson", "-f", "GeoJSON", "-lco", "RFC7946=YES", "-lco", "COORDINATE_PRECISION=15"},
			{"old.geojson", "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=9"}, // in UTM, with a crs member
		} {
			name := kind + "-" + twin[0]
			path := filepath.Join(dir, name)
			tool(t, "ogr2ogr", append(twin[1:], path, "/vsizip/"+utm)...)
			sameAcres(t, name, checkFile(t, path), want)
		}
	}
}
