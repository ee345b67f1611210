package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestLimitOfMemory runs the program under ulimit -v: a file that takes more is refused in our
// words before it is read, and a small one is worked on. Go itself takes about 1.2 GB of
// addresses, hardly any of it in memory. The files are holes of the disk.
func TestLimitOfMemory(t *testing.T) {
	b := newBench(t, 100)
	for _, name := range []string{"huge.geojson", "huge.shp", "huge.zip"} {
		f, err := os.Create(filepath.Join(b.dir, name))
		if err == nil {
			err = errors.Join(f.Truncate(3<<30), f.Close())
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	limited := func(args string) (string, error) {
		cmd := exec.Command("sh", "-c", "ulimit -v 3000000; exec '"+b.exe+"' "+args+" --label label.yaml --rate-field DRY_LBAC --rate-unit lb/ac")
		cmd.Dir = b.dir
		text, err := cmd.CombinedOutput()
		return string(text), err
	}
	for _, name := range []string{"huge.geojson", "huge.shp", "huge.zip"} {
		text, err := limited("check " + name)
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != exitFailed {
			t.Errorf("%s: %v", name, err)
		}
		if why := badMessage(text); why != "" || !strings.HasPrefix(text, "rxsplit: error: "+name+": takes some ") || strings.Count(text, "\n") != 2 {
			t.Errorf("%s: %.500q %s", name, text, why)
		}
	}
	if text, err := limited("split '" + b.field + "' --out out"); err != nil {
		t.Errorf("a small file: %v %s", err, text)
	}
}
