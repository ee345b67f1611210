package shapefile

import (
	"bytes"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	shp "github.com/jonas-p/go-shp"
	"github.com/paulmach/orb"
)

// TestReadsWhatGoShpReads compares with go-shp v0.1.1 on the same bytes: every
// point in the order of the file, every cell.
func TestReadsWhatGoShpReads(t *testing.T) {
	files := map[string]Files{
		"random": encoded(t, "random", randomShapes(rand.New(rand.NewPCG(13, 14)), 500), rates()),
		"grid":   encoded(t, "grid", grid(5000), rates()),
	}
	for _, name := range []string{"plain", "m", "zm", "utf8"} { // it can't read Z without M
		files[name] = load(t, "testdata", name)
	}
	for name, f := range files {
		layer := mustDecode(t, f)
		fields := len(layer.Attributes.Fields())
		r := shp.SequentialReaderFromExt(io.NopCloser(bytes.NewReader(f.Shp)), io.NopCloser(bytes.NewReader(f.Dbf)))
		record := 0
		for ; r.Next(); record++ {
			_, shape := r.Shape()
			var got []orb.Point
			for _, p := range layer.Shapes.Shape(record) {
				for _, ring := range p {
					got = append(got, ring...)
				}
			}
			want := goShpPoints(shape)
			if len(got) != len(want) {
				t.Fatalf("%s, record %d: %d points, want %d", name, record, len(got), len(want))
			}
			for i, p := range want {
				if got[i] != (orb.Point{p.X, p.Y}) {
					t.Fatalf("%s, record %d: point %d is %v, want %v", name, record, i, got[i], p)
				}
			}
			for c := range fields {
				want := r.Attribute(c)
				if strings.Trim(want, "*") == "" || want == "00000000" {
					want = "" // null
				}
				if got := string(layer.Attributes.Cell(record, c).Text); got != want {
					t.Fatalf("%s, record %d, field %d: %q, want %q", name, record, c, got, want)
				}
			}
		}
		if r.Err() != nil || record != layer.Shapes.Len() {
			t.Errorf("%s: %d records, want %d: %v", name, layer.Shapes.Len(), record, r.Err())
		}
	}
}

func goShpPoints(shape shp.Shape) []shp.Point {
	switch s := shape.(type) {
	case *shp.Polygon:
		return s.Points
	case *shp.PolygonZ:
		return s.Points
	case *shp.PolygonM:
		return s.Points
	}
	return nil
}
