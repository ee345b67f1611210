package geojson

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"rxsplit/geo"
)

// What is written reads back with the same bits, ends, ids of kinds and cells,
// if the winding is that of RFC 7946 already.
func TestWriteThenReadIsTheIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes := anyShapes(t)
		texts := make([][]byte, shapes.Len())
		for i := range texts {
			texts[i] = quoted(rapid.String().Draw(t, "text"))
		}
		number := func(dst []byte, row int) []byte { return appendFloat(dst, float64(row)/7) }
		cols := []geo.Column{
			{Name: rapid.String().Draw(t, "name") + "1", JSON: number},
			{Name: "text", JSON: func(dst []byte, row int) []byte { return append(dst, texts[row]...) }},
		}
		var b bytes.Buffer
		if err := Write(&b, "x", shapes, nil, cols); err != nil {
			t.Fatal(err)
		}
		block := rapid.SampledFrom([]int{1, 50, 1000, blockSize}).Draw(t, "block")
		l, err := decode(bytes.NewReader(b.Bytes()), "x.geojson", block, 2)
		if err != nil {
			t.Fatalf("%v\n%s", err, b.Bytes())
		}
		if err := sameShapes(&l.Shapes, shapes); err != nil {
			t.Fatal(err)
		}
		for i := range shapes.Len() {
			if got, want := l.Attributes.Cell(i, 0), number(nil, i); got.Kind != geo.Number || !bytes.Equal(got.Text, want) {
				t.Fatalf("record %d: got %s %q, want %q", i, got.Kind, got.Text, want)
			}
			var c cursor
			if got, want := l.Attributes.Cell(i, 1), c.unquote(nil, texts[i]); got.Kind != geo.Text || !bytes.Equal(got.Text, want) {
				t.Fatalf("record %d: got %s %q, want %q", i, got.Kind, got.Text, want)
			}
		}
	})
}

func sameShapes(got, want *geo.Shapes) error {
	if g, w := fmt.Sprint(got.RingEnds, got.PolyEnds, got.ShapeEnds), fmt.Sprint(want.RingEnds, want.PolyEnds, want.ShapeEnds); g != w {
		return fmt.Errorf("ends %s, want %s", g, w)
	}
	for i, p := range want.Points {
		q := got.Points[i]
		if math.Float64bits(p[0]) != math.Float64bits(q[0]) || math.Float64bits(p[1]) != math.Float64bits(q[1]) {
			return fmt.Errorf("point %d: %v, want %v", i, q, p)
		}
	}
	return nil
}

// anyShapes draws records of polygons with holes, wound as RFC 7946 has them.
func anyShapes(t *rapid.T) *geo.Shapes {
	ordinate := rapid.OneOf(rapid.Float64Range(-180, 180), rapid.Float64Range(-1e-5, 1e-5), rapid.Float64Range(-1e150, 1e150))
	ring := func(hole bool) orb.Ring {
		for {
			var r orb.Ring
			for range rapid.IntRange(3, 6).Draw(t, "points") {
				r = append(r, orb.Point{ordinate.Draw(t, "x"), ordinate.Draw(t, "y")})
			}
			r = append(r, r[0])
			if !threeDistinct(r) {
				continue
			}
			if a := signedArea(r); a < 0 != hole && a != 0 {
				r.Reverse()
			}
			return r
		}
	}
	var s geo.Shapes
	for range rapid.IntRange(0, 5).Draw(t, "records") {
		var mp orb.MultiPolygon
		for range rapid.IntRange(0, 3).Draw(t, "polygons") {
			polygon := orb.Polygon{ring(false)}
			for range rapid.IntRange(0, 2).Draw(t, "holes") {
				polygon = append(polygon, ring(true))
			}
			mp = append(mp, polygon)
		}
		s.Append(mp)
	}
	return &s
}
