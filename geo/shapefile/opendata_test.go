package shapefile

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/geo"
	"rxsplit/internal/oracle"
)

// openData are layers of the Debian package r-cran-spdata (CC0). The counts are
// those of GDAL 3.6.2, which [TestOpenDataAsGDALReadsIt] repeats.
var openData = []struct {
	name                     string
	records, polygons, rings int
}{
	{"wheat", 500, 500, 500},
	{"NY8_utm18", 281, 281, 286},
	{"eire", 26, 27, 27},
	{"sids", 100, 108, 108},
}

// spData finds the folder of the package's shapefiles.
func spData(t testing.TB) string {
	t.Helper()
	return filepath.Dir(oracle.OpenData(t, "wheat.shp"))
}

func TestOpenData(t *testing.T) {
	dir := spData(t)
	for _, d := range openData {
		t.Run(d.name, func(t *testing.T) {
			layer := mustDecode(t, load(t, dir, d.name))
			s := &layer.Shapes
			if s.Len() != d.records || len(s.PolyEnds) != d.polygons || len(s.RingEnds) != d.rings {
				t.Errorf("%d records, %d polygons, %d rings; want %d, %d, %d", s.Len(), len(s.PolyEnds), len(s.RingEnds), d.records, d.polygons, d.rings)
			}
			if len(layer.Remarks) > 0 {
				t.Errorf("remarks %v, want none", layer.Remarks)
			}
		})
	}
}

// TestWheatTrialArea is the 500 plots' area in their own plane.
func TestWheatTrialArea(t *testing.T) {
	layer := mustDecode(t, load(t, spData(t), "wheat"))
	sum := 0.0
	for i := range layer.Shapes.Len() {
		sum += planar.Area(layer.Shapes.Shape(i))
	}
	if math.Abs(sum-4141.5) > 0.05 {
		t.Errorf("area %v, want 4141.5 as published, to its last digit", sum)
	}
}

// TestOpenDataAsGDALReadsIt compares every vertex, in order, within the rounding
// of GDAL's text: 1e-14 of the coordinate, far below a micrometer.
func TestOpenDataAsGDALReadsIt(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	dir := spData(t)
	for _, d := range openData {
		t.Run(d.name, func(t *testing.T) {
			layer := mustDecode(t, load(t, dir, d.name))
			want := ogrPolygons(t, filepath.Join(dir, d.name+".shp"))
			if len(want) != layer.Shapes.Len() {
				t.Fatalf("%d records, want %d", layer.Shapes.Len(), len(want))
			}
			for i, mp := range want {
				if got := layer.Shapes.Shape(i); !slices.EqualFunc(got, mp, samePolygon) {
					t.Errorf("record %d: %d polygons, want %d, or other vertices", i, len(got), len(mp))
				}
			}
		})
	}
}

func samePolygon(a, b orb.Polygon) bool {
	return slices.EqualFunc(a, b, func(r, q orb.Ring) bool { return slices.EqualFunc(r, q, samePoint) })
}

func samePoint(p, q orb.Point) bool {
	return math.Abs(p[0]-q[0]) <= 1e-14*math.Abs(p[0]) && math.Abs(p[1]-q[1]) <= 1e-14*math.Abs(p[1])
}

// ogrPolygons reads a layer's polygons by way of GDAL.
func ogrPolygons(t testing.TB, shp string) (list []orb.MultiPolygon) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "out.json")
	run(t, "ogr2ogr", "-q", "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=17", "-nlt", "PROMOTE_TO_MULTI", "-dim", "XY", "-a_srs", "EPSG:3857", out, shp)
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Features []struct {
			Geometry *struct{ Coordinates [][][]orb.Point }
		}
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	for _, f := range doc.Features {
		var mp orb.MultiPolygon
		if f.Geometry != nil {
			for _, rings := range f.Geometry.Coordinates {
				var polygon orb.Polygon
				for _, r := range rings {
					polygon = append(polygon, r)
				}
				mp = append(mp, polygon)
			}
		}
		list = append(list, mp)
	}
	return list
}

// TestOpenDataWrittenBack is the identity of reading and writing.
func TestOpenDataWrittenBack(t *testing.T) {
	dir := spData(t)
	for _, d := range openData {
		layer := mustDecode(t, load(t, dir, d.name))
		back := mustDecode(t, encoded(t, d.name, &layer.Shapes, rates()))
		if !sameShapes(&back.Shapes, &layer.Shapes) {
			t.Errorf("%s: other shapes after writing and reading", d.name)
		}
	}
}

func sameShapes(a, b *geo.Shapes) bool {
	return slices.Equal(a.Points, b.Points) && slices.Equal(a.RingEnds, b.RingEnds) &&
		slices.Equal(a.PolyEnds, b.PolyEnds) && slices.Equal(a.ShapeEnds, b.ShapeEnds)
}
