package crs

import (
	"errors"
	"os"
	"strings"
	"testing"
)

// refusal is a text and the rule that has to fire.
type refusal struct {
	name, text string
	rule       rule
}

// refusals spoils good texts in one place each.
func refusals(t testing.TB) []refusal {
	utm, ogc, iowa, alaska, web := esriText(t, "26915"), ogcText(t, "26915"), esriText(t, "3417"), esriText(t, "26931"), ogcText(t, "3857")
	lonLat := esriText(t, "4326")
	list := []refusal{
		{"nothing", "", EmptyText},
		{"code 0", "EPSG:0", badSyntax},
		{"blanks", " \r\n\x00", EmptyText},
		{"too long", strings.Repeat("x", maxText+1), tooBig},
		{"too deep", strings.Repeat("A[", 10000), tooBig},
		{"a little too deep", strings.Repeat("A[", maxDepth+1) + "1" + strings.Repeat("]", maxDepth+1), tooBig},
		{"prose", "UTM zone 15 north", badSyntax},
		{"PROJ terms", "+proj=utm +zone=15 +datum=NAD83", badSyntax},
		{"a bare number", "26915", badSyntax},
		{"no number", "EPSG:utm15", badSyntax},
		{"negative", "EPSG:-26915", badSyntax},
		{"NAD 27 by code", "EPSG:26715", unknownCode},
		{"geocentric by code", "EPSG:4978", unknownCode},
		{"another authority", "IGNF:LAMB93", badSyntax},
		{"ESRI's own code", "ESRI:102698", unknownCode},
		{"OGC's vertical", "OGC:CRS88", unknownCode},
		{"cut off", utm[:len(utm)-1], badSyntax},
		{"cut off in a name", utm[:20], badSyntax},
		{"wrong bracket", strings.TrimSuffix(utm, "]") + ")", badSyntax},
		{"something behind", utm + " x", badSyntax},
		{"a long word", strings.Repeat("A", 5000) + "[1]", badSyntax},
		{"no values", "GEOGCS[]", badSyntax},
		{"no name", "GEOGCS[1]", badSyntax},
		{"infinite", strings.Replace(utm, "500000.0", "1e999", 1), badSyntax},
		{"hexadecimal", strings.Replace(utm, "500000.0", "0x10", 1), badSyntax},
		{"not a number", strings.Replace(utm, "500000.0", "NaN", 1), badSyntax},
		{"decimal comma", strings.Replace(utm, "0.9996", "0,9996", 1), badSyntax},
		{"two systems", utm + "," + lonLat, unknownPart},
		{"only a datum", `DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]]`, unknownPart},
		{"version 2", `GEOGCRS["WGS 84",DATUM["World Geodetic System 1984",ELLIPSOID["WGS 84",6378137,298.257223563]]]`, newerText},
		{"version 2, projected", `PROJCRS["x",BASEGEOGCRS["y",DATUM["z",ELLIPSOID["w",1,2]]]]`, newerText},
		{"version 2, bound", `BOUNDCRS[SOURCECRS[GEOGCRS["x",DATUM["y",ELLIPSOID["z",1,2]]]]]`, newerText},
		{"geocentric", `GEOCCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["metre",1]]`, notFlat},
		{"local", `LOCAL_CS["plot",LOCAL_DATUM["none",0],UNIT["metre",1],AXIS["x",EAST],AXIS["y",NORTH]]`, notFlat},
		{"vertical", `VERTCS["NAVD_1988",VDATUM["North_American_Vertical_Datum_1988"],UNIT["Meter",1.0]]`, notFlat},
		{"compound of heights", `COMPD_CS["x",VERT_CS["y",VERT_DATUM["z",2005],UNIT["metre",1]],` + utm + `]`, notFlat},
		{"compound of nothing", `COMPD_CS["x"]`, badSyntax},
		{"compound of itself", `COMPD_CS["x",COMPD_CS["y",` + utm + `]]`, badSyntax},
		{"a sphere for web maps", `GEOGCS["GCS_WGS_1984_Major_Auxiliary_Sphere",DATUM["D_WGS_1984_Major_Auxiliary_Sphere",SPHEROID["WGS_1984_Major_Auxiliary_Sphere",6378137.0,0.0]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`, unknownDatum},
	}
	for _, c := range []struct {
		name, text, old, new string
		rule                 rule
	}{
		{"NAD 27", utm, "D_North_American_1983", "D_North_American_1927", unknownDatum},
		{"ED 50", utm, "D_North_American_1983", "D_European_1950", unknownDatum},
		{"datum without a name", utm, `DATUM["D_North_American_1983"`, `DATUM[""`, unknownDatum},
		{"the Pacific plate's NAD 83", utm, "D_North_American_1983", "D_NAD_1983_PA11", unknownDatum},
		{"unknown datum with a shift", utm, `D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]`, `D_X",SPHEROID["GRS_1980",6378137.0,298.257222101],TOWGS84[1,2,3,0,0,0,0]`, datumShift},
		{"known datum with a shift", utm, "298.257222101]", "298.257222101],TOWGS84[-0.991,1.9072,0.5129,0,0,0,0]", datumShift},
		{"another ellipsoid", utm, "6378137.0,298.257222101", "6378206.4,294.9786982", unknownEllipsoid},
		{"another equatorial radius", utm, "6378137.0", "6378136.0", unknownEllipsoid},
		{"a sphere", utm, "298.257222101", "0.0", unknownEllipsoid},
		{"rounded ellipsoid", utm, "298.257222101", "298.26", unknownEllipsoid},
		{"Paris", utm, `PRIMEM["Greenwich",0.0]`, `PRIMEM["Paris",2.337229167]`, otherMeridian},
		{"no prime meridian", utm, `,PRIMEM["Greenwich",0.0]`, "", badSyntax},
		{"grads", utm, `"Degree",0.0174532925199433`, `"Grad",0.01570796326794897`, unknownUnit},
		{"radians", lonLat, `"Degree",0.0174532925199433`, `"Radian",1.0`, unknownUnit},
		{"chains", utm, `"Meter",1.0`, `"Chain",20.1168`, unknownUnit},
		{"kilometers", utm, `"Meter",1.0`, `"Kilometer",1000.0`, unknownUnit},
		{"a foot of 0.3", iowa, "0.304800609601219", "0.3", unknownUnit},
		{"no unit", utm, `,UNIT["Meter",1.0]`, "", badSyntax},
		{"unit twice", utm, `,UNIT["Meter",1.0]`, `,UNIT["Meter",1.0],UNIT["Foot",0.3048]`, badSyntax},
		{"survey foot by name, foot by factor", iowa, "0.304800609601219", "0.3048", contradiction},
		{"meter by name, foot by factor", utm, `"Meter",1.0`, `"Meter",0.3048`, contradiction},
		{"Cassini", utm, "Transverse_Mercator", "Cassini", unknownProjection},
		{"south orientated", ogc, "Transverse_Mercator", "Transverse_Mercator_South_Orientated", unknownProjection},
		{"Belgium", ogcText(t, "26975"), "Lambert_Conformal_Conic_2SP", "Lambert_Conformal_Conic_2SP_Belgium", unknownProjection},
		{"no projection", utm, `,PROJECTION["Transverse_Mercator"]`, "", badSyntax},
		{"parameter missing", utm, `,PARAMETER["Scale_Factor",0.9996]`, "", badParameter},
		{"parameter twice", utm, `,UNIT["Meter"`, `,PARAMETER["scale factor",1],UNIT["Meter"`, badParameter},
		{"parameter of two names", utm, `,UNIT["Meter"`, `,PARAMETER["longitude_of_center",1],UNIT["Meter"`, badParameter},
		{"parameter of another projection", utm, `,UNIT["Meter"`, `,PARAMETER["Azimuth",1],UNIT["Meter"`, badParameter},
		{"parameter without a number", utm, `"Scale_Factor",0.9996`, `"Scale_Factor","0.9996"`, badSyntax},
		{"scale of nothing", utm, "0.9996", "0", badParameter},
		{"latitude beyond the pole", utm, `"Latitude_Of_Origin",0.0`, `"Latitude_Of_Origin",90.1`, badParameter},
		{"meridian beyond the world", utm, "-93.0", "-500000", badParameter},
		{"opposite parallels", iowa, `"Standard_Parallel_1",43.2666666666667`, `"Standard_Parallel_1",-42.0666666666667`, badParameter},
		{"oblique along the equator", alaska, `"Latitude_Of_Center",57.0`, `"Latitude_Of_Center",0`, badParameter},
		{"oblique due east", alaska, "-36.8698976388889", "90", badParameter},
		{"another auxiliary sphere", esriText(t, "3857"), `"Auxiliary_Sphere_Type",0.0`, `"Auxiliary_Sphere_Type",1.0`, badParameter},
		{"no auxiliary sphere at all", esriText(t, "3857"), `"Auxiliary_Sphere_Type",0.0`, `"Auxiliary_Sphere_Type",360.0`, badParameter},
		{"Mercator from a latitude", ogcText(t, "3395"), `PARAMETER["central_meridian",0]`, `PARAMETER["central_meridian",0],PARAMETER["latitude_of_origin",10]`, badParameter},
		{"axes to the south and west", ogc, `AXIS["Easting",EAST],AXIS["Northing",NORTH]`, `AXIS["Westing",WEST],AXIS["Southing",SOUTH]`, otherAxes},
		{"one axis to the south", ogc, `AXIS["Northing",NORTH]`, `AXIS["Southing",SOUTH]`, otherAxes},
		{"three axes", ogcText(t, "4326"), `AXIS["Latitude",NORTH]`, `AXIS["Latitude",NORTH],AXIS["Height",UP]`, otherAxes},
		{"a system with a value beside its name", utm, `",GEOGCS[`, `",9001,GEOGCS[`, badSyntax},
		{"axis without direction", ogc, `AXIS["Northing",NORTH]`, `AXIS["Northing"]`, badSyntax},
		{"an extension", ogc, `,AUTHORITY["EPSG","26915"]`, `,EXTENSION["PROJ4","+proj=utm +zone=11 +datum=WGS84"]`, unknownPart},
		{"an extension that is not web Mercator", web, "+b=6378137 ", "+b=6378138 ", unknownPart},
		{"an extension of another radius", web, "+a=6378137 ", "+a=6378138 ", unknownPart},
		{"an extension of another projection", web, "+proj=merc", "+proj=tmerc", unknownPart},
		{"an extension of web Mercator on another method", ogc, `,AUTHORITY["EPSG","26915"]`, `,EXTENSION["PROJ4","+proj=merc +a=6378137 +b=6378137 +lat_ts=0"]`, unknownPart},
		{"web Mercator in feet", web, `UNIT["metre",1`, `UNIT["foot",0.3048`, contradiction},
		{"no spheroid", utm, `,SPHEROID["GRS_1980",6378137.0,298.257222101]`, ``, badSyntax},
		{"a spheroid without flattening", utm, `6378137.0,298.257222101`, `6378137.0`, badSyntax},
		{"a spheroid of a text", utm, `6378137.0,298.257222101`, `"a",298.257222101`, badSyntax},
		{"a spheroid of a text for its flattening", utm, `6378137.0,298.257222101`, `6378137.0,"f"`, badSyntax},
		{"a spheroid of four values", utm, `6378137.0,298.257222101`, `6378137.0,298.257222101,1`, badSyntax},
		{"a part of the spheroid", utm, `298.257222101]`, `298.257222101,UNIT["Meter",1.0]]`, unknownPart},
		{"datum shift grids", utm, "298.257222101]", `298.257222101],EXTENSION["PROJ4_GRIDS","conus"]`, unknownPart},
		{"an unknown part", utm, `,UNIT["Meter",1.0]`, `,UNIT["Meter",1.0],ROTATION["left",90]`, unknownPart},
		{"a value too many", utm, `PARAMETER["Scale_Factor",0.9996]`, `PARAMETER["Scale_Factor",0.9996,1]`, badSyntax},
		{"code of another zone", ogc, `AUTHORITY["EPSG","26915"]`, `AUTHORITY["EPSG","26916"]`, contradiction},
		{"code of another unit", ogcText(t, "3417"), `AUTHORITY["EPSG","3417"]`, `AUTHORITY["EPSG","26975"]`, contradiction},
		{"code of another datum", ogcText(t, "4326"), `AUTHORITY["EPSG","4326"]`, `AUTHORITY["EPSG","4269"]`, contradiction},
		{"a scale factor of no zone, under its name", utm, "0.9996", "0.99", contradiction},
		{"another meridian under a zone's name", utm, "-93.0", "-87.0", contradiction},
		{"another false easting under a zone's name", utm, "500000.0", "5000000.0", contradiction},
		{"another unit under a zone's name", utm, `"Meter",1.0`, `"Foot",0.3048`, contradiction},
		{"other parallels under a zone's name", iowa, "43.2666666666667", "43.5", contradiction},
		{"a lower first parallel under a zone's name", iowa, "43.2666666666667", "43.0", contradiction},
		{"a lower second parallel under a zone's name", iowa, "42.0666666666667", "42.0", contradiction},
		{"a higher second parallel under a zone's name", iowa, "42.0666666666667", "42.2", contradiction},
		{"a lower origin under a zone's name", iowa, "41.5", "41.0", contradiction},
		{"a higher origin under a zone's name", iowa, "41.5", "42.0", contradiction},
		{"web Mercator with a false easting", web, `"false_easting",0`, `"false_easting",7`, contradiction},
	} {
		if strings.Count(c.text, c.old) == 0 {
			t.Fatalf("%s: %q is not in the text", c.name, c.old)
		}
		list = append(list, refusal{c.name, strings.Replace(c.text, c.old, c.new, 1), c.rule})
	}
	return list
}

// Why a text is refused whose figures are not those of its name or code names the figure.
func TestContradictionsNameTheFigure(t *testing.T) {
	utm := esriText(t, "26915")
	for _, c := range []struct{ old, new, want string }{
		{"0.9996", "0.99", "name, EPSG:26915 NAD83 / UTM zone 15N: a scale factor of 0.99, and not 0.9996"},
		{"-93.0", "-87.0", ": a central meridian of -87, and not -93"},
		{`"Latitude_Of_Origin",0.0`, `"Latitude_Of_Origin",1.0`, ": a latitude of origin of 1, and not 0"},
		{"500000.0", "500101.0", ": a false easting of 500101, and not 500000"},
		{`"False_Northing",0.0`, `"False_Northing",10000000.0`, ": a false northing of 10000000, and not 0"},
		{`"Meter",1.0`, `"Foot",0.3048`, ": another projection or unit"},
	} {
		_, err := Parse(strings.Replace(utm, c.old, c.new, 1))
		if err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.new, err, c.want)
		}
	}
	if _, err := Parse(strings.NewReplacer("NAD_1983_UTM_Zone_15N", "Ours", "0.9996", "0.99").Replace(utm)); err != nil {
		t.Errorf("a plane with a name of its own: %v", err)
	}
	other := strings.NewReplacer("D_North_American_1983", "D_WGS_1984", "GRS_1980", "WGS_1984", "298.257222101", "298.257223563").Replace(utm)
	if _, err := Parse(other); err != nil {
		t.Errorf("a zone's name on the other datum: %v", err)
	}
}

// Each refusal is told in its own words, which refused.txt holds, a line a case.
func TestRefused(t *testing.T) {
	kept, err := os.ReadFile("testdata/refused.txt")
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]string{}
	for line := range strings.Lines(string(kept)) {
		name, words, _ := strings.Cut(strings.TrimRight(line, "\r\n"), ": ")
		told[name] = words
	}
	fired := map[rule]bool{}
	for _, c := range refusals(t) {
		s, err := Parse(c.text)
		var refused *RefusedError
		if !errors.As(err, &refused) {
			t.Errorf("%s: got %q, error %v; want %s", c.name, s.Name(), err, c.rule)
			continue
		}
		fired[refused.Rule] = true
		if refused.Rule != c.rule || refused.Why == "" {
			t.Errorf("%s: got %s (%v), want %s", c.name, refused.Rule, err, c.rule)
		}
		if got := strings.Join(strings.Fields(err.Error()), " "); got != told[c.name] {
			t.Errorf("%s: told is %s; want %s", c.name, got, told[c.name])
		}
		if len(err.Error()) > 400 {
			t.Errorf("%s: an error of %d bytes", c.name, len(err.Error()))
		}
	}
	if len(fired) != 16 {
		t.Errorf("%d rules fired, want all 16: %v", len(fired), fired)
	}
}

// A text of as many bytes as are read is read, and a name of 80 is shown whole.
func TestEndsOfTexts(t *testing.T) {
	code := "EPSG:26915"
	for size, want := range map[int]bool{maxText: true, maxText + 1: false} {
		if _, err := Parse(code + strings.Repeat(" ", size-len(code))); (err == nil) != want {
			t.Errorf("%d bytes: %v", size, err)
		}
	}
	for size, want := range map[int]string{80: strings.Repeat("n", 80), 81: strings.Repeat("n", 80) + "..."} {
		if got := printable(strings.Repeat("n", size)); got != want {
			t.Errorf("%d bytes: %s", size, got)
		}
	}
}
