package read_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/shapefile"
	"rxsplit/geo/taskdata"
	"rxsplit/label/unit"
	"rxsplit/rx/read"
)

// terminalSet is a set of one task: a grid of 20 by 30 cells whose south half has 100 lb/ac
// and whose north half 200, all inside its field's boundary.
func terminalSet() *taskdata.Set {
	g := &taskdata.Grid{South: 47, West: -90, Height: 0.0001, Width: 0.00015, Columns: 20, Rows: 30, File: "GRD00001", Type: 2, Zone: 1, Values: 1}
	for cell := range g.Cells() {
		n := int32(11209)
		if cell/g.Columns >= 15 {
			n = 22417
		}
		g.Counts = append(g.Counts, n)
	}
	values := []taskdata.Value{{DDI: taskdata.SetpointMassPerArea, Product: "PDT1"}}
	return &taskdata.Set{
		Maker: "a", MakerVersion: "1",
		Fields: []taskdata.Field{{ID: "PFD1", Name: "F", Boundary: orb.MultiPolygon{{{
			{-90.00001, 46.99999}, {-89.99699, 46.99999}, {-89.99699, 47.00301}, {-90.00001, 47.00301}, {-90.00001, 46.99999},
		}}}}},
		Products: []taskdata.Product{{ID: "PDT1", Name: "Urea", Amount: taskdata.MassContent}},
		Tasks:    []taskdata.Task{{ID: "TSK1", Name: "spread", Field: "PFD1", Zones: []taskdata.Zone{{Code: 0, Values: values}, {Code: 1, Values: values}}, Grid: g}},
	}
}

// stick writes files into a folder TASKDATA, and returns that.
func stick(t *testing.T, files taskdata.Files) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), taskdata.Folder)
	if err := os.Mkdir(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestReadsTaskData(t *testing.T) {
	f, err := read.Open(stick(t, taskdata.Encode(terminalSet())), read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := read.Prescription(f, read.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Zones) != 2 || p.Fields[0].Name != "Urea" || p.Fields[0].Symbol != "kg/ha" || len(p.Findings) != 0 {
		t.Fatalf("%d zones, field %+v, findings %v", len(p.Zones), p.Fields[0], p.Findings)
	}
	// 11209 mg/m² are 100.004 lb/ac; the first zone is the one in the south.
	for i, want := range []unit.DryRate{100.0044, 199.9998} {
		if math.Abs(float64(p.Zones[i].Dry-want)) > 1e-4 {
			t.Errorf("zone %d: %v, want %v", i+1, p.Zones[i].Dry, want)
		}
	}
	if south := p.Place(0); south[1] > 47.0015 {
		t.Errorf("100 lb/ac lie at %v", south)
	}
	// 300 cells of 11.117 by 11.408 m each, by the length of a degree at 47 N (111 171 and 76 056 m).
	if want := 300 * 11.117 * 11.408; math.Abs(float64(p.Zones[0].Area/unit.SquareMeter)-want) > 0.001*want {
		t.Errorf("zone 1 has %v m², want %v", float64(p.Zones[0].Area/unit.SquareMeter), want)
	}
}

// An archive as people make it: the folder in another, what a system adds, and logs.
func TestReadsZippedTaskData(t *testing.T) {
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	add := func(name string, data []byte) {
		part, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		part.Write(data)
	}
	for name, data := range taskdata.Encode(terminalSet()) {
		add("Field/TASKDATA/"+name, data)
	}
	add("__MACOSX/Field/TASKDATA/._TASKDATA.XML", []byte{0, 5, 22, 7})
	add("Field/TASKDATA/._GRD00001.bin", []byte{0, 5, 22, 7})
	add("Field/._old.shp", []byte{0, 5, 22, 7}) // no shapefile
	add("Field/TASKDATA/TLG00001.bin", []byte{1})
	add("Field/readme.txt", []byte("hello"))
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "field.zip")
	if err := os.WriteFile(path, buf.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	f, err := read.Open(path, read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Layer.Shapes.Len() != 2 || f.Source.Format != "task data" || len(f.Source.Files) != 1 {
		t.Errorf("%d records, source %+v", f.Layer.Shapes.Len(), f.Source)
	}
}

// A comb of 400 by 400 cells packs into nothing: it is refused in an archive, unless that may
// hold more, and read from a folder.
func TestCombInAnArchive(t *testing.T) {
	set := terminalSet()
	set.Fields, set.Tasks[0].Field = nil, ""
	values := func(count int32) []taskdata.Value {
		return []taskdata.Value{{DDI: taskdata.SetpointMassPerArea, Count: count, Product: "PDT1"}}
	}
	set.Tasks[0].Zones = []taskdata.Zone{{Code: 0, Values: values(10000)}, {Code: 1, Values: values(20000)}}
	g := &taskdata.Grid{South: 47, West: -90, Height: 1e-4, Width: 1e-4, Columns: 400, Rows: 400, File: "GRD00001", Type: 1, Zone: taskdata.None}
	for cell := range 160_000 {
		g.Codes = append(g.Codes, byte(cell%2))
	}
	set.Tasks[0].Grid = g
	files := taskdata.Encode(set)
	at := filepath.Join(t.TempDir(), "comb.zip")
	if err := os.WriteFile(at, zipped(t, files), 0o666); err != nil {
		t.Fatal(err)
	}
	var told *read.Error
	if _, err := read.Open(at, read.FileOptions{}); !errors.As(err, &told) || !strings.Contains(told.What, "159600 sides") || !strings.Contains(told.Hint, "--zip-ratio") {
		t.Errorf("from an archive: %v", err)
	}
	limits := shapefile.DefaultLimits()
	limits.MaxRatio = 12_000
	if f, err := read.Open(at, read.FileOptions{Archive: limits}); err != nil || f.Layer.Shapes.Len() != 400 {
		t.Errorf("from an archive that may hold more: %v", err)
	}
	if f, err := read.Open(stick(t, files), read.FileOptions{}); err != nil || f.Layer.Shapes.Len() != 400 {
		t.Errorf("from a folder: %v", err)
	}
}

// Elements without data pack into next to nothing, and take two hundred times their bytes in memory:
// an archive of them is refused before they are read, as a prescription and as a log, unless it may
// hold more. A folder is read, and polygons as zones of a field are in an archive, too.
func TestElementsThatNoArchiveHolds(t *testing.T) {
	text := func(body string) map[string][]byte {
		return map[string][]byte{"TASKDATA.XML": []byte(`<ISO11783_TaskData VersionMajor="3" VersionMinor="3"><PDT A="PDT1" B="urea"/><TSK A="TSK1" G="1">` + body + `</TSK></ISO11783_TaskData>`)}
	}
	empty := text(strings.Repeat(`<CMT a="" b=""/>`, 60_000))
	at := filepath.Join(t.TempDir(), "empty.zip")
	if err := os.WriteFile(at, zipped(t, empty), 0o666); err != nil {
		t.Fatal(err)
	}
	m, err := read.ParseLogMap("map.yaml", []byte("columns: {rate: Dry}\nrate-unit: lb/ac\nwidth: 1 ft\n"))
	if err != nil {
		t.Fatal(err)
	}
	limits := shapefile.DefaultLimits()
	limits.MaxRatio = 10_000
	for _, c := range []struct {
		at      string
		limits  shapefile.Limits
		refused bool
	}{{at, shapefile.Limits{}, true}, {at, limits, false}, {stick(t, empty), shapefile.Limits{}, false}} {
		o := read.FileOptions{Archive: c.limits}
		_, rates := read.Open(c.at, o)
		_, log := read.Log(c.at, m, o)
		for _, err := range []error{rates, log} {
			var told *read.Error
			if !errors.As(err, &told) || (strings.Contains(told.What, "has 180009 elements and attributes") && strings.Contains(told.Hint, "--zip-ratio")) != c.refused {
				t.Errorf("%s: %v, refused: %v", filepath.Base(c.at), err, c.refused)
			}
		}
	}
	var zones strings.Builder
	for i := range 9000 {
		fmt.Fprintf(&zones, `<TZN A="%d"><PDV A="0006" B="%d" C="PDT1"/><PLN A="6"><LSG A="1">`, i%250+1, 10000+i%250)
		x, y := -90+float64(i%95)*1e-4, 47+float64(i/95)*1e-4
		for _, d := range [][2]float64{{0, 0}, {1e-4, 0}, {1e-4, 1e-4}, {0, 1e-4}, {0, 0}} {
			fmt.Fprintf(&zones, `<PNT A="2" C="%.7f" D="%.7f"/>`, y+d[1], x+d[0])
		}
		zones.WriteString(`</LSG></PLN></TZN>`)
	}
	at = filepath.Join(t.TempDir(), "zones.zip")
	if err := os.WriteFile(at, zipped(t, text(zones.String())), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := read.Open(at, read.FileOptions{}); err == nil || strings.Contains(err.Error(), "elements and attributes") {
		t.Errorf("zones: %v", err)
	}
}

// What is odd and can be meant in one way is told; each has its rule.
func TestTaskDataRemarks(t *testing.T) {
	for rule, change := range map[string]func(*taskdata.Set){
		"boundary-elsewhere": func(s *taskdata.Set) {
			for i := range s.Fields[0].Boundary[0][0] {
				s.Fields[0].Boundary[0][0][i][0] += 1
			}
		},
		"cells-beyond": func(s *taskdata.Set) {
			for i := range s.Fields[0].Boundary[0][0] {
				s.Fields[0].Boundary[0][0][i][1] = min(s.Fields[0].Boundary[0][0][i][1], 47.0028)
			}
		},
		"cells-idle":       func(s *taskdata.Set) { s.Fields[0].Boundary, s.Tasks[0].Grid.Counts[7] = nil, 0 },
		"grid-upside-down": turnOver,
		"task-data-faults": func(s *taskdata.Set) { s.Tasks[0].Default = 77 },
		"tiny-rates": func(s *taskdata.Set) {
			for i := range s.Tasks[0].Grid.Counts {
				s.Tasks[0].Grid.Counts[i] /= 100
			}
		},
		"code-without-zone": func(s *taskdata.Set) {
			g := s.Tasks[0].Grid
			g.Type, g.Zone, g.Codes, g.Counts = 1, taskdata.None, make([]byte, g.Cells()), nil
			s.Tasks[0].Zones[0].Values = []taskdata.Value{{DDI: taskdata.SetpointMassPerArea, Count: 11209}}
			g.Codes[3] = 9
		},
	} {
		s := terminalSet()
		change(s)
		f, err := read.Open(stick(t, taskdata.Encode(s)), read.FileOptions{})
		if err != nil {
			t.Errorf("%s: %v", rule, err)
			continue
		}
		var rules []string
		for _, found := range f.Findings {
			rules = append(rules, found.Rule())
		}
		if !slices.Contains(rules, rule) || len(rules) > 2 {
			t.Errorf("%s: found %q", rule, rules)
		}
	}
}

// turnOver writes rows from the north on, in a field that is wide in the south alone.
func turnOver(s *taskdata.Set) {
	g := s.Tasks[0].Grid
	s.Fields[0].Boundary = orb.MultiPolygon{{{{-90, 47}, {-89.997, 47}, {-90, 47.003}, {-90, 47}}}}
	for row := range g.Rows {
		for column := range g.Columns {
			n := int32(0)
			if column < g.Columns*(row+1)/g.Rows { // right side up it would be g.Rows-1-row
				n = 11209
			}
			g.Counts[row*g.Columns+column] = n
		}
	}
}

// Whatever of the kinds of faults is refused says which file, and what to do.
func TestTaskDataRefusals(t *testing.T) {
	for name, change := range map[string]func(taskdata.Files){
		"missing":    func(f taskdata.Files) { delete(f, "GRD00001.bin") },
		"short":      func(f taskdata.Files) { f["GRD00001.bin"] = f["GRD00001.bin"][:8] },
		"no XML":     func(f taskdata.Files) { f[taskdata.Main] = []byte("hello") },
		"other root": func(f taskdata.Files) { f[taskdata.Main] = []byte("<html/>") },
		"comma": func(f taskdata.Files) {
			f[taskdata.Main] = bytes.Replace(f[taskdata.Main], []byte(`C="0.0001"`), []byte(`C="0,0001"`), 1)
		},
		"no task": func(f taskdata.Files) { f[taskdata.Main] = []byte("<ISO11783_TaskData/>") },
	} {
		files := taskdata.Encode(terminalSet())
		change(files)
		f, err := read.Open(stick(t, files), read.FileOptions{})
		if err == nil {
			t.Errorf("%s: read as %+v", name, f.Source)
			continue
		}
		if !strings.Contains(err.Error(), "TASKDATA.XML") && !strings.Contains(err.Error(), "GRD00001.bin") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
