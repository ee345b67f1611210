package geojson

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/geo"
)

// The examples of RFC 7946 (Butler et al., 2016), by section, numbers as printed
// there.
func TestRFC7946Polygons(t *testing.T) {
	for _, tt := range []struct{ section, text, want string }{
		{"A.3, no holes", `{
		"type": "Polygon",
		"coordinates": [
			[
				[100.0, 0.0],
				[101.0, 0.0],
				[101.0, 1.0],
				[100.0, 1.0],
				[100.0, 0.0]
			]
		]
	}`, "[[[[100 0] [101 0] [101 1] [100 1] [100 0]]]]"},
		{"A.3, with holes", `{
		"type": "Polygon",
		"coordinates": [
			[
				[100.0, 0.0],
				[101.0, 0.0],
				[101.0, 1.0],
				[100.0, 1.0],
				[100.0, 0.0]
			],
			[
				[100.8, 0.8],
				[100.8, 0.2],
				[100.2, 0.2],
				[100.2, 0.8],
				[100.8, 0.8]
			]
		]
	}`, "[[[[100 0] [101 0] [101 1] [100 1] [100 0]] [[100.8 0.8] [100.8 0.2] [100.2 0.2] [100.2 0.8] [100.8 0.8]]]]"},
		{"A.6", `{
		"type": "MultiPolygon",
		"coordinates": [
			[
				[
					[102.0, 2.0],
					[103.0, 2.0],
					[103.0, 3.0],
					[102.0, 3.0],
					[102.0, 2.0]
				]
			],
			[
				[
					[100.0, 0.0],
					[101.0, 0.0],
					[101.0, 1.0],
					[100.0, 1.0],
					[100.0, 0.0]
				],
				[
					[100.2, 0.2],
					[100.2, 0.8],
					[100.8, 0.8],
					[100.8, 0.2],
					[100.2, 0.2]
				]
			]
		]
	}`, "[[[[102 2] [103 2] [103 3] [102 3] [102 2]]] [[[100 0] [101 0] [101 1] [100 1] [100 0]] [[100.2 0.2] [100.2 0.8] [100.8 0.8] [100.8 0.2] [100.2 0.2]]]]"},
	} {
		l := read(t, tt.text)
		if got := fmt.Sprint(l.Shapes.Shape(0)); got != tt.want || len(l.Remarks) > 0 {
			t.Errorf("%s: got %s %v\nwant %s", tt.section, got, l.Remarks, tt.want)
		}
	}
}

// The FeatureCollection of section 1.5 holds a point, a line and a polygon: the
// first two are refused, each by its type, and the polygon alone is read.
func TestRFC7946FeatureCollection(t *testing.T) {
	const point = `{
           "type": "Feature",
           "geometry": {
               "type": "Point",
               "coordinates": [102.0, 0.5]
           },
           "properties": {
               "prop0": "value0"
           }
       }`
	const line = `{
           "type": "Feature",
           "geometry": {
               "type": "LineString",
               "coordinates": [
                   [102.0, 0.0],
                   [103.0, 1.0],
                   [104.0, 0.0],
                   [105.0, 1.0]
               ]
           },
           "properties": {
               "prop0": "value0",
               "prop1": 0.0
           }
       }`
	const area = `{
           "type": "Feature",
           "geometry": {
               "type": "Polygon",
               "coordinates": [
                   [
                       [100.0, 0.0],
                       [101.0, 0.0],
                       [101.0, 1.0],
                       [100.0, 1.0],
                       [100.0, 0.0]
                   ]
               ]
           },
           "properties": {
               "prop0": "value0",
               "prop1": {
                   "this": "that"
               }
           }
       }`
	_, err := Decode(strings.NewReader(collection(point, line, area)), "f")
	checkBad(t, err,
		geo.BadRecord{Record: 0, Value: "Point", Why: "is not a polygon"},
		geo.BadRecord{Record: 1, Value: "LineString", Why: "is not a polygon"})

	l := read(t, collection(area))
	if got := fmt.Sprint(l.Shapes.Shape(0)); got != "[[[[100 0] [101 0] [101 1] [100 1] [100 0]]]]" {
		t.Errorf("got %s", got)
	}
	if c := l.Attributes.Cell(0, 1); cells(l, 0)[:17] != "prop0=text:value0" || c.Kind != geo.Other {
		t.Errorf("got %s, %s", cells(l, 0), c.Kind)
	}
}

// Appendix A.1, A.2, A.4, A.5 and A.7: what has no area is refused by its type.
func TestRFC7946OtherGeometries(t *testing.T) {
	for _, tt := range []struct{ section, text, kind string }{
		{"A.1", `{"type": "Point", "coordinates": [100.0, 0.0]}`, "Point"},
		{"A.2", `{"type": "LineString", "coordinates": [[100.0, 0.0], [101.0, 1.0]]}`, "LineString"},
		{"A.4", `{"type": "MultiPoint", "coordinates": [[100.0, 0.0], [101.0, 1.0]]}`, "MultiPoint"},
		{"A.5", `{"type": "MultiLineString", "coordinates": [[[100.0, 0.0], [101.0, 1.0]], [[102.0, 2.0], [103.0, 3.0]]]}`, "MultiLineString"},
		{"A.7", `{"type": "GeometryCollection", "geometries": [{"type": "Point", "coordinates": [100.0, 0.0]}, {"type": "LineString", "coordinates": [[101.0, 0.0], [102.0, 1.0]]}]}`, "Point"},
	} {
		_, err := Decode(strings.NewReader(tt.text), "f")
		t.Run(tt.section, func(t *testing.T) {
			checkBad(t, err, geo.BadRecord{Record: 0, Value: tt.kind, Why: "is not a polygon"})
		})
	}
}
