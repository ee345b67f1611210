package geojson_test

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"rxsplit/geo"
	"rxsplit/geo/geojson"
)

func ExampleDecode() {
	const text = `{"type": "FeatureCollection", "features": [
		{"type": "Feature", "properties": {"RATE": 120.50},
		 "geometry": {"type": "Polygon", "coordinates": [[[0,0], [1,0], [1,1]]]}}]}`

	layer, err := geojson.Decode(strings.NewReader(text), "zones.geojson")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(layer.Name, layer.Shapes.Shape(0))
	fmt.Printf("%s %s\n", layer.Attributes.Fields()[0].Name, layer.Attributes.Cell(0, 0).Text)
	fmt.Println(layer.Remarks[0].Rule)
	// Output:
	// zones [[[[0 0] [1 0] [1 1] [0 0]]]]
	// RATE 120.50
	// ring-closed
}

func ExampleDecode_badRecords() {
	const text = `{"type": "FeatureCollection", "features": [
		{"type": "Feature", "properties": {}, "geometry": {"type": "Point", "coordinates": [0,0]}},
		{"type": "Feature", "properties": {"RATE": 1, "RATE": 2}, "geometry": null}]}`

	_, err := geojson.Decode(strings.NewReader(text), "zones.geojson")
	fmt.Println(err)
	// Output:
	// zones.geojson: record 1: "Point" is not a polygon
	// zones.geojson: record 2: field RATE: "2" stands there twice
}

func ExampleWrite() {
	layer, err := geojson.Decode(strings.NewReader(
		`{"type": "Polygon", "coordinates": [[[0,0], [0,1], [1,1], [0,0]]]}`), "field.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	rate := geo.Column{Name: "RATE", JSON: func(dst []byte, row int) []byte {
		return strconv.AppendFloat(dst, 120.5, 'f', -1, 64)
	}}
	zone := func(row int) int64 { return int64(row + 1) }
	if err := geojson.Write(os.Stdout, "dry", &layer.Shapes, zone, []geo.Column{rate}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"type":"FeatureCollection","name":"dry","features":[
	// {"type":"Feature","id":1,"properties":{"RATE":120.5},"geometry":{"type":"Polygon","coordinates":[[[0,0],[1,1],[0,1],[0,0]]]}}
	// ]}
}
