package geojson

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"rxsplit/geo"
)

func TestTexts(t *testing.T) {
	one := feature(polygonText(square))
	for _, tt := range []struct {
		name, text, system string
		records            int
		remark             string
	}{
		{"collection", collection(one, one), "", 2, ""},
		{"empty collection", collection(), "", 0, ""},
		{"white space in an empty collection", `{"type":"FeatureCollection","features":[ ` + "\n" + ` ]}`, "", 0, ""},
		{"features first", `{"features":[` + one + `],"type":"FeatureCollection"}` + "\n\n", "", 1, ""},
		{"byte order mark", "\ufeff" + collection(one), "", 1, "byte-order-mark"},
		{"single feature", " \n" + one, "", 1, ""},
		{"bare polygon", polygonText(square), "", 1, ""},
		{"bare collection", `{"geometries":[` + polygonText(square) + `],"type":"GeometryCollection"}`, "", 1, ""},
		{"lines", one + "\n" + one + "\r\n" + one, "", 3, ""},
		{"lines of geometries", polygonText(square) + "\n" + one, "", 2, ""},
		{"RFC 8142 sequence", "\x1e" + one + "\n\x1e" + one + "\n", "", 2, ""},
		{"RFC 8142 sequence of one", "\x1e" + collection(one) + "\n", "", 1, ""},
		{"foreign members", `{"name":"x","a":{"features":[1,2]},"b":"]}","type":"FeatureCollection","features":[` + one + `],"c":[[["}"]]],"d":1}`, "", 1, ""},
		{"crs by name", `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::32615"}},"features":[]}`, "urn:ogc:def:crs:EPSG::32615", 0, ""},
		{"crs behind", `{"type":"FeatureCollection","features":[` + one + `],"crs":{"properties":{"name":"EPSG:32615"},"type":"name"}}`, "EPSG:32615", 1, ""},
		{"crs null", `{"type":"FeatureCollection","crs":null,"features":[]}`, "null", 0, ""},
		{"crs link", `{"type":"FeatureCollection","crs":{"type":"link","properties":{"href":"a"}},"features":[]}`, `{"type":"link","properties":{"href":"a"}}`, 0, ""},
		{"crs text", `{"type":"FeatureCollection","crs":"EPSG:4326","features":[]}`, `"EPSG:4326"`, 0, ""},
		{"crs of a feature", `{"type":"Feature","crs":{"type":"name","properties":{"name":"EPSG:1"}},"geometry":null}`, "EPSG:1", 1, ""},
		{"crs of a geometry", `{"type":"Polygon","crs":{"type":"name","properties":{"name":"EPSG:1"}},"coordinates":[]}`, "EPSG:1", 1, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := read(t, tt.text)
			if l.Shapes.Len() != tt.records || l.System != tt.system {
				t.Errorf("got %d records in %q, want %d in %q", l.Shapes.Len(), l.System, tt.records, tt.system)
			}
			remark := ""
			for _, r := range l.Remarks {
				remark += r.Rule
			}
			if remark != tt.remark || l.Name != "f" {
				t.Errorf("got remarks %q, name %s", remark, l.Name)
			}
		})
	}
}

func TestBadTexts(t *testing.T) {
	one := feature(polygonText(square))
	utf16 := func(s string) string { return strings.Join(strings.Split(s, ""), "\x00") + "\x00" }
	for _, tt := range []struct {
		name, text string
		record     int
		value, why string
	}{
		{"nothing", "", -1, "", "byte 0, line 1: there is no GeoJSON text in the file"},
		{"white space", " \n ", -1, "", "byte 3, line 2: there is no GeoJSON text in the file"},
		{"UTF-16 with a mark", "\xff\xfe" + utf16("{}"), -1, "", "byte 0, line 1: the text is not UTF-8 (it looks like UTF-16): save it as UTF-8"},
		{"UTF-16 without", utf16("{}"), -1, "", "byte 0, line 1: the text is not UTF-8 (it looks like UTF-16): save it as UTF-8"},
		{"array", "[]", -1, "", "byte 0, line 1: want a GeoJSON object, found '['"},
		{"empty object", "{}", -1, "", `the object has no "type"`},
		{"other object", `{"type":"Topology"}`, -1, "Topology", `is not a "type" of GeoJSON`},
		{"type no string", `{"type":5}`, -1, "5", `is not a "type" of GeoJSON`},
		{"no features", `{"type":"FeatureCollection"}`, -1, "", `the FeatureCollection has no array "features"`},
		{"features null", `{"type":"FeatureCollection","features":null}`, -1, "", `the FeatureCollection has no array "features"`},
		{"features in a feature", `{"type":"Feature","features":[` + one + `]}`, -1, "Feature", `is not the "type" of an object with "features"`},
		{"features twice", `{"type":"FeatureCollection","features":[],"features":[]}`, -1, "", `byte 53, line 1: "features" stands there twice`},
		{"features twice, escaped", `{"type":"FeatureCollection","features":[],"f\u0065atures":[]}`, -1, `f\u0065atures`, "stands there twice"},
		{"crs twice", `{"type":"FeatureCollection","crs":null,"features":[],"crs":null}`, -1, "crs", "stands there twice"},
		{"single point", `{"type":"Point","coordinates":[1,2]}`, 0, "Point", "is not a polygon"},
		{"collection never closed", `{"type":"FeatureCollection","features":[` + one, 1, "", fmt.Sprintf(`byte %d, line 1: the file ends inside "features"`, 40+len(one))},
		{"feature never closed", `{"type":"FeatureCollection","features":[` + one + ",\n" + one[:20], 1, "", fmt.Sprintf(`byte %d, line 2: the file ends inside "features"`, 62+len(one))},
		{"bracket missing", `{"type":"FeatureCollection","features":[` + one[:len(one)-1] + "," + one + "]}", 0, "", fmt.Sprintf(`byte %d, line 1: not JSON: invalid character '{' looking for beginning of object key string`, 40+len(one))},
		{"object never closed", collection(one)[:40+len(one)+1], -1, "", fmt.Sprintf("byte %d, line 1: the file ends inside the outermost object", 41+len(one))},
		{"trailing garbage", collection(one) + "x", -1, "", fmt.Sprintf("byte %d, line 1: want nothing behind the FeatureCollection, found 'x'", len(collection(one)))},
		{"two collections", collection() + collection(), -1, "", "byte 42, line 1: want nothing behind the FeatureCollection, found '{'"},
		{"garbage in a sequence", one + "\n" + one + "\n7", 2, "", fmt.Sprintf("byte %d, line 3: want the next object of the sequence, found '7'", 2*len(one)+2)},
		{"a collection in a sequence", one + "\n" + collection(one), 1, "FeatureCollection", "is not a Feature"},
		{"sequence breaks off", one + "\n" + one[:30], 1, "", fmt.Sprintf("byte %d, line 2: the file ends inside an object", len(one)+31)},
		{"crs in a sequence", one + "\n" + `{"type":"Feature","crs":{"x":1}}`, 1, `{"x":1}`, `is a "crs" of its own; only the file's counts`},
		{"comma before", `{"type":"FeatureCollection","features":[,` + one + `]}`, 0, "", "byte 40, line 1: want a feature, found ','"},
		{"comma behind", `{"type":"FeatureCollection","features":[` + one + `,]}`, 1, "", fmt.Sprintf("byte %d, line 1: want a feature, found ']'", 41+len(one))},
		{"comma missing", `{"type":"FeatureCollection","features":[` + one + "\n " + one + `]}`, 1, "", fmt.Sprintf(`byte %d, line 2: want "," or "]", found '{'`, 42+len(one))},
		{"not JSON in a feature", collection(one, `{"type":"Feature","properties":{"a":01}}`), 1, "", fmt.Sprintf("byte %d, line 2: not JSON: invalid character '1' after object key:value pair", 40+len(one)+2+37)},
		{"not JSON in coordinates", collection(one, feature(polygonText(`[[[0,0],[1.,0],[1,1],[0,0]]]`))), 1, "", fmt.Sprintf("byte %d, line 2: not JSON: invalid character ',' after decimal point in numeric literal", 40+len(one)+2+47+43)},
		{"not JSON in a name", `{"type":"FeatureCollection","features":[` + one + `],"a":tru}`, -1, "", fmt.Sprintf("byte %d, line 1: not JSON: invalid character '}' in literal true (expecting 'e')", 40+len(one)+9)},
		{"value missing", `{"type":"FeatureCollection","a":,"features":[]}`, -1, "", "byte 32, line 1: want a value, found ','"},
		{"colon missing", `{"type" "FeatureCollection"}`, -1, "", `byte 8, line 1: want ":", found '"'`},
		{"member's comma missing", `{"type":"FeatureCollection" "features":[]}`, -1, "", `byte 28, line 1: want "," or "}", found '"'`},
		{"name missing", `{"type":"FeatureCollection",}`, -1, "", `byte 28, line 1: want a member's name, found '}'`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Decode(strings.NewReader(tt.text), "f.geojson")
			var bad *geo.BadFileError
			if !errors.As(err, &bad) || len(bad.Bad) != 1 {
				t.Fatalf("got %v, want one bad record", err)
			}
			got := bad.Bad[0]
			if want := (geo.BadRecord{Record: tt.record, Value: tt.value, Why: tt.why}); got != want {
				t.Errorf("got  %+v\nwant %+v", got, want)
			}
		})
	}
}

// A feature that is no JSON is told by the byte at which it stops being so (encoding/json), marked here by ^.
func TestBadGrammarIsPlaced(t *testing.T) {
	const ring = `[[0,0],[1,0],[1,1],[0,0]]`
	for _, marked := range []string{
		`{^`,
		`{"type":"Feature",^}`,
		`{"type":"Feature"^"properties":null}`,
		`{"type" ^"Feature"}`,
		`{"type":^}`,
		`{"type":"Feature",^7:1}`,
		`{"type":"Feature","a":[1,^]}`,
		`{"type":"Feature","a":t^x}`,
		`{"type":"Feature","properties":{"a":1,^}}`,
		`{"type":"Feature","properties":{"a" ^1}}`,
		`{"type":"Feature","properties":{"a":nul^}}`,
		`{"type":"Feature","geometry":{"type":"Polygon",^}}`,
		`{"type":"Feature","geometry":{"type":^}}`,
		`{"type":"Feature","geometry":{"type":tru^}}`,
		`{"type":"Feature","geometry":{"a":[1,^],"type":"Polygon"}}`,
		feature(polygonText(`[` + ring + `,^]`)),
		feature(polygonText(`[[[0,0],[1,0],[1,1],[0,0],^]]`)),
		feature(polygonText(`[` + ring + `^` + ring + `]`)),
		feature(polygonText(`[[[0,0]^[1,0],[1,1],[0,0]]]`)),
		feature(polygonText(`[[[0,^],[1,0],[1,1],[0,0]]]`)),
		feature(`{"type":"MultiPolygon","coordinates":[[` + ring + `],^]}`),
		feature(`{"coordinates":[` + ring + `,^],"type":"Polygon"}`),
		feature(`{"type":"GeometryCollection","geometries":[` + polygonText(square) + `,^]}`),
		feature(`{"type":"GeometryCollection","geometries":[{"type":^}]}`),
	} {
		before := `{"type":"FeatureCollection","features":[` + feature("null") + ",\n"
		at := len(before) + strings.Index(marked, "^")
		_, err := Decode(strings.NewReader(before+strings.Replace(marked, "^", "", 1)+"]}"), "f.geojson")
		var bad *geo.BadFileError
		if !errors.As(err, &bad) || len(bad.Bad) != 1 || bad.Bad[0].Record != 1 || !strings.HasPrefix(bad.Bad[0].Why, fmt.Sprintf("byte %d, line 2: not JSON: ", at)) {
			t.Errorf("%s: got %v, want byte %d of record 2", marked, err, at)
		}
	}
}

// What ends the reading is told in any case: the last place of the list is kept for it.
func TestEndOfReadingIsListed(t *testing.T) {
	features := slices.Repeat([]string{"5"}, geo.MaxBadRecords+3)
	_, err := Decode(strings.NewReader(collection(append(features, `{"type":^}`)...)), "f.geojson")
	var bad *geo.BadFileError
	if !errors.As(err, &bad) || len(bad.Bad) != geo.MaxBadRecords || bad.More != 4 {
		t.Fatalf("got %v, want %d bad records and 4 more", err, geo.MaxBadRecords)
	}
	if last := bad.Bad[geo.MaxBadRecords-1]; last.Record != len(features) || !strings.Contains(last.Why, "not JSON") {
		t.Errorf("last is %+v, want the one that is no JSON", last)
	}
}

func TestReadErrorIsReturned(t *testing.T) {
	broken := errors.New("the stick was pulled")
	for _, text := range []string{`{"type" : "FeatureCollection","features":[` + feature("null") + "," + feature("null") + "]}", feature("null") + "\n" + feature("null")} {
		for n := range len(text) {
			r := io.MultiReader(strings.NewReader(text[:n]), iotest.ErrReader(broken))
			_, err := decode(r, "f.geojson", 64, 2)
			if !errors.Is(err, broken) || !strings.HasPrefix(err.Error(), "f.geojson: ") {
				t.Errorf("%s after %d bytes: got %v", text, n, err)
			}
		}
	}
	if _, err := decode(silent{}, "f.geojson", 64, 2); !errors.Is(err, io.ErrNoProgress) {
		t.Errorf("a reader that never reads: got %v", err)
	}
}

// silent reads nothing, and says so.
type silent struct{}

func (silent) Read([]byte) (int, error) { return 0, nil }
