package crs

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestTextsOfGDAL reads both spellings of each system as the system of its code,
// and writes ESRI's as GDAL does. ESRI's has no code: it is found by parameters.
func TestTextsOfGDAL(t *testing.T) {
	for _, row := range table(t, "texts.tsv", 3, 88) {
		code, spelling, text := row[0], row[1], row[2]
		want := mustParse(t, "EPSG:"+code)
		got, err := Parse(text)
		if err != nil {
			t.Errorf("%s %s: %v", code, spelling, err)
			continue
		}
		if got.EPSG() != want.EPSG() || got.Name() != want.Name() || got.LonLat() != want.LonLat() ||
			got.MetersPerUnit() != want.MetersPerUnit() || !slices.Equal(got.Notes(), want.Notes()) ||
			!got.def().params.like(want.def().params) {
			t.Errorf("%s %s: got %d %s %v", code, spelling, got.EPSG(), got.Name(), got.def().params)
		}
		if spelling == "wkt_esri" {
			for _, s := range []System{got, want} {
				if wrote := s.WKT(); wrote != esriUnits(text) {
					t.Errorf("%s: wrote\n%s, want\n%s", code, wrote, text)
				}
			}
		}
	}
}

// esriUnits spells the unit as .prj files do, where GDAL leaves EPSG's name.
func esriUnits(text string) string {
	return strings.NewReplacer("US survey foot", "Foot_US", `"foot"`, `"Foot"`).Replace(text)
}

// TestEverySystemReadsBack writes and reads every system of the table.
func TestEverySystemReadsBack(t *testing.T) {
	for i := range systems() {
		r := &systems()[i]
		d := projectedSystem(r)
		text := System{&d}.WKT()
		s, err := Parse(text)
		if err != nil {
			t.Errorf("%d %s: %v", r.code, text, err)
			continue
		}
		if !r.like(s.def()) || s.EPSG() == 0 || s.WKT() != text && r.esri != "" {
			t.Errorf("%d %s: read back as %d %s", r.code, r.name, s.EPSG(), s.WKT())
		}
	}
}

// TestOtherSpellings reads what writers other than GDAL make of the same systems:
// common practice, no source.
func TestOtherSpellings(t *testing.T) {
	utm, iowa, web := esriText(t, "26915"), esriText(t, "3417"), ogcText(t, "3857")
	space := regexp.MustCompile(`([,\[])`)
	for _, c := range []struct {
		name, text string
		code       int
		notes      int
	}{
		{"lower case", strings.ToLower(utm), 26915, 1},
		{"blanks and lines", space.ReplaceAllString(utm, "\r\n $1 "), 26915, 1},
		{"round brackets", strings.NewReplacer("[", "(", "]", ")").Replace(utm), 26915, 1},
		{"byte order mark and NUL", "\ufeff" + utm + "\r\n\x00", 26915, 1},
		{"spaces for underscores", strings.ReplaceAll(iowa, "_", " "), 3417, 1},
		{"the foot's long factor", strings.Replace(iowa, "0.304800609601219", "0.3048006096012192", 1), 3417, 1},
		{"the foot's short factor", strings.Replace(iowa, "0.304800609601219", "0.3048006", 1), 3417, 1},
		{"parallels the other way", swap(iowa, "Standard_Parallel_1", "Standard_Parallel_2"), 3417, 1},
		{"metadata", strings.TrimSuffix(utm, "]") + `,METADATA["Iowa",-96.6,40.3,-90.1,43.5,0.0,0.0174532925199433,0.0,1262]]`, 26915, 1},
		{"a vertical system behind", utm + `,VERTCS["NAVD_1988",VDATUM["North_American_Vertical_Datum_1988"],PARAMETER["Vertical_Shift",0.0],PARAMETER["Direction",1.0],UNIT["Meter",1.0]]`, 26915, 2},
		{"compound", `COMPD_CS["both",` + utm + `,VERT_CS["NAVD88 height",VERT_DATUM["North American Vertical Datum 1988",2005],UNIT["metre",1.0]]]`, 26915, 2},
		{"a shift of nothing", strings.Replace(utm, "298.257222101]", "298.257222101],TOWGS84[0,0,0,0,0,0,0]", 1), 26915, 1},
		{"northing first", strings.Replace(ogcText(t, "26915"), `AXIS["Easting",EAST],AXIS["Northing",NORTH]`, `AXIS["Northing",NORTH],AXIS["Easting",EAST]`, 1), 26915, 1},
		{"another name", strings.Replace(utm, "NAD_1983_UTM_Zone_15N", "field 7", 1), 26915, 1},
		{"web Mercator by name alone", regexp.MustCompile(`EXTENSION\[.*?\],|,AUTHORITY\["EPSG","3857"\]`).ReplaceAllString(web, ""), 3857, 0},
		{"web Mercator by its code alone", strings.Replace(regexp.MustCompile(`EXTENSION\[.*?\],`).ReplaceAllString(web, ""), "WGS 84 / Pseudo-Mercator", "the web's", 1), 3857, 0},
		{"web Mercator by its extension alone", strings.Replace(regexp.MustCompile(`,AUTHORITY\["EPSG","3857"\]`).ReplaceAllString(web, ""), "WGS 84 / Pseudo-Mercator", "the web's", 1), 3857, 0},
		{"web Mercator by its own name", strings.NewReplacer("Mercator_1SP", "Popular_Visualisation_Pseudo_Mercator").Replace(
			regexp.MustCompile(`EXTENSION\[.*?\],`).ReplaceAllString(web, "")), 3857, 0},
		{"the other ellipsoid", strings.Replace(utm, "298.257222101", "298.257223563", 1), 26915, 1},
		{"another meridian", strings.Replace(utm, "-93.0", "-93.0001", 1), 0, 1},
		{"another false northing", strings.Replace(utm, `"False_Northing",0.0`, `"False_Northing",1.0`, 1), 0, 1},
		{"another scale", strings.Replace(utm, "0.9996", "0.99960001", 1), 0, 1},
	} {
		s, err := Parse(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if s.EPSG() != c.code || len(s.Notes()) != c.notes {
			t.Errorf("%s: got EPSG %d, notes %q", c.name, s.EPSG(), s.Notes())
		}
	}
}

// TestNameIsPrintable reads a name that holds what a terminal would obey.
func TestNameIsPrintable(t *testing.T) {
	for given, want := range map[string]string{
		"field\x1b[2J\n7\xff":           "field[2J7",
		strings.Repeat("é", 60):         strings.Repeat("é", 40) + "...",
		strings.Repeat("é", 39) + "xéz": strings.Repeat("é", 39) + "x...",
	} {
		text := strings.NewReplacer("NAD_1983_UTM_Zone_15N", given, "-93.0", "-93.5").Replace(esriText(t, "26915"))
		if s := mustParse(t, text); s.Name() != want {
			t.Errorf("%q: got %q, want %q", given, s.Name(), want)
		}
	}
}

// A system that neither table names is written by its own name, in letters, digits and underscores.
func TestNameIsWrittenInASCII(t *testing.T) {
	for given, want := range map[string]string{"Müller's grid 7": "M_ller_s_grid_7", "{a}~b": "a_b", "Zz09": "Zz09", " [x]-`y` @0:9/ ": "x_y_0_9"} {
		text := strings.NewReplacer("NAD_1983_UTM_Zone_15N", given, "-93.0", "-93.5").Replace(esriText(t, "26915"))
		if got := mustParse(t, text).WKT(); !strings.HasPrefix(got, `PROJCS["`+want+`",`) {
			t.Errorf("%q: %.60s, want %s", given, got, want)
		}
	}
}

func swap(text, a, b string) string { return strings.NewReplacer(a, b, b, a).Replace(text) }

func esriText(t testing.TB, code string) string { return kept(t, code, "wkt_esri") }
func ogcText(t testing.TB, code string) string  { return kept(t, code, "wkt1") }

// kept returns a text of testdata.
func kept(t testing.TB, code, spelling string) string {
	t.Helper()
	for _, row := range table(t, "texts.tsv", 3, 88) {
		if row[0] == code && row[1] == spelling {
			return row[2]
		}
	}
	t.Fatalf("texts.tsv has no %s of EPSG:%s", spelling, code)
	return ""
}
