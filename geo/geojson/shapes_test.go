package geojson

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo"
)

const squareShape = "[[[[0 0] [1 0] [1 1] [0 1] [0 0]]]]"

func TestGeometries(t *testing.T) {
	for _, tt := range []struct {
		name, geometry, want string
		rules                []string // of the remarks
	}{
		{"polygon", polygonText(square), squareShape, nil},
		{"coordinates before type", `{"coordinates":` + square + `,"type":"Polygon"}`, squareShape, nil},
		{"multipolygon", `{"type":"MultiPolygon","coordinates":[` + square + `,[[[5,5],[6,5],[6,6],[5,5]]]]}`,
			"[[[[0 0] [1 0] [1 1] [0 1] [0 0]]] [[[5 5] [6 5] [6 6] [5 5]]]]", nil},
		{"hole", polygonText(`[[[0,0],[9,0],[9,9],[0,0]],[[5,1],[6,3],[6,1],[5,1]]]`),
			"[[[[0 0] [9 0] [9 9] [0 0]] [[5 1] [6 3] [6 1] [5 1]]]]", nil},
		{"null", `null`, "[]", nil},
		{"no rings", polygonText(`[]`), "[]", nil},
		{"one empty ring", polygonText(`[[]]`), "[]", nil},
		{"no polygons", `{"type":"MultiPolygon","coordinates":[]}`, "[]", nil},
		{"an empty polygon among others", `{"type":"MultiPolygon","coordinates":[[],` + square + `]}`, squareShape, nil},
		{"collection", `{"type":"GeometryCollection","geometries":[` + polygonText(square) + `]}`, squareShape, nil},
		{"collection before type", `{"geometries":[` + polygonText(square) + `],"type":"GeometryCollection"}`, squareShape, nil},
		{"empty collection", `{"type":"GeometryCollection","geometries":[]}`, "[]", nil},
		{"foreign members", `{"bbox":[0,0,1,1],"x":{"coordinates":[[7]]},"type":"Polygon","coordinates":` + square + `,"type2":"Point"}`, squareShape, nil},
		{"escaped names", `{"t\u0079pe":"Polygon","coordin\u0061tes":` + square + `}`, squareShape, nil},
		{"white space", " {\n\"type\" :\t\"Polygon\" ,\r\n\"coordinates\" : [ [ [ 0 , 0 ] , [ 1,0 ] ,[1,1], [0,1],[0 ,0 ] ] ] } ", squareShape, nil},
		{"exponents", polygonText(`[[[0e0,-0.0e-5],[10e-1,0],[0.1E+1,1],[0,1],[0,0]]]`),
			"[[[[0 -0] [1 0] [1 1] [0 1] [0 0]]]]", nil},
		{"open ring", polygonText(`[[[0,0],[1,0],[1,1],[0,1]]]`), squareShape, []string{"ring-closed"}},
		{"third ordinate", polygonText(`[[[0,0,7],[1,0,7],[1,1,7],[0,1,7],[0,0,7]]]`), squareShape, []string{"z-dropped"}},
		{"fourth ordinate", polygonText(`[[[0,0,7,1],[1,0],[1,1],[0,1],[0,0]]]`), squareShape, []string{"z-dropped"}},
		{"clockwise", polygonText(`[[[0,0],[0,1],[1,1],[1,0],[0,0]]]`),
			"[[[[0 0] [0 1] [1 1] [1 0] [0 0]]]]", []string{"winding"}},
		{"counter-clockwise hole", polygonText(`[[[0,0],[9,0],[9,9],[0,0]],[[5,1],[6,1],[6,3],[5,1]]]`),
			"[[[[0 0] [9 0] [9 9] [0 0]] [[5 1] [6 1] [6 3] [5 1]]]]", []string{"winding"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := read(t, collection(feature("null"), feature(tt.geometry)))
			if got := fmt.Sprint(l.Shapes.Shape(1)); got != tt.want {
				t.Errorf("got %s\nwant %s", got, tt.want)
			}
			var rules []string
			for _, r := range l.Remarks {
				rules = append(rules, r.Rule)
				if r.Rule != "winding" && !slices.Equal(r.Records, []int{1}) {
					t.Errorf("%s names the records %v, want [1]", r.Rule, r.Records)
				}
			}
			if !slices.Equal(rules, tt.rules) {
				t.Errorf("remarks %v, want %v", rules, tt.rules)
			}
		})
	}
}

func TestBadGeometries(t *testing.T) {
	for _, tt := range []struct{ name, geometry, value, why string }{
		{"point", `{"type":"Point","coordinates":[1,2]}`, "Point", "is not a polygon"},
		{"line", `{"type":"LineString","coordinates":[[1,2],[3,4]]}`, "LineString", "is not a polygon"},
		{"several lines, type last", `{"coordinates":[[[1,2],[3,4]]],"type":"MultiLineString"}`, "MultiLineString", "is not a polygon"},
		{"point in a collection", `{"type":"GeometryCollection","geometries":[` + polygonText(square) + `,{"type":"Point","coordinates":[1,2]}]}`, "Point", "is not a polygon"},
		{"collection in a collection", `{"type":"GeometryCollection","geometries":[{"type":"GeometryCollection","geometries":[]}]}`, "GeometryCollection", "stands inside a GeometryCollection"},
		{"no geometries", `{"type":"GeometryCollection"}`, "", `the GeometryCollection has no "geometries"`},
		{"geometries no array", `{"type":"GeometryCollection","geometries":3}`, "3", `"geometries" is not an array`},
		{"unknown type", `{"type":"polygon","coordinates":` + square + `}`, "polygon", "is not a type of geometry"},
		{"no type", `{"coordinates":` + square + `}`, "", `the geometry has no "type"`},
		{"no coordinates", `{"type":"Polygon"}`, "", `the Polygon has no "coordinates"`},
		{"text", `"Polygon"`, "Polygon", "is not a geometry object"},
		{"two points", polygonText(`[[[0,0],[1,1],[0,0]]]`), "", "ring 1 has fewer than 3 distinct points"},
		{"one point thrice", polygonText(`[[[2,2],[2,2],[2,2],[2,2]]]`), "", "ring 1 has fewer than 3 distinct points"},
		{"bad hole", polygonText(`[[[0,0],[1,0],[1,1],[0,0]],[]]`), "", "ring 2 has fewer than 3 distinct points"},
		{"empty shell before a hole", polygonText(`[[],[[0,0],[1,0],[1,1],[0,0]]]`), "", "ring 1 has fewer than 3 distinct points"},
		{"overflow", polygonText(`[[[0,0],[1e999,0],[1,1],[0,0]]]`), "1e999", "is not finite"},
		{"null ordinates", polygonText(`[[[null,null],[1,0],[1,1],[0,0]]]`), "null", "is not a number"},
		{"null second ordinate", polygonText(`[[[0,null],[1,0],[1,1],[0,0]]]`), "null", "is not a number"},
		{"null third ordinate", polygonText(`[[[0,0,null],[1,0],[1,1],[0,0]]]`), "null", "is not a number"},
		{"text ordinate", polygonText(`[[["0",0],[1,0],[1,1],[0,0]]]`), "0", "is not a number"},
		{"one ordinate", polygonText(`[[[0,0],[1],[1,1],[0,0]]]`), "", "a position has fewer than two ordinates"},
		{"no ordinate", polygonText(`[[[0,0],[],[1,1],[0,0]]]`), "", "a position has fewer than two ordinates"},
		{"too flat", polygonText(`[[0,0],[1,0],[1,1],[0,0]]`), "0", "stands where a Polygon has an array"},
		{"too deep", polygonText(`[` + square + `]`), "", "coordinates are nested deeper than those of a Polygon"},
		{"polygon as multipolygon", `{"type":"MultiPolygon","coordinates":` + square + `}`, "0", "stands where a MultiPolygon has an array"},
		{"coordinates no array", polygonText(`7`), "7", "stands where a Polygon has an array"},
		{"coordinates null", polygonText(`null`), "null", "is not a number"},
		{"type twice", `{"type":"Polygon","type":"Polygon","coordinates":` + square + `}`, "type", "stands there twice"},
		{"coordinates twice", `{"type":"Polygon","coordinates":` + square + `,"coordinates":` + square + `}`, "coordinates", "stands there twice"},
		{"a crs of its own", `{"type":"Polygon","crs":{"x":1},"coordinates":` + square + `}`, `{"x":1}`, `is a "crs" of its own; only the file's counts`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			// The record after it is still read: its trouble is found, too.
			_, err := Decode(strings.NewReader(collection(feature("null"), feature(tt.geometry), feature("5"))), "f.geojson")
			want := []geo.BadRecord{{Record: 1, Value: tt.value, Why: tt.why}, {Record: 2, Value: "5", Why: "is not a geometry object"}}
			checkBad(t, err, want...)
		})
	}
}

func checkBad(t *testing.T, err error, want ...geo.BadRecord) {
	t.Helper()
	var bad *geo.BadFileError
	if !errors.As(err, &bad) {
		t.Fatalf("got %v, want a BadFileError", err)
	}
	if !slices.Equal(bad.Bad, want) {
		t.Errorf("got  %+v\nwant %+v", bad.Bad, want)
	}
}
