package geojson

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"rxsplit/geo"
)

// plainCollection is a FeatureCollection as encoding/json reads it, in one piece.
type plainCollection struct {
	Type     string
	Features []struct {
		Geometry   *plainGeometry
		Properties map[string]json.RawMessage
	}
}

type plainGeometry struct {
	Type        string
	Coordinates json.RawMessage
	Geometries  []*plainGeometry
}

// shape returns the geometry without empty polygons, rings closed.
func (g *plainGeometry) shape() (mp orb.MultiPolygon, err error) {
	if g == nil {
		return nil, nil
	}
	var polygons [][][][]float64
	switch g.Type {
	case "Polygon":
		polygons = make([][][][]float64, 1)
		err = json.Unmarshal(g.Coordinates, &polygons[0])
	case "MultiPolygon":
		err = json.Unmarshal(g.Coordinates, &polygons)
	}
	for _, rings := range polygons {
		if len(rings) == 0 || len(rings) == 1 && len(rings[0]) == 0 {
			continue
		}
		var polygon orb.Polygon
		for _, positions := range rings {
			var ring orb.Ring
			for _, p := range positions {
				ring = append(ring, orb.Point{p[0], p[1]})
			}
			if ring[0] != ring[len(ring)-1] {
				ring = append(ring, ring[0])
			}
			polygon = append(polygon, ring)
		}
		mp = append(mp, polygon)
	}
	for _, member := range g.Geometries {
		more, err := member.shape()
		if err != nil {
			return nil, err
		}
		mp = append(mp, more...)
	}
	return mp, err
}

// checkPlain compares a layer with what encoding/json reads from its text.
func checkPlain(l *geo.Layer, text []byte) error {
	var plain plainCollection
	if err := json.Unmarshal(text, &plain); err != nil {
		return err
	}
	if l.Shapes.Len() != len(plain.Features) {
		return fmt.Errorf("%d records, encoding/json finds %d", l.Shapes.Len(), len(plain.Features))
	}
	for i, f := range plain.Features {
		shape, err := f.Geometry.shape()
		if err != nil {
			return err
		}
		if got, want := fmt.Sprint(l.Shapes.Shape(i)), fmt.Sprint(shape); got != want {
			return fmt.Errorf("record %d: %s, encoding/json finds %s", i+1, got, want)
		}
		for c, field := range l.Attributes.Fields() {
			if err := checkCell(l.Attributes.Cell(i, c), f.Properties[field.Name]); err != nil {
				return fmt.Errorf("record %d: %s: %w", i+1, field.Name, err)
			}
			delete(f.Properties, field.Name)
		}
		if len(f.Properties) > 0 {
			return fmt.Errorf("record %d: no field for %v", i+1, f.Properties)
		}
	}
	return nil
}

func checkCell(got geo.Cell, want json.RawMessage) error {
	text, kind := string(want), geo.Null
	if len(want) > 0 {
		kind = kindOf(want)
	}
	switch kind {
	case geo.Null:
		text = ""
	case geo.Text:
		if err := json.Unmarshal(want, &text); err != nil {
			return err
		}
	case geo.Other:
		text = text[:min(len(text), maxOther)]
	}
	if got.Kind != kind || string(got.Text) != text {
		return fmt.Errorf("%s %q, encoding/json finds %s %q", got.Kind, got.Text, kind, text)
	}
	return nil
}

func TestDecodeAgreesWithEncodingJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var features []any
		shapes := anyShapes(t)
		for i := range shapes.Len() {
			properties := make(map[string]any)
			for range rapid.IntRange(0, 4).Draw(t, "properties") {
				properties[rapid.SampledFrom([]string{"RATE", "ZONE", "N\"", "日本", ""}).Draw(t, "name")] = anyValue(t, 2)
			}
			geometry := map[string]any{"type": "MultiPolygon", "coordinates": append(orb.MultiPolygon{}, shapes.Shape(i)...), "extra": anyValue(t, 3)}
			if rapid.Bool().Draw(t, "in a collection") {
				geometry = map[string]any{"type": "GeometryCollection", "geometries": []any{geometry, nil, geometry}}
			}
			features = append(features, map[string]any{"type": "Feature", "geometry": geometry, "properties": properties, "foreign": anyValue(t, 2)})
		}
		var text bytes.Buffer
		enc := json.NewEncoder(&text)
		enc.SetIndent("", rapid.SampledFrom([]string{"", "\t"}).Draw(t, "indent"))
		if err := enc.Encode(map[string]any{"type": "FeatureCollection", "features": append([]any{}, features...), "a": anyValue(t, 3), "z": anyValue(t, 3)}); err != nil {
			t.Skip(err)
		}
		block := rapid.SampledFrom([]int{1, 20, 1000, blockSize}).Draw(t, "block")
		l, err := decode(bytes.NewReader(text.Bytes()), "f", block, 2)
		if err == nil {
			err = checkPlain(l, text.Bytes())
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, text.Bytes())
		}
	})
}
