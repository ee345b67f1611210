package main

import (
	"encoding/csv"
	"encoding/json"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rxsplit/internal/oracle"
)

// acreOGR is an acre in square meters (NIST SP 811, the international acre).
const acreOGR = "4046.8564224"

// ogrRow is a record of a written layer as GDAL reads it; a null is NaN.
type ogrRow map[string]float64

// ogrRead reads a layer by way of GDAL: every field as its type says, the
// polygon's geodesic acres and whether GEOS finds it valid. The acres are NaN
// where GDAL is built without SpatiaLite's geodesic areas.
func ogrRead(t *testing.T, path string) []ogrRow {
	t.Helper()
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	text := tool(t, "ogr2ogr", "-q", "-f", "CSV", "/vsistdout/", path, "-dialect", "SQLite", "-sql",
		`select *, ST_Area(geometry, 1) / `+acreOGR+` as OGR_ACRES, ST_IsValid(geometry) as OGR_VALID from "`+name+`"`)
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%s: %v: %s", path, err, text)
	}
	var rows []ogrRow
	for _, record := range records[1:] {
		row := ogrRow{}
		for i, cell := range record {
			row[records[0][i]] = math.NaN()
			if cell == "" {
				continue
			}
			if row[records[0][i]], err = strconv.ParseFloat(cell, 64); err != nil {
				t.Fatalf("%s: %s is %q", path, records[0][i], cell)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// fields are the names of a row's fields, ours of the query left out.
func (r ogrRow) fields() string {
	names := slices.Sorted(maps.Keys(r))
	names = slices.DeleteFunc(names, func(s string) bool { return strings.HasPrefix(s, "OGR_") || s == "id" })
	return strings.Join(names, " ")
}

func near(got, want, relative float64) bool {
	return math.IsNaN(got) && math.IsNaN(want) || math.Abs(got-want) <= relative*math.Abs(want)
}

// checkedDemo makes the demo and returns its folder, with what check says of it.
func checkedDemo(t *testing.T) (demo string, check checkDoc) {
	t.Helper()
	demo = filepath.Join(t.TempDir(), "demo")
	program(t, exitClean, "demo", demo)
	text := program(t, exitFlagged, "check", filepath.Join(demo, "field.zip"), "--job", filepath.Join(demo, "job.yaml"), "--json")
	if err := json.Unmarshal(text, &check); err != nil {
		t.Fatal(err)
	}
	return demo, check
}

// planOf splits the demo's file and returns the plan's folder.
func planOf(t *testing.T, demo, way string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), way)
	program(t, exitClean, "split", filepath.Join(demo, "field.zip"), "--job", filepath.Join(demo, "job.yaml"), "--way", way, "--out", dir)
	return dir
}

// What GDAL reads in the layers that split writes: the zones with their numbers,
// rates and acres as check has them, valid, in both formats.
func TestWrittenLayersByOGR(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	t.Parallel()
	demo, check := checkedDemo(t)
	const plain, changed = "ACRES DRY_LBAC ZONE", "ACRES DRY_LBAC RX_RATE ZONE"
	for _, c := range []struct {
		way, fields string
		layers      []string
		conserves   bool // the rates of all layers add up to the prescription's
	}{
		{"wet-boom", plain, []string{"dry"}, true},
		{"base", changed, []string{"dry-base", "dry-topup"}, true},
		{"loads", changed, []string{"dry-1", "dry-2"}, true},
		{"refit", changed, []string{"dry"}, false},
	} {
		dir := planOf(t, demo, c.way)
		for _, ext := range []string{".shp", ".geojson"} {
			rates := make([]float64, len(check.Zones))
			for _, layer := range c.layers {
				name := c.way + "/" + layer + ext
				rows := ogrRead(t, filepath.Join(dir, layer+ext))
				if len(rows) != len(check.Zones) {
					t.Fatalf("%s: %d records, want %d", name, len(rows), len(check.Zones))
				}
				for i, row := range rows {
					zone := check.Zones[i]
					if row.fields() != c.fields {
						t.Fatalf("%s: fields %s, want %s", name, row.fields(), c.fields)
					}
					if row["ZONE"] != float64(zone.Zone) || row["OGR_VALID"] != 1 || !near(row["ACRES"], zone.Area, 2e-7) {
						t.Errorf("%s: zone %d: %v, want %v ac and valid", name, zone.Zone, row, zone.Area)
					}
					if rx, changes := row["RX_RATE"]; changes && !near(rx, *zone.DryRate, 1e-6) {
						t.Errorf("%s: zone %d: RX_RATE %v, want %v", name, zone.Zone, rx, *zone.DryRate)
					}
					rates[i] += row["DRY_LBAC"]
					sameGround(t, name, row, zone.Area)
				}
			}
			for i, zone := range check.Zones {
				if c.conserves && !near(rates[i], *zone.DryRate, 1e-6) {
					t.Errorf("%s: zone %d: %v lb/ac in all layers, want %v", c.way, zone.Zone, rates[i], *zone.DryRate)
				}
			}
		}
	}
}

// sameGround compares acres with SpatiaLite's, which are geodesic enough on edges
// of some 10 m, as these layers have: within 1e-8 and a thousandth of a square meter. Its own rounding is that large:
// it measures the two files of one layer, whose rings run opposite ways round, up
// to 0.0006 square meters apart.
func sameGround(t *testing.T, name string, row ogrRow, want float64) {
	t.Helper()
	got := row["OGR_ACRES"]
	if math.IsNaN(got) {
		oracle.Missing(t, name+": GDAL measures no geodesic areas (no SpatiaLite)")
	}
	if math.Abs(got-want) > 1e-8*want+0.001/4046.8564224 {
		t.Errorf("%s: SpatiaLite measures %v ac, want %v", name, got, want)
	}
}

// The liquid layer, in acres and in hectares.
func TestLiquidLayerByOGR(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	t.Parallel()
	demo, check := checkedDemo(t)
	for _, ext := range []string{".shp", ".geojson"} {
		rows := ogrRead(t, filepath.Join(demo, "plan", "liquid"+ext))
		acres, ground := 0.0, 0.0
		for _, row := range rows {
			if row.fields() != "ACRES MIX_RATE STAB_RATE" || row["STAB_RATE"] != 30 || row["MIX_RATE"] != 10 || row["OGR_VALID"] != 1 {
				t.Errorf("liquid%s: %v, want 30 fl oz/ac in 10 gal/ac on valid ground", ext, row)
			}
			acres += row["ACRES"]
			ground += row["OGR_ACRES"]
		}
		if !near(acres, check.Area.Treated, 2e-7) {
			t.Errorf("liquid%s: %v ac, want the treated %v", ext, acres, check.Area.Treated)
		}
		sameGround(t, "liquid"+ext, ogrRow{"OGR_ACRES": ground}, check.Area.Treated)
	}
}

// A null rate is an empty cell and a JSON null; numbers skip records without a
// polygon.
func TestNullsByOGR(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	t.Parallel()
	o := layerOptions{kind: "four", epsg: 32615, field: "RATE", decimals: 2, rates: []float64{100.25, 180, math.NaN(), 300}, empty: []int{2}}
	l, err := o.layer()
	if err != nil {
		t.Fatal(err)
	}
	files, err := encodeLayer(filepath.Join(t.TempDir(), "four.zip"), l, append(l.Columns()[1:], o.rateColumn(l.Rates)))
	if err != nil {
		t.Fatal(err)
	}
	var path string
	for name, data := range files {
		path = name
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	profile := filepath.Join(t.TempDir(), "label.yaml")
	if err := os.WriteFile(profile, []byte("name: Test (invented)\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "plan")
	program(t, exitClean, "split", path, "--label", profile, "--rate-field", "RATE", "--rate-unit", "lb/ac", "--units", "metric", "--out", dir)
	for _, ext := range []string{".shp", ".geojson"} {
		rows := ogrRead(t, filepath.Join(dir, "dry"+ext))
		if len(rows) != 3 {
			t.Fatalf("dry%s: %d records, want 3", ext, len(rows))
		}
		for i, want := range []ogrRow{
			{"ZONE": 1, "RATE": 100.25, "HA": 40 * 0.40468564224},
			{"ZONE": 3, "RATE": math.NaN(), "HA": 45 * 0.40468564224},
			{"ZONE": 4, "RATE": 300, "HA": 15 * 0.40468564224},
		} {
			for name, value := range want {
				if !near(rows[i][name], value, 2e-7) {
					t.Errorf("dry%s: record %d: %s is %v, want %v", ext, i+1, name, rows[i][name], value)
				}
			}
		}
	}
}
