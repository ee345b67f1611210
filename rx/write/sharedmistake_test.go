package write_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A mistake about a format that our writer, its proof and our reader share goes past them
// all, and is found by the second reader. Each case builds the packages anew with every side
// of one fact changed, and writes the plans of another test.
func TestMistakeThatWriterAndReaderShare(t *testing.T) {
	if testing.Short() {
		t.Skip("builds packages anew")
	}
	type edit struct{ folder, from, to string }
	for name, c := range map[string]struct {
		edits []edit
		finds []string
	}{
		"a polygon's number is that of a polygon with Z; latitude stands before longitude": {
			[]edit{
				{"shapefile", "polygon   shapeType = 5", "polygon   shapeType = 15"},
				{"shapefile", "polygonZ  shapeType = 15", "polygonZ  shapeType = 5"},
				{"geojson", "append(appendFloat(append(dst, '['), p[0]), ',')", "append(appendFloat(append(dst, '['), p[1]), ',')"},
				{"geojson", "append(appendFloat(dst, p[1]), ']')", "append(appendFloat(dst, p[0]), ']')"},
				{"geojson", "!p.coordinate(want[0]) || !p.skip(\",\") || !p.coordinate(want[1])", "!p.coordinate(want[1]) || !p.skip(\",\") || !p.coordinate(want[0])"},
				{"geojson", "!c.ordinate(&p[0]) || !c.take(',') || !c.ordinate(&p[1])", "!c.ordinate(&p[1]) || !c.take(',') || !c.ordinate(&p[0])"},
			},
			[]string{
				"dry.shp: read by another decoder, go-shp, has not the header of a shapefile of polygons",
				"dry.geojson: zone 1: read by another decoder, jsontext, ring 1 of its polygon is not the one of the plan",
			},
		},
		"y stands before x": {
			[]edit{
				{"shapefile", "PutUint64(b, math.Float64bits(p[0]))", "PutUint64(b, math.Float64bits(p[1]))"},
				{"shapefile", "PutUint64(b[8:], math.Float64bits(p[1]))", "PutUint64(b[8:], math.Float64bits(p[0]))"},
				{"shapefile", "orb.Point{float64At(b, 0), float64At(b, 8)}", "orb.Point{float64At(b, 8), float64At(b, 0)}"},
				{"shapefile", "(b[16*k:]) != math.Float64bits(p[0])", "(b[16*k:]) != math.Float64bits(p[1])"},
				{"shapefile", "(b[16*k+8:]) != math.Float64bits(p[1])", "(b[16*k+8:]) != math.Float64bits(p[0])"},
			},
			[]string{"dry.shp: zone 1: read by another decoder, go-shp, ring 1 of its polygon is not the one of the plan"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			replace := map[string]string{}
			for _, e := range c.edits {
				change(t, t.TempDir(), replace, filepath.Join("..", "..", "geo", e.folder), e.from, e.to)
			}
			overlay := filepath.Join(t.TempDir(), "overlay.json")
			text, err := json.Marshal(map[string]any{"Replace": replace})
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(overlay, text, 0o666); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command("go", "test", "-overlay", overlay, "-run", "^TestWritesWhatThePlanSays$", ".").CombinedOutput()
			if err == nil {
				t.Fatalf("the plan was proved: %s", out)
			}
			for _, line := range strings.Split(string(out), "\n") {
				if strings.Contains(line, ".shp: ") || strings.Contains(line, ".geojson: ") {
					if !strings.Contains(line, "read by another decoder") {
						t.Errorf("our own decoder found it: %s", line)
					}
				}
			}
			for _, want := range c.finds {
				if !strings.Contains(string(out), want) {
					t.Errorf("got %s, want %q", out, want)
				}
			}
		})
	}
}

// change puts a changed copy of the one file of a folder that holds a text once into the
// overlay.
func change(t *testing.T, into string, replace map[string]string, folder, from, to string) {
	t.Helper()
	sources, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	changed := 0
	for _, source := range sources {
		source, err := filepath.Abs(source)
		if err != nil {
			t.Fatal(err)
		}
		read := source
		if copied, ok := replace[source]; ok {
			read = copied
		}
		text, err := os.ReadFile(read)
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), from); n > 0 && !strings.HasSuffix(source, "_test.go") {
			changed += n
			replace[source] = filepath.Join(into, filepath.Base(source))
			if err := os.WriteFile(replace[source], []byte(strings.Replace(string(text), from, to, 1)), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	if changed != 1 {
		t.Fatalf("%q stands %d times in %s, want once: change this test as the package was changed", from, changed, folder)
	}
}
