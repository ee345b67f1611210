// Package oracle finds the outside programs that tests are held against: GDAL, PROJ,
// GeographicLib, a browser, poppler. They run where the environment sets RXSPLIT_ORACLES,
// and only there, so that a plain test run is quick and says the same on every machine;
// what they said is kept in tables, which every run is held against.
package oracle

import (
	"archive/zip"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// variable is the switch. With the value "require", what is missing fails a test; with any
// other one it skips it.
const variable = "RXSPLIT_ORACLES"

// Required reports whether what is missing fails.
func Required() bool { return os.Getenv(variable) == "require" }

// Tool returns the path of an outside program.
func Tool(t testing.TB, name string) string {
	t.Helper()
	Asked(t)
	path, err := exec.LookPath(name)
	if err != nil {
		Missing(t, name+" is not installed")
	}
	return path
}

// Asked skips the test where nobody asks for outside programs.
func Asked(t testing.TB) {
	t.Helper()
	if os.Getenv(variable) == "" {
		t.Skip("outside programs are asked with " + variable + "=1 alone")
	}
}

// Missing fails or skips the test for want of something.
func Missing(t testing.TB, why string) {
	t.Helper()
	if Required() {
		t.Fatalf("%s, and %s=require", why, variable)
	}
	t.Skipf("%s: not checked against it", why)
}

// OpenData returns the path of a file of the Debian package r-cran-spdata (CC0).
func OpenData(t testing.TB, name string) string {
	t.Helper()
	Asked(t)
	out, err := exec.Command("dpkg", "-L", "r-cran-spdata").Output()
	if err == nil {
		for line := range strings.Lines(string(out)) {
			if line = strings.TrimSpace(line); filepath.Base(line) == name {
				return line
			}
		}
	}
	Missing(t, "the package r-cran-spdata is not installed")
	return ""
}

// cell is one that ogrinfo prints.
var cell = regexp.MustCompile(`(?m)^  (\w+) \(\w+\) = (\S+)$`)

// Query returns the one row of a query of a layer in OGR's SQLite dialect.
func Query(t testing.TB, path, sql string) map[string]float64 {
	t.Helper()
	ogrinfo := Tool(t, "ogrinfo")
	out, err := exec.Command(ogrinfo, "-ro", "-q", path, "-dialect", "SQLite", "-sql", sql).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	row := map[string]float64{}
	for _, m := range cell.FindAllSubmatch(out, -1) {
		v, err := strconv.ParseFloat(string(m[2]), 64)
		if err != nil {
			t.Fatalf("%s: %v", m[1], err)
		}
		row[string(m[1])] = v
	}
	if len(row) == 0 {
		t.Fatalf("ogrinfo: %s", out)
	}
	return row
}

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
