package oracle

import (
	"archive/zip"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TaskData is what the library isoxml makes of a set.
type TaskData struct {
	Warnings []any
	Tasks    []struct {
		Name  string
		Type  int // of the grid; 0 for none
		Zones int
		Cells [][]float64 // of type 2, those that are not all zero: longitude and latitude of the south-west corner, then the counts
		Logs  []struct{ Errors int }
	}
}

// ReadTaskData has isoxml read the files of a set, by their paths on a stick. script is its
// program, testdata/isoxml.js of geo/taskdata.
func ReadTaskData(t testing.TB, script string, files map[string][]byte) (out TaskData) {
	t.Helper()
	node := Tool(t, "node")
	if os.Getenv("RXSPLIT_ISOXML") == "" {
		Missing(t, "RXSPLIT_ISOXML does not name the package isoxml (npm; .ci/isoxml/install DIR)")
	}
	path := filepath.Join(t.TempDir(), "set.zip")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w := zip.NewWriter(file)
	for name, data := range files {
		part, err := w.Create(name)
		if err == nil {
			_, err = part.Write(data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command(node, script, path).CombinedOutput()
	if err != nil {
		t.Fatalf("isoxml: %v: %s", err, text)
	}
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatalf("isoxml says %s: %v", text, err)
	}
	return out
}
