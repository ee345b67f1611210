package read

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/internal/oracle"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

const wheat = "../../testdata/spdata/wheat.shp"

// The wheat trial lies in a plane of its own: its numbers, from 1 to 67, would do
// for degrees, but no field spans a continent. So its system is asked for.
func TestWheatIsNotTakenForDegrees(t *testing.T) {
	_, err := Open(wheat, FileOptions{})
	var e *Error
	if !errors.As(err, &e) || !strings.Contains(e.What, "has no coordinate system, and its coordinates (1.255, 1.35 to 64.005, 67.35)") || !strings.Contains(e.Hint, "--crs EPSG:n") {
		t.Errorf("error %v, want one that asks for --crs", err)
	}
}

// Its plots are all sound and share their edges: area as published (4141.5), and
// no overlap or gap.
func TestWheat(t *testing.T) {
	f := openFile(t, wheat, FileOptions{CRS: "EPSG:3857"})
	p, err := Prescription(f, Options{RateFields: []string{"yield"}, RateUnit: "ton/ac"})
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, z := range p.Zones {
		sum += planar.Area(p.Drawn.Shape(int(z.Record)))
	}
	if len(p.Zones) != 500 || math.Abs(sum-4141.5) > 0.05 {
		t.Errorf("%d plots of %v in all, want 500 of 4141.5", len(p.Zones), sum)
	}
	for _, f := range p.Findings {
		if f.Rule() != "crs" && f.Severity > rx.Note && f.Rule() != "rate-high" && f.Rule() != "no-land" {
			t.Errorf("finding %s: %s", f.Rule(), said(f).Text)
		}
	}
	p, err = Prescription(f, Options{}) // its other fields, lat and lon, are places by their names
	if err != nil || p.Fields[0].Name != "yield" {
		t.Errorf("error %v, want the rates of yield", err)
	}
}

// query returns the columns of a query in OGR's SQLite dialect, a list each.
func query(t *testing.T, path, sql string) map[string][]float64 {
	t.Helper()
	oracle.Tool(t, "ogrinfo")
	out, err := exec.Command("ogrinfo", "-ro", "-q", path, "-dialect", "SQLite", "-sql", sql).Output()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	columns := map[string][]float64{}
	for _, m := range regexp.MustCompile(`(?m)^  (\w+) \(\w+\) = (\S+)$`).FindAllSubmatch(out, -1) {
		v, err := strconv.ParseFloat(string(m[2]), 64)
		if err != nil {
			t.Fatalf("%s: %v", m[1], err)
		}
		columns[string(m[1])] = append(columns[string(m[1])], v)
	}
	return columns
}

// Census tracts in UTM with holes and repeated points: counted as GDAL counts
// them, and the records that break a rule are those that GEOS finds invalid.
func TestTractsByOGR(t *testing.T) {
	path := oracle.OpenData(t, "NY8_utm18.shp")
	f := openFile(t, path, FileOptions{CRS: "EPSG:32618"})
	content, err := Inspect(f)
	if err != nil {
		t.Fatal(err)
	}
	s := &f.Layer.Shapes
	want := query(t, path, "select count(*) as n, sum(ST_NumInteriorRing(geometry)) as holes, sum(ST_NPoints(geometry)) as points from NY8_utm18")
	got := map[string]int{"n": content.Source.Records, "holes": len(s.RingEnds) - len(s.PolyEnds), "points": len(s.Points)}
	for name, n := range got {
		if len(want[name]) != 1 || float64(n) != want[name][0] {
			t.Errorf("%s: %d, GDAL counts %v", name, n, want[name])
		}
	}
	if got["holes"] != 5 || got["n"] != 281 {
		t.Errorf("%v, want 281 records and 5 holes", got)
	}

	var records []int
	for _, finding := range content.Findings {
		for _, zone := range finding.Zones {
			if finding.Severity > rx.Note && finding.Rule() != "overlap" && finding.Rule() != "gap" && !slices.Contains(records, zone) {
				records = append(records, zone)
			}
		}
	}
	slices.Sort(records)
	var invalid []int
	for _, id := range query(t, path, "select rowid as id from NY8_utm18 where not ST_IsValid(geometry)")["id"] {
		invalid = append(invalid, int(id)+1)
	}
	if len(invalid) == 0 || fmt.Sprint(records) != fmt.Sprint(invalid) {
		t.Errorf("records %v break a rule, GEOS finds %v invalid", records, invalid)
	}
}

// Their geodesic acres, record by record, against GeographicLib's Planimeter on
// what PROJ makes of the coordinates: within 1e-8 and a thousandth of a square
// meter. Edges are up to kilometers long.
func TestTractAcresByPlanimeter(t *testing.T) {
	path := oracle.OpenData(t, "NY8_utm18.shp")
	for _, name := range []string{"ogr2ogr", "Planimeter"} {
		oracle.Tool(t, name)
	}
	lonlat := filepath.Join(t.TempDir(), "tracts.geojson")
	if out, err := exec.Command("ogr2ogr", "-q", "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=15", "-s_srs", "EPSG:32618", "-t_srs", "EPSG:4326", lonlat, path).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var doc struct {
		Features []struct {
			Geometry struct{ Coordinates [][]orb.Point } // all of them are polygons
		}
	}
	text, err := os.ReadFile(lonlat)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	var rings []orb.Ring
	for _, f := range doc.Features {
		for _, r := range f.Geometry.Coordinates {
			rings = append(rings, r)
		}
	}
	sizes := planimeter(t, rings)
	areas, err := openFile(t, path, FileOptions{CRS: "EPSG:32618"}).LonLat.Areas()
	if err != nil || len(areas) != len(doc.Features) {
		t.Fatalf("%d areas, want %d: %v", len(areas), len(doc.Features), err)
	}
	for i, a := range areas {
		want := 0.0
		for j := range doc.Features[i].Geometry.Coordinates {
			size := math.Abs(sizes[0])
			sizes = sizes[1:]
			if j > 0 {
				size = -size
			}
			want += size
		}
		if math.Abs(float64(a/unit.SquareMeter)-want) > 1e-8*want+0.001 {
			t.Errorf("record %d: %.4f m², want %.4f", i+1, float64(a/unit.SquareMeter), want)
		}
	}
}

// planimeter measures rings in square meters.
func planimeter(t *testing.T, rings []orb.Ring) (areas []float64) {
	t.Helper()
	var in strings.Builder
	for _, ring := range rings {
		for _, p := range ring[:len(ring)-1] {
			fmt.Fprintf(&in, "%.17g %.17g\n", p[1], p[0])
		}
		in.WriteString("\n")
	}
	cmd := exec.Command("Planimeter", "-p", "9")
	cmd.Stdin = strings.NewReader(in.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(out)) {
		var points int
		var length, area float64
		if _, err := fmt.Sscan(line, &points, &length, &area); err != nil {
			t.Fatalf("Planimeter says %q", line)
		}
		areas = append(areas, area)
	}
	if len(areas) != len(rings) {
		t.Fatalf("Planimeter gives %d areas for %d rings", len(areas), len(rings))
	}
	return areas
}
