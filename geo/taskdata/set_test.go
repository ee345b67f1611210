package taskdata

import (
	"bytes"
	"encoding/hex"
	"maps"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// exampleCells are the counts of the example's dry grid: its south row goes 0 100 100 150
// 150 lb/ac, its north-east cell is 0.
var exampleCells = []int32{
	0, 11209, 11209, 16813, 16813,
	11209, 11209, 16813, 16813, 22417,
	11209, 16813, 16813, 22417, 22417,
	11209, 16813, 16813, 22417, 0,
}

func exampleLiquid() []int32 {
	liquid := make([]int32, len(exampleCells))
	for i, n := range exampleCells {
		if n > 0 {
			liquid[i] = 935396
		}
	}
	return liquid
}

// example is the set of testdata/example.xml.
func example(t *testing.T) Files {
	t.Helper()
	text, err := os.ReadFile("testdata/example.xml")
	if err != nil {
		t.Fatal(err)
	}
	dry := Grid{Type: 2, Values: 1, Columns: 5, Rows: 4, Counts: exampleCells}
	liquid := dry
	liquid.Counts = exampleLiquid()
	return Files{Main: text, "GRD00001.bin": dry.bytes(), "GRD00002.bin": liquid.bytes()}
}

// inFolder are the files of a set as they lie on a stick.
func inFolder(files Files) map[string][]byte {
	out := map[string][]byte{}
	for name, data := range files {
		out[Folder+"/"+name] = data
	}
	return out
}

func TestDecodesTheExample(t *testing.T) {
	files := example(t)
	if faults := Check(inFolder(files)); len(faults) > 0 {
		t.Errorf("faults: %v", faults)
	}
	// The bytes of the south row, as they must stand on the disk.
	if got := hex.EncodeToString(files["GRD00001.bin"][:20]); got != "00000000c92b0000c92b0000ad410000ad410000" {
		t.Errorf("south row is %s", got)
	}
	if got := hex.EncodeToString(files["GRD00002.bin"][:8]); got != "00000000e4450e00" {
		t.Errorf("liquid begins %s", got)
	}
	set, remarks, err := Decode(files)
	if err != nil || len(remarks) > 0 {
		t.Fatal(err, remarks)
	}
	if set.Fields[0].Area != 2520*unit.SquareMeter || len(set.Fields[0].Boundary) != 1 || set.Fields[0].Boundary[0][0][1] != (orb.Point{-90.39925, 47.35}) {
		t.Errorf("field is %+v", set.Fields[0])
	}
	if task := set.Tasks[1]; task.Name != "Liquid 10 gal/ac" || !slices.Equal(task.Grid.Counts, exampleLiquid()) || task.Zones[1].Values[0].DDI != SetpointVolumePerArea {
		t.Errorf("task 2 is %+v", task)
	}
	again, _, err := Decode(Encode(set))
	if err != nil || !reflect.DeepEqual(set, again) {
		t.Errorf("written and read back:\n%+v\nwant\n%+v (%v)", again, set, err)
	}
	if faults := Check(inFolder(Encode(set))); len(faults) > 0 {
		t.Errorf("faults: %v", faults)
	}
}

// The first cell is the one in the south-west; then it goes east, then north. Every other
// order puts some count elsewhere.
func TestFirstCellIsSouthWest(t *testing.T) {
	g := &Grid{Type: 2, Values: 1, Zone: 1, Columns: 3, Rows: 2, Counts: []int32{1, 2, 3, 4, 5, 6}}
	task := Task{Grid: g}
	for _, c := range []struct {
		row, column int
		want        int32
	}{{0, 0, 1}, {0, 2, 3}, {1, 0, 4}, {1, 2, 6}} {
		if got, _ := task.Count(c.row, c.column, 0); got != c.want {
			t.Errorf("row %d, column %d from the south-west: %d, want %d", c.row, c.column, got, c.want)
		}
	}
	if got := g.bytes(); !bytes.Equal(got[:8], []byte{1, 0, 0, 0, 2, 0, 0, 0}) {
		t.Errorf("bytes begin with % x", got[:8])
	}
}

// rich is a set with all that is written: both grid types, several values a cell,
// polygons with holes and parts, names that need escapes.
func rich() *Set {
	square := func(x, y, d float64) orb.Ring {
		to := orb.Point{Decimals(x+d, 9), Decimals(y+d, 9)}
		return orb.Ring{{x, y}, {to[0], y}, to, {x, to[1]}, {x, y}}
	}
	two := []Value{{DDI: SetpointMassPerArea, Product: "PDT1", Shown: "VPN1"}, {DDI: SetpointVolumePerArea, Product: "PDT2"}}
	one := func(n int32) []Value { return []Value{{DDI: SetpointMassPerArea, Count: n, Product: "PDT1"}} }
	return &Set{
		Maker: "rxsplit", MakerVersion: "1", Grower: `A & "B" <C>`, Farm: "Übersee",
		Fields: []Field{{ID: "PFD1", Name: "F", Area: 100 * unit.SquareMeter, Boundary: orb.MultiPolygon{
			{square(-90, 47, 0.01), square(-89.998, 47.002, 0.001)}, {square(-90.02, 47, 0.01)},
		}}},
		Products: []Product{{"PDT1", "Dry", MassContent}, {"PDT2", "Mix", VolumeContent}},
		Shown:    []Presentation{{"VPN1", "0.008921791", 1, "lb/ac"}},
		Tasks: []Task{
			{ID: "TSK1", Field: "PFD1", Status: 1, Zones: []Zone{{Code: 0, Values: two}, {Code: 1, Name: "grid", Values: two}},
				Grid: &Grid{South: 47, West: -90, Height: 0.0001, Width: 0.00012, Columns: 2, Rows: 1, File: "GRD00001", Type: 2, Zone: 1, Values: 2, Counts: []int32{11209, 935396, 0, 0}}},
			{ID: "TSK2", Field: "PFD1", Status: 1, Default: None, Lost: None, Outside: None, Zones: []Zone{{Code: 0, Values: one(0)}, {Code: 7, Values: one(22417)}},
				Grid: &Grid{South: 47, West: -90, Height: 0.0001, Width: 0.00012, Columns: 2, Rows: 2, File: "GRD00002", Type: 1, Zone: None, Codes: []byte{0, 7, 7, 0}}},
			{ID: "TSK3", Field: "PFD1", Status: 1, Zones: []Zone{
				{Code: 0, Values: one(0)},
				{Code: 1, Values: one(5), Ground: orb.MultiPolygon{{square(-90, 47, 0.01), square(-89.998, 47.002, 0.001)}}},
			}},
		},
	}
}

func TestWriteAndReadAreOneAnothersInverse(t *testing.T) {
	want := rich()
	files := Encode(want)
	if names := slices.Sorted(maps.Keys(files)); !slices.Equal(names, []string{"GRD00001.bin", "GRD00002.bin", Main}) {
		t.Errorf("files are %q", names)
	}
	if faults := Check(inFolder(files)); len(faults) > 0 {
		t.Errorf("faults: %v", faults)
	}
	got, remarks, err := Decode(files)
	if err != nil || len(remarks) > 0 {
		t.Fatal(err, remarks)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read back:\n%+v\nwant\n%+v", got, want)
	}
	if !reflect.DeepEqual(Encode(want), files) {
		t.Error("the same set gives other bytes")
	}
}

func TestTextsAreMadeFit(t *testing.T) {
	for in, want := range map[string]string{
		"plain":                 "plain",
		"a\x00b\nc":             "abc",
		strings.Repeat("ü", 40): strings.Repeat("ü", 32),
		"bad \xff byte":         "bad  byte",
		" " + "trimmed ":        "trimmed",
		"line\u0085\uFFFF":      "line",
	} {
		if got := Text(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}
