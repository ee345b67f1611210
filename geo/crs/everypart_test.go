package crs

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// wholeText is a projected system as GDAL writes it, with a vertical one beside it. What is
// missing in it, what stands there unasked and what is of another kind would change what the
// text means: each is refused, but for authorities and zero shifts, which say nothing of places.
const wholeText = `COMPD_CS["NAD83 / UTM zone 15N + height",PROJCS["NAD83 / UTM zone 15N",GEOGCS["NAD83",` +
	`DATUM["North_American_Datum_1983",SPHEROID["GRS 1980",6378137,298.257222101,AUTHORITY["EPSG","7019"]],TOWGS84[0,0,0,0,0,0,0],AUTHORITY["EPSG","6269"]],` +
	`PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4269"]],` +
	`PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-93],PARAMETER["scale_factor",0.9996],` +
	`PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1,AUTHORITY["EPSG","9001"]],AXIS["Easting",EAST],AXIS["Northing",NORTH],` +
	`AUTHORITY["EPSG","26915"]],VERT_CS["height",VERT_DATUM["any",2005],UNIT["metre",1]]]`

func TestEveryPartOfATextCounts(t *testing.T) {
	nodes, err := readNodes(wholeText)
	if err != nil || written(nodes[0]) != wholeText {
		t.Fatal(err, written(nodes[0]))
	}
	if _, err := Parse(wholeText); err != nil {
		t.Fatal(err)
	}
	refused := 0
	try := func(what string, n *node, may bool) {
		t.Helper()
		_, err := Parse(written(nodes[0]))
		if (err == nil) != may {
			t.Errorf("%s %s: %v", what, n.label(), err)
		}
		if err != nil {
			refused++
		}
	}
	var each func(parent *node, i int, quiet bool)
	each = func(parent *node, i int, quiet bool) {
		n := parent.values[i].node
		before := n.values
		quiet = quiet || n.keyword == "AUTHORITY" || n.keyword == "VERT_CS"
		number := n.keyword == "PRIMEM" || n.keyword == "UNIT" // nothing but its number is read
		parent.values[i].node = &node{keyword: "SURPRISE", values: before}
		try("renamed", n, parent.keyword == "COMPD_CS" && n.keyword == "VERT_CS" || quiet && n.keyword != "AUTHORITY" && n.keyword != "VERT_CS" || n.keyword == "AUTHORITY" && (parent.keyword == "PRIMEM" || parent.keyword == "UNIT"))
		parent.values[i].node = n
		n.values = append(before[:len(before):len(before)], value{kind: stringValue, text: "more"})
		try("a value more in", n, quiet || number)
		n.values = before
		for k, v := range before {
			if v.kind == nodeValue {
				each(n, k, quiet)
				continue
			}
			n.values = append(append([]value{}, before[:k]...), value{kind: wordValue, text: "ELSE"})
			n.values = append(n.values, before[k+1:]...)
			try(fmt.Sprintf("value %d is a word in", k), n, quiet || k == 0 && (number && parent.keyword == "GEOGCS" || n.keyword == "AXIS" || n.keyword == "SPHEROID"))
			n.values = before
		}
		rest := parent.values
		parent.values = append(append([]value{}, rest[:i]...), rest[i+1:]...)
		try("without", n, quiet || n.keyword == "TOWGS84")
		parent.values = rest
	}
	for i, v := range nodes[0].values {
		if v.kind == nodeValue {
			each(nodes[0], i, false)
		}
	}
	if refused < 60 {
		t.Errorf("%d texts are refused", refused)
	}
}

func written(n *node) string {
	var parts []string
	for _, v := range n.values {
		switch v.kind {
		case stringValue:
			parts = append(parts, `"`+v.text+`"`)
		case nodeValue:
			parts = append(parts, written(v.node))
		default:
			parts = append(parts, v.text)
		}
	}
	return n.keyword + "[" + strings.Join(parts, ",") + "]"
}

// What is no list of whole nodes, with the byte where it goes wrong.
func TestSyntaxOfTexts(t *testing.T) {
	for text, at := range map[string]string{
		`"a name alone"`:                         "byte 14",
		`12`:                                     "byte 2",
		`GEOGCS`:                                 "byte 6",
		`GEOGCS["a"`:                             "byte 10",
		`GEOGCS["a")`:                            "byte 10",
		`GEOGCS["a`:                              "byte 7",
		`GEOGCS["a",]`:                           "byte 11",
		`GEOGCS["a",1.2.3]`:                      "byte 11",
		`GEOGCS["a"] x`:                          "byte 12",
		`GEOGCS["a"],`:                           "byte 12",
		strings.Repeat("A", maxWord+1) + `["a"]`: "byte 0",
	} {
		_, err := readNodes(text)
		if err == nil || !strings.HasPrefix(err.Found, at) {
			t.Errorf("%s: %+v, want %s", text, err, at)
		}
	}
	nodes, err := readNodes(strings.Repeat("A", maxWord) + `["say ""so""", -1.5e3, Word],` + "\n" + `B("b")`)
	if err != nil || len(nodes) != 2 || nodes[0].values[0].text != `say "so"` || nodes[0].values[1].number != -1500 || nodes[0].values[2].text != "WORD" || nodes[1].keyword != "B" {
		t.Errorf("%+v %v", nodes, err)
	}
	deep := func(n int) string { return strings.Repeat(`A[`, n) + `"a"` + strings.Repeat(`]`, n) }
	if _, err := readNodes(deep(maxDepth)); err != nil {
		t.Error(err)
	}
	if _, err := readNodes(deep(maxDepth + 1)); err == nil {
		t.Error("nodes that lie too deep are read")
	}
}

// A code counts where it is a whole number of EPSG's; others are no codes.
func TestAuthority(t *testing.T) {
	for text, want := range map[string]int{
		`A["a",AUTHORITY["EPSG","4326"]]`: 4326, `A["a",AUTHORITY["epsg",4326]]`: 4326,
		`A["a",AUTHORITY["ESRI","4326"]]`: 0, `A["a",AUTHORITY["EPSG"]]`: 0, `A["a",AUTHORITY["EPSG","4326","1"]]`: 0,
		`A["a",AUTHORITY["EPSG","43x6"]]`: 0, `A["a",AUTHORITY["EPSG","4.6"]]`: 0, `A["a"]`: 0,
		`A["a",AUTHORITY["ESRI","1"],AUTHORITY["EPSG","2"]]`:    2,
		`A["a",AUTHORITY["EPSG","99999999999999999999999999"]]`: 0,
	} {
		nodes, err := readNodes(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := nodes[0].authority(); got != want {
			t.Errorf("%s: %d, want %d", text, got, want)
		}
	}
}

// A zone's ground goes on across the antimeridian: what lies as far to the west of the central
// meridian as another place to its east has the mirrored easting.
func TestZonesReachAcrossTheAntimeridian(t *testing.T) {
	for code, middle := range map[string]float64{"EPSG:32601": -177, "EPSG:32660": 177, "EPSG:32615": -93} {
		s, err := Parse(code)
		if err != nil {
			t.Fatal(err)
		}
		for _, off := range []float64{0.1, 2.9, 3.1, 4} {
			around := func(lon float64) float64 { return math.Remainder(lon, 360) }
			points := []orb.Point{{around(middle - off), 45}, {around(middle + off), 45}}
			lonLat := slices.Clone(points)
			if err := s.FromLonLat(points, points); err != nil {
				t.Fatal(code, off, err)
			}
			if west, east := 500000-points[0][0], points[1][0]-500000; math.Abs(west-east) > 1e-6 || east < off*78000 || east > off*79500 { // 78.85 km a degree at 45° N, on the ellipsoid
				t.Errorf("%s, %v°: %v m to the west, %v m to the east", code, off, west, east)
			}
			if err := s.ToLonLat(points, points); err != nil {
				t.Fatal(err)
			}
			for i := range points {
				if math.Abs(points[i][0]-lonLat[i][0]) > 1e-9 || math.Abs(points[i][1]-45) > 1e-9 {
					t.Errorf("%s: back at %v, want %v", code, points[i], lonLat[i])
				}
			}
		}
	}
}

// The names of units as writers spell them: GDAL, ESRI, EPSG.
func TestNamesOfUnits(t *testing.T) {
	for want, names := range map[unit][]string{
		meter:      {"m", "meter", "Metre", "meters", "metres"},
		foot:       {"ft", "foot", "Feet", "Foot_Intl", "foot (International)", "International Foot", "International Feet"},
		surveyFoot: {"ftUS", "Foot_US", "Feet US", "US survey foot", "US survey feet", "Survey_Foot", "Foot_S"},
	} {
		for _, name := range names {
			if got, ok := unitByName(name); !ok || got != want {
				t.Errorf("%s: %v %v", name, got, ok)
			}
		}
	}
	if _, ok := unitByName("chain"); ok {
		t.Error("a chain is known")
	}
}

// What is quoted of a text is cut where it is long.
func TestQuote(t *testing.T) {
	for n, want := range map[int]string{60: `"` + strings.Repeat("x", 60) + `"`, 61: `"` + strings.Repeat("x", 60) + `..."`} {
		if got := quote(strings.Repeat("x", n)); got != want {
			t.Errorf("%d: %s", n, got)
		}
	}
}
