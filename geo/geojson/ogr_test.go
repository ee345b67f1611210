package geojson

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkt"

	"rxsplit/geo"
	"rxsplit/internal/oracle"
)

// ogrRecord is a feature as ogrinfo prints it.
type ogrRecord struct {
	id     string
	fields map[string]string // a field that is null is not printed
	shape  orb.MultiPolygon
}

var (
	ogrHead  = regexp.MustCompile(`^OGRFeature\(.*\):(\d+)$`)
	ogrField = regexp.MustCompile(`^  (\S+) \(\w+\) = (.*)$`)
)

func parseOgrinfo(t *testing.T, out string) (records []ogrRecord) {
	t.Helper()
	for line := range strings.Lines(out) {
		line = strings.TrimSuffix(line, "\n")
		if m := ogrHead.FindStringSubmatch(line); m != nil {
			records = append(records, ogrRecord{id: m[1], fields: make(map[string]string)})
		} else if m := ogrField.FindStringSubmatch(line); m != nil {
			records[len(records)-1].fields[m[1]] = m[2]
		} else if strings.HasPrefix(line, "  ") {
			g, err := wkt.Unmarshal(strings.TrimSpace(line))
			if err != nil {
				t.Fatalf("%v: %.100s", err, line)
			}
			records[len(records)-1].shape = shapeOf(t, g)
		}
	}
	return records
}

func shapeOf(t *testing.T, g geom.T) (mp orb.MultiPolygon) {
	t.Helper()
	switch g := g.(type) {
	case *geom.Polygon:
		var polygon orb.Polygon
		for i := range g.NumLinearRings() {
			var ring orb.Ring
			for _, c := range g.LinearRing(i).Coords() {
				ring = append(ring, orb.Point{c[0], c[1]})
			}
			polygon = append(polygon, ring)
		}
		return orb.MultiPolygon{polygon}
	case *geom.MultiPolygon:
		for i := range g.NumPolygons() {
			mp = append(mp, shapeOf(t, g.Polygon(i))...)
		}
		return mp
	}
	t.Fatalf("ogrinfo prints a %T", g)
	return nil
}

// checkAgainstOGR compares a layer with what ogrinfo says: count, fields, values,
// and each float of the coordinates.
func checkAgainstOGR(t *testing.T, l *geo.Layer, out string) {
	t.Helper()
	records := parseOgrinfo(t, out)
	if len(records) != l.Shapes.Len() || len(records) == 0 {
		t.Fatalf("ogrinfo finds %d records, we %d", len(records), l.Shapes.Len())
	}
	for i, r := range records {
		if got, want := fmt.Sprint(l.Shapes.Shape(i)), fmt.Sprint(r.shape); got != want {
			t.Errorf("record %d: got  %s\nwant %s", i+1, got, want)
		}
		found := 0
		for f, field := range l.Attributes.Fields() {
			c := l.Attributes.Cell(i, f)
			if c.Kind == geo.Null {
				continue
			}
			found++
			want, ok := r.fields[field.Name]
			if c.Kind == geo.Number {
				a, errA := strconv.ParseFloat(string(c.Text), 64)
				b, errB := strconv.ParseFloat(want, 64)
				// ogrinfo prints 15 digits of a real.
				ok = ok && errA == nil && errB == nil && math.Abs(a-b) <= 1e-14*math.Abs(b)
			} else {
				ok = ok && string(c.Text) == want
			}
			if !ok {
				t.Errorf("record %d: %s: got %s, want %s", i+1, field.Name, c.Text, want)
			}
		}
		if found != len(r.fields) {
			t.Errorf("record %d: %d values, want %v", i+1, found, r.fields)
		}
	}
}

func TestFilesOfOGR(t *testing.T) {
	for _, tt := range []struct{ file, system string }{
		{"utm.geojson", "urn:ogc:def:crs:EPSG::32615"},
		{"lonlat.geojson", ""},
		{"lines.geojsonl", ""},
		{"sequence.geojsonl", ""},
	} {
		t.Run(tt.file, func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join("testdata", tt.file))
			if err != nil {
				t.Fatal(err)
			}
			out, err := os.ReadFile(filepath.Join("testdata", tt.file+".ogrinfo.txt"))
			if err != nil {
				t.Fatal(err)
			}
			l, err := Decode(bytes.NewReader(text), tt.file)
			if err != nil {
				t.Fatal(err)
			}
			checkAgainstOGR(t, l, string(out))
			if l.System != tt.system {
				t.Errorf("system %q, want %q", l.System, tt.system)
			}
			if got := fmt.Sprint(l.Attributes.Fields()); got != "[{RATE number 0 0 } {ZONE number 0 0 } {NAME text 0 0 }]" {
				t.Errorf("fields %s", got)
			}
			if len(l.Remarks) != 1 || l.Remarks[0].Rule != "z-dropped" || fmt.Sprint(l.Remarks[0].Records) != "[4]" {
				t.Errorf("remarks %v, want z-dropped of record 4", l.Remarks)
			}
		})
	}
}

// ogrinfo runs the tool on a text.
func ogrinfo(t *testing.T, text []byte) string {
	t.Helper()
	tool := oracle.Tool(t, "ogrinfo")
	file := filepath.Join(t.TempDir(), "written.geojson")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-ro", "-al", "-q", "--config", "OGR_WKT_PRECISION", "17", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out)
}

func TestOGRReadsWhatWeWrite(t *testing.T) {
	var s geo.Shapes
	s.Append(orb.MultiPolygon{{{{-93.1, 41.9}, {-93.1, 42}, {-93, 42}, {-93.1, 41.9}}, {{-93.08, 41.95}, {-93.05, 41.98}, {-93.07, 41.98}, {-93.08, 41.95}}}})
	s.Append(nil)
	s.Append(orb.MultiPolygon{{{{0, 0}, {1e-7, 0}, {1. / 3, 2e-9}, {0, 0}}}, {{{5, 5}, {6, 5}, {6, 6}, {5, 5}}}})
	name := [...]string{`"Größe" \ 1`, "日本", "tab\tand more"}
	cols := []geo.Column{
		{Name: "RATE", JSON: func(dst []byte, row int) []byte { return appendFloat(dst, 120.0/float64(row+7)) }},
		{Name: "ZONE", JSON: func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(row+1), 10) }},
		{Name: "NAME", JSON: func(dst []byte, row int) []byte { return append(dst, quoted(name[row])...) }},
	}
	id := func(row int) int64 { return int64(10 * (row + 1)) }
	text := []byte(written(t, "dry", &s, id, cols))
	out := ogrinfo(t, text)
	checkAgainstOGR(t, read(t, string(text)), out)
	for i, r := range parseOgrinfo(t, out) {
		if r.id != strconv.Itoa(10*(i+1)) {
			t.Errorf("record %d has the id %s", i+1, r.id)
		}
	}
	if !strings.Contains(out, "Layer name: dry\n") {
		t.Errorf("the layer's name is not dry:\n%.100s", out)
	}

	shapes, gridCols := grid(10_000)
	text = []byte(written(t, "grid", shapes, id, gridCols))
	checkAgainstOGR(t, read(t, string(text)), ogrinfo(t, text))
}
