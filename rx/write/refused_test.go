package write_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// A layer that the disk no longer holds as it was planned, once all is written, is found
// before the folder gets its name, and nothing is left of it.
func TestWhatIsNotProvedIsNotNamed(t *testing.T) {
	for file, fromEnd := range map[string]int{ // in the last point, the last cell, the last piece
		"dry.shp": 3, "dry.dbf": 2, "liquid.geojson": 60, "dry.shx": 6,
	} {
		parent := t.TempDir()
		dir := filepath.Join(parent, "plan")
		job := planned(t, invent.FourZones(), rx.WetBoom)
		job.Stage = func(name string, _, _ int) {
			if name != "verify" {
				return
			}
			staged, err := filepath.Glob(filepath.Join(parent, ".plan.*", file))
			if err != nil || len(staged) != 1 {
				t.Fatalf("staged: %v %v", staged, err)
			}
			data, err := os.ReadFile(staged[0])
			if err != nil {
				t.Fatal(err)
			}
			data[len(data)-fromEnd] ^= 1
			if err := os.WriteFile(staged[0], data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := write.Plan(dir, job); err == nil {
			t.Errorf("%s: a byte changed and the plan was named", file)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Errorf("%s: the folder was made", file)
		}
		if rest := leftovers(t, dir); len(rest) > 0 {
			t.Errorf("%s: left behind: %v", file, rest)
		}
	}
}

// A layer beyond what a shapefile holds is refused before a byte is written. Sizes
// are told from counts, so the points need not be there.
func TestLayersBeyondAShapefileAreRefused(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	liquid := &job.Plan.Layers[1]
	liquid.Pieces = &geo.Shapes{RingEnds: []int32{1 << 27}, PolyEnds: []int32{1}, ShapeEnds: []int32{1}}
	liquid.PieceArea = liquid.PieceArea[:1]
	dir := filepath.Join(t.TempDir(), "plan")
	_, err := write.Plan(dir, job)
	var e *write.Error
	if !errors.As(err, &e) || !strings.HasPrefix(err.Error(), "liquid.shp: ") || e.Hint == "" {
		t.Errorf("got %v", err)
	}
	if rest := leftovers(t, dir); len(rest) > 0 {
		t.Errorf("left behind: %v", rest)
	}
}

// A file's name that leads elsewhere is no name.
func TestExtrasStayInTheFolder(t *testing.T) {
	for _, name := range []string{"../zones.csv", "sub/zones.csv", "/zones.csv", "..", "./zones.csv"} {
		job := planned(t, invent.FourZones(), rx.WetBoom)
		job.Extras[0].Name = name
		dir := filepath.Join(t.TempDir(), "plan")
		if _, err := write.Plan(dir, job); err == nil {
			t.Errorf("%s was written", name)
		}
		if rest := leftovers(t, dir); len(rest) > 0 {
			t.Errorf("%s: left behind: %v", name, rest)
		}
	}
}
