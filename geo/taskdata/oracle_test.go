package taskdata

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"rxsplit/internal/oracle"
)

// sameCells holds cells that isoxml gave against a task's grid: each nonzero cell must be
// there with its corner and its counts, and no other.
func sameCells(t *testing.T, name string, cells [][]float64, task *Task) {
	t.Helper()
	g := task.Grid
	want := 0
	for cell := range g.Cells() {
		for k := range g.Values {
			if g.Counts[cell*g.Values+k] != 0 {
				want++
				break
			}
		}
	}
	if len(cells) != want {
		t.Errorf("%s: %d cells, want %d", name, len(cells), want)
	}
	for _, c := range cells {
		column, row := (c[0]-g.West)/g.Width, (c[1]-g.South)/g.Height
		x, y := int(math.Round(column)), int(math.Round(row))
		if math.Abs(column-float64(x)) > 1e-3 || math.Abs(row-float64(y)) > 1e-3 || x < 0 || y < 0 || x >= g.Columns || y >= g.Rows {
			t.Fatalf("%s: a cell at %v, %v is none of the grid", name, c[0], c[1])
		}
		for k := range g.Values {
			if n := float64(g.Counts[(y*g.Columns+x)*g.Values+k]); c[2+k] != n {
				t.Fatalf("%s: the cell in row %d, column %d has %v of value %d, want %v", name, y, x, c[2+k], k, n)
			}
		}
	}
}

// What npm isoxml 1.11.2 said of the example, kept in testdata/isoxml.json.
func TestCellsAsIsoxmlReadThem(t *testing.T) {
	text, err := os.ReadFile("testdata/isoxml.json")
	if err != nil {
		t.Fatal(err)
	}
	var kept oracle.TaskData
	if err := json.Unmarshal(text, &kept); err != nil {
		t.Fatal(err)
	}
	set, _, err := Decode(example(t))
	if err != nil || len(kept.Warnings) > 0 || len(kept.Tasks) != 2 {
		t.Fatal(err, kept)
	}
	for i, task := range kept.Tasks {
		sameCells(t, task.Name, task.Cells, &set.Tasks[i])
	}
}

// The example, and a set with all forms, through isoxml itself.
func TestIsoxmlReadsWhatWeWrite(t *testing.T) {
	for name, set := range map[string]*Set{"example": decoded(t, example(t)), "rich": rich()} {
		files := Encode(set)
		if name == "example" {
			files = example(t)
		}
		got := oracle.ReadTaskData(t, "testdata/isoxml.js", inFolder(files))
		if len(got.Warnings) > 0 || len(got.Tasks) != len(set.Tasks) {
			t.Errorf("%s: warnings %v, %d tasks", name, got.Warnings, len(got.Tasks))
		}
		for i, task := range got.Tasks {
			if task.Zones != len(set.Tasks[i].Zones) {
				t.Errorf("%s: task %q has %d zones, want %d", name, task.Name, task.Zones, len(set.Tasks[i].Zones))
			}
			if task.Type == 2 {
				sameCells(t, name+" "+task.Name, task.Cells, &set.Tasks[i])
			}
		}
	}
}

// A log of ours through isoxml: it finds nothing wrong.
func TestIsoxmlReadsLogs(t *testing.T) {
	got := oracle.ReadTaskData(t, "testdata/isoxml.js", sound(t))
	if len(got.Warnings) > 0 || len(got.Tasks[2].Logs) != 1 || got.Tasks[2].Logs[0].Errors > 0 {
		t.Errorf("isoxml says %+v of the log", got)
	}
}

func decoded(t *testing.T, files Files) *Set {
	t.Helper()
	set, _, err := Decode(files)
	if err != nil {
		t.Fatal(err)
	}
	return set
}
