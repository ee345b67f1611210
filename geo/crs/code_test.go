package crs

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestCodes(t *testing.T) {
	for _, c := range []struct {
		text, name string
		code       int
	}{
		{"EPSG:4326", "WGS 84", 4326},
		{"epsg:4269", "NAD83", 4269},
		{" EPSG:26915\n", "NAD83 / UTM zone 15N", 26915},
		{"urn:ogc:def:crs:EPSG::32615", "WGS 84 / UTM zone 15N", 32615},
		{"urn:ogc:def:crs:EPSG:9.8:32733", "WGS 84 / UTM zone 33S", 32733},
		{"urn:x-ogc:def:crs:EPSG:3857", "WGS 84 / Pseudo-Mercator", 3857},
		{"http://www.opengis.net/def/crs/EPSG/0/5070", "NAD83 / Conus Albers", 5070},
		{"https://www.opengis.net/def/crs/OGC/1.3/CRS84", "WGS 84", 4326},
		{"urn:ogc:def:crs:OGC:1.3:CRS84", "WGS 84", 4326},
		{"OGC:CRS84", "WGS 84", 4326},
		{"OGC:CRS83", "NAD83", 4269},
		{"EPSG:900913", "WGS 84 / Pseudo-Mercator", 3857},
		{"ESRI:102100", "WGS 84 / Pseudo-Mercator", 3857},
		{"EPSG:26975", "NAD83 / Iowa North", 26975},
		{"EPSG:3417", "NAD83 / Iowa North (ftUS)", 3417},
		{"EPSG:2222", "NAD83 / Arizona East (ft)", 2222},
		{"EPSG:26931", "NAD83 / Alaska zone 1", 26931},
		{"EPSG:2794", "NAD83(HARN) / Iowa North", 2794},
		{"EPSG:3536", "NAD83(NSRS2007) / Iowa North", 3536},
		{"EPSG:6462", "NAD83(2011) / Iowa North", 6462},
	} {
		if s := mustParse(t, c.text); s.Name() != c.name || s.EPSG() != c.code {
			t.Errorf("%s: got %d %s", c.text, s.EPSG(), s.Name())
		}
	}
}

// TestZones wants every UTM zone of WGS 84, north and south, and those of NAD 83
// that EPSG has, by the rule that their numbers follow.
func TestZones(t *testing.T) {
	for zone := 1; zone <= 60; zone++ {
		wantZone(t, 32600+zone, fmt.Sprintf("WGS 84 / UTM zone %dN", zone), zone)
		wantZone(t, 32700+zone, fmt.Sprintf("WGS 84 / UTM zone %dS", zone), zone)
		if zone <= 23 {
			wantZone(t, 26900+zone, fmt.Sprintf("NAD83 / UTM zone %dN", zone), zone)
		}
	}
}

func wantZone(t *testing.T, code int, name string, zone int) {
	t.Helper()
	s := mustParse(t, fmt.Sprintf("EPSG:%d", code))
	if s.Name() != name || s.def().params.lon0 != float64(6*zone-183) {
		t.Errorf("%d: got %s at %v°, want %s", code, s.Name(), s.def().params.lon0, name)
	}
}

// TestStatePlaneIsWhole counts the zones of NAD 83's State Plane that the table
// has in meters: 124, the number that is usually given (from memory).
func TestStatePlaneIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range systems() {
		if r.datum == nad83 && r.unit == meter && len(r.esri) > 19 && r.esri[:19] == "NAD_1983_StatePlane" {
			seen[r.name] = true
		}
	}
	if len(seen) != 124 {
		t.Errorf("%d zones, want 124", len(seen))
	}
}

func TestTableIsSorted(t *testing.T) {
	if !slices.IsSortedFunc(systems(), func(a, b row) int { return a.code - b.code }) {
		t.Error("codes are not in order: rowByCode would miss some")
	}
	for i := range systems() {
		if rowByCode(systems()[i].code) != &systems()[i] {
			t.Errorf("EPSG:%d is not found", systems()[i].code)
		}
	}
}

func TestFacts(t *testing.T) {
	var zero System
	for _, c := range []struct {
		system         System
		lonLat, same   bool
		meters         float64
		notes          int
		nameOfTheDatum string
	}{
		{zero, true, true, 0, 0, "WGS 84"},
		{WGS84(), true, true, 0, 0, "WGS 84"},
		{mustParse(t, "EPSG:4269"), true, true, 0, 1, "NAD83"},
		{mustParse(t, "EPSG:32615"), false, false, 1, 0, "WGS 84"},
		{mustParse(t, "EPSG:3417"), false, false, 1200. / 3937, 1, "NAD83"},
		{mustParse(t, "EPSG:2222"), false, false, 0.3048, 1, "NAD83"},
	} {
		s := c.system
		if s.LonLat() != c.lonLat || s.SameAsWGS84() != c.same || s.MetersPerUnit() != c.meters ||
			len(s.Notes()) != c.notes || s.def().datum.facts().name != c.nameOfTheDatum {
			t.Errorf("%s: got %v %v %v %q", s.Name(), s.LonLat(), s.SameAsWGS84(), s.MetersPerUnit(), s.Notes())
		}
	}
}

// Realizations of a datum are read by their names, as EPSG and PROJ spell them.
func TestRealizationsOfADatum(t *testing.T) {
	for name, c := range map[string]struct{ text, own string }{
		"North American Datum of 1983 (CSRS) version 7": {esriText(t, "4269"), "D_North_American_1983"},
		"World Geodetic System 1984 (G2139)":            {esriText(t, "4326"), "D_WGS_1984"},
	} {
		want := map[byte]string{'N': "NAD83(CSRS)", 'W': "WGS 84"}[name[0]]
		if s, err := Parse(strings.Replace(c.text, c.own, name, 1)); err != nil || s.Name() != want {
			t.Errorf("%s: %s, %v, want %s", name, s.Name(), err, want)
		}
	}
}
