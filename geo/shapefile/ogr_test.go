package shapefile

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"rxsplit/geo"
	"rxsplit/internal/oracle"
)

// ogrFiles are the layers in testdata, with the remarks they are to raise.
var ogrFiles = []struct {
	name    string
	remarks []string
	deleted []int
}{
	{"plain", []string{"overflow"}, nil},
	{"z", []string{"z-dropped", "overflow"}, nil},
	{"m", []string{"m-dropped", "overflow"}, nil},
	{"zm", []string{"z-dropped", "m-dropped", "overflow"}, nil},
	{"deleted", nil, []int{1}},
	{"utf8", nil, nil},
	{"cp1252", nil, nil},
	{"latin1", nil, nil},
	{"cp437", nil, nil},
	{"cp850", nil, nil},
}

func TestReadsWhatGDALReads(t *testing.T) {
	for _, file := range ogrFiles {
		t.Run(file.name, func(t *testing.T) {
			layer := mustDecode(t, load(t, "testdata", file.name))
			want, err := os.ReadFile(filepath.Join("testdata", file.name+".csv"))
			if err != nil {
				t.Fatal(err)
			}
			compareCSV(t, layer, string(want))
			if got := rules(layer.Remarks); !slices.Equal(got, file.remarks) {
				t.Errorf("remarks %v, want %v", got, file.remarks)
			}
			if !slices.Equal(layer.Deleted, file.deleted) {
				t.Errorf("deleted %v, want %v", layer.Deleted, file.deleted)
			}
			for _, i := range file.deleted {
				if !layer.Shapes.Empty(i) {
					t.Errorf("deleted record %d has a polygon", i)
				}
			}
		})
	}
}

func TestTestdataIsWhatGDALReadsNow(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	for _, file := range ogrFiles {
		layer := mustDecode(t, load(t, "testdata", file.name))
		compareCSV(t, layer, ogrCSV(t, filepath.Join("testdata", file.name+".shp"), file.name))
	}
}

func TestFieldsOfTestdata(t *testing.T) {
	want := []geo.Field{
		{Name: "id", Kind: geo.Number, Width: 9},
		{Name: "RATE", Kind: geo.Number, Width: 24, Decimals: 15},
		{Name: "NAME", Kind: geo.Text, Width: 80},
		{Name: "WHEN", Kind: geo.Date, Width: 8},
	}
	layer := mustDecode(t, load(t, "testdata", "plain"))
	if got := layer.Attributes.Fields(); !slices.Equal(got, want) {
		t.Errorf("fields %+v, want %+v", got, want)
	}
	if !strings.HasPrefix(layer.System, "PROJCS[") {
		t.Errorf("system %q is not the .prj's text", layer.System)
	}
	if got := mustDecode(t, load(t, "testdata", "cp850")).Attributes.Fields()[1].Name; got != "Größe" {
		t.Errorf("field name %q, want Größe", got)
	}
}

// TestGDALReadsWhatIsWritten has shells and holes wound either way, several parts,
// null shapes and null cells. Coordinates are eighths, so that WKT has all digits.
func TestGDALReadsWhatIsWritten(t *testing.T) {
	oracle.Tool(t, "ogr2ogr")
	shapes := randomShapes(rand.New(rand.NewPCG(1, 2)), 300)
	f := encoded(t, "written", shapes, ratesWithNulls())
	f.Prj = load(t, "testdata", "plain").Prj
	shp := save(t, t.TempDir(), f)
	layer := mustDecode(t, f)
	if len(layer.Remarks) > 0 {
		t.Errorf("remarks about our own file: %v", layer.Remarks)
	}
	compareCSV(t, layer, ogrCSV(t, shp, "written"))

	copied := filepath.Join(t.TempDir(), "copied.shp")
	run(t, "ogr2ogr", "-q", "-lco", "ENCODING=UTF-8", copied, shp)
	back := mustDecode(t, load(t, filepath.Dir(copied), "copied"))
	if !sameShapes(&back.Shapes, &layer.Shapes) {
		t.Error("a copy by GDAL has other polygons")
	}
}

// randomShapes makes records of up to three polygons with up to three holes each.
func randomShapes(rnd *rand.Rand, n int) *geo.Shapes {
	s := &geo.Shapes{}
	eighth := func(limit int) float64 { return float64(rnd.IntN(limit)) / 8 }
	for i := range n {
		var mp orb.MultiPolygon
		for p := range rnd.IntN(4) {
			x, y := 500000+float64(100*p), 4500000+float64(100*i)
			shell := orb.Ring{{x, y}, {x + eighth(8), y + 50}, {x + 50 + eighth(80), y + 50 + eighth(80)}, {x + 60, y + eighth(8)}, {x, y}}
			polygon := orb.Polygon{turned(rnd, shell)}
			for h := range rnd.IntN(4) {
				polygon = append(polygon, turned(rnd, square(x+10+float64(10*h), y+20, 5+eighth(8))))
			}
			mp = append(mp, polygon)
		}
		s.Append(mp)
	}
	return s
}

func turned(rnd *rand.Rand, r orb.Ring) orb.Ring {
	if rnd.IntN(2) == 0 {
		return reversed(r)
	}
	return r
}

func ratesWithNulls() []geo.Column {
	cols := rates()
	text := cols[1].Text
	cols[1].Text = func(dst []byte, row int) []byte {
		if row%7 == 3 {
			return dst
		}
		return text(dst, row)
	}
	return cols
}

// compareCSV wants a layer to hold what GDAL's table says: records, cells,
// polygons vertex by vertex, and the plane area within 1e-9 of it, which is what
// shoelace sums in UTM coordinates differ by.
func compareCSV(t *testing.T, layer *geo.Layer, table string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	head, rows := rows[0], rows[1:]
	if want := len(rows) + len(layer.Deleted); layer.Shapes.Len() != want {
		t.Fatalf("%d records, want %d", layer.Shapes.Len(), want)
	}
	fields := layer.Attributes.Fields()
	for _, row := range rows {
		record, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		if got := wkt(layer.Shapes.Shape(record)); got != pointZero.ReplaceAllString(row[0], "$1$2") {
			t.Errorf("record %d: got  %s\nwant %s", record, got, row[0])
		}
		for f, field := range fields {
			if field.Name != head[f+2] {
				t.Fatalf("field %d is %q, want %q", f, field.Name, head[f+2])
			}
			if got, want := layer.Attributes.Cell(record, f), row[f+2]; !sameCell(got, want) {
				t.Errorf("record %d, %s: %v %q, want %q", record, field.Name, got.Kind, got.Text, want)
			}
		}
		want, err := strconv.ParseFloat(row[len(row)-1], 64)
		if got := planar.Area(layer.Shapes.Shape(record)); err != nil || math.Abs(got-want) > 1e-9*want {
			t.Errorf("record %d: area %v, want %v", record, got, row[len(row)-1])
		}
	}
}

// pointZero is how GDAL ends some whole coordinates.
var pointZero = regexp.MustCompile(`(\d)\.0([ ,)])`)

func sameCell(c geo.Cell, want string) bool {
	switch c.Kind {
	case geo.Null:
		return want == ""
	case geo.Number:
		a, err := strconv.ParseFloat(string(c.Text), 64)
		b, err2 := strconv.ParseFloat(want, 64)
		return err == nil && err2 == nil && a == b
	case geo.Date:
		return string(c.Text) == strings.ReplaceAll(want, "/", "")
	}
	return string(c.Text) == want
}

// wkt prints polygons as GDAL does: coordinates with up to 15 digits.
func wkt(mp orb.MultiPolygon) string {
	polygons := make([]string, len(mp))
	for i, polygon := range mp {
		rings := make([]string, len(polygon))
		for r, ring := range polygon {
			points := make([]string, len(ring))
			for k, p := range ring {
				points[k] = fmt.Sprintf("%.15g %.15g", p[0], p[1])
			}
			rings[r] = "(" + strings.Join(points, ",") + ")"
		}
		polygons[i] = "(" + strings.Join(rings, ",") + ")"
	}
	switch len(mp) {
	case 0:
		return ""
	case 1:
		return "POLYGON " + polygons[0]
	}
	return "MULTIPOLYGON (" + strings.Join(polygons, ",") + ")"
}
