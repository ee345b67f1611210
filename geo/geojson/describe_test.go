package geojson

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/geo"
)

// describe prints all that a layer holds, so that two of them can be compared.
func describe(l *geo.Layer, err error) string {
	if err != nil {
		return "error: " + err.Error()
	}
	var b strings.Builder
	fmt.Fprintf(&b, "layer %q, system %q, deleted %v\n", l.Name, l.System, l.Deleted)
	for _, r := range l.Remarks {
		fmt.Fprintf(&b, "remark %s %v %d\n", r.Rule, r.Records, r.Count)
	}
	for i := range l.Shapes.Len() {
		fmt.Fprintf(&b, "%v", l.Shapes.Shape(i))
		for f, field := range l.Attributes.Fields() {
			c := l.Attributes.Cell(i, f)
			fmt.Fprintf(&b, " %s(%s)=%s:%q", field.Name, field.Kind, c.Kind, c.Text)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func read(t *testing.T, text string) *geo.Layer {
	t.Helper()
	l, err := Decode(strings.NewReader(text), "f.geojson")
	if err != nil {
		t.Fatalf("%s\n%.300s", err, text)
	}
	return l
}

// cells prints the properties of a record, fields that it lacks left out.
func cells(l *geo.Layer, record int) string {
	var out []string
	for f, field := range l.Attributes.Fields() {
		if c := l.Attributes.Cell(record, f); c.Kind != geo.Null {
			out = append(out, fmt.Sprintf("%s=%s:%s", field.Name, c.Kind, c.Text))
		}
	}
	return strings.Join(out, " ")
}

// collection wraps features into a FeatureCollection.
func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",\n") + `]}`
}

// feature wraps a geometry into a feature.
func feature(geometry string) string {
	return `{"type":"Feature","properties":null,"geometry":` + geometry + `}`
}

func polygonText(coordinates string) string {
	return `{"type":"Polygon","coordinates":` + coordinates + `}`
}

// The square is counter-clockwise, as RFC 7946 §3.1.6 has shells.
const square = `[[[0,0],[1,0],[1,1],[0,1],[0,0]]]`
