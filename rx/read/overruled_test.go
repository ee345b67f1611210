package read

import (
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/invent"
)

// What --crs says goes before what the file says, and is told where the two put the
// field elsewhere. Zones of UTM are alike and 6° apart: at 42° of latitude a field goes
// 6·82.9 km to the east (a degree of the WGS 84 parallel is 82 852.6 m long there, by
// a·cos φ/√(1−e² sin² φ)·π/180).
func TestSystemIsOverruled(t *testing.T) {
	l, err := invent.Grid(invent.GridOptions{Seed: 1, EPSG: 26915, Cells: 16, CellSize: 30, Center: orb.Point{-93.6, 42}})
	if err != nil {
		t.Fatal(err)
	}
	const nad27 = `PROJCS["NAD_1927_UTM_Zone_15N",GEOGCS["GCS_North_American_1927",DATUM["D_North_American_1927",SPHEROID["Clarke_1866",6378206.4,294.9786982]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],UNIT["Meter",1.0]]`
	shapes := func(named int, prj string) string {
		path := partsWith(t, &l.Shapes, l.Columns()[0], named, "")
		if prj != "" {
			if err := os.WriteFile(strings.TrimSuffix(path, ".shp")+".prj", []byte(prj), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		return path
	}
	const lonLat = `"features":[{"type":"Feature","properties":{"R":200},"geometry":{"type":"Polygon","coordinates":[[[-90.4,47.3],[-90.395,47.3],[-90.395,47.305],[-90.4,47.305],[-90.4,47.3]]]}}]}`
	const member = `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"`
	for _, c := range []struct {
		name, path, crs string
		want            string // a part of the text; empty: nothing is found
	}{
		{"the same", shapes(26915, ""), "EPSG:26915", ""},
		{"the same as a URN", shapes(26915, ""), "urn:ogc:def:crs:EPSG::26915", ""},
		{"WGS 84 for NAD 83, which are taken for one", shapes(26915, ""), "EPSG:32615", ""},
		{"the next zone", shapes(26915, ""), "EPSG:26916", "is in NAD83 / UTM zone 15N (EPSG:26915), which would put the field 497 km away; it is taken as NAD83 / UTM zone 16N (EPSG:26916)"},
		{"no .prj", shapes(0, ""), "EPSG:26915", ""},
		{"an empty .prj", shapes(0, " "), "EPSG:26915", ""},
		{"another datum", shapes(0, nad27), "EPSG:26915", `is not known here (DATUM "D_North_American_1927": neither WGS 84 nor NAD 83`},
		{"a system that its coordinates don't fit", shapes(4326, ""), "EPSG:26915", "is in WGS 84 (EPSG:4326), which its coordinates don't fit; it is taken as NAD83 / UTM zone 15N"},
		{"GeoJSON without a member", write(t, "a.geojson", []byte(`{"type":"FeatureCollection",`+lonLat)), "EPSG:4326", ""},
		{"GeoJSON with the same", write(t, "b.geojson", []byte(member+`urn:ogc:def:crs:OGC:1.3:CRS84"}},`+lonLat)), "EPSG:4326", ""},
		{"GeoJSON with another", write(t, "c.geojson", []byte(member+`EPSG:3857"}},`+lonLat)), "EPSG:4326", "is in WGS 84 / Pseudo-Mercator (EPSG:3857)"},
	} {
		f, err := Open(c.path, FileOptions{CRS: c.crs})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := significant(f.Findings)
		if c.want == "" {
			if len(got) > 0 {
				t.Errorf("%s: got %s", c.name, rules(got))
			}
			continue
		}
		if rules(got) != "crs-overruled warning" || !strings.Contains(said(got[0]).Text, c.want) {
			t.Errorf("%s: got %s %+v, want %q", c.name, rules(got), got, c.want)
		}
	}
}
