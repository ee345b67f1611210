package read

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// Pipes, whose opening waits for somebody who writes, and files beyond any
// shapefile's size are refused before a byte of them is read; nothing hangs and no room is
// made.
func TestFilesThatAreNotOpened(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"field.shp", "field.zip", "field.geojson", "field", "other.dbf"} {
		if err := syscall.Mkfifo(filepath.Join(dir, name), 0o666); err != nil {
			t.Skipf("skipped: no pipe can be made here: %v", err)
		}
	}
	for name, size := range map[string]int64{"huge.shp": 1 << 40, "huge.zip": largestPart + 1, "other.shp": 100} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, nil, 0o666); err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(path, size); err != nil { // sparse: it takes no room
			t.Skipf("skipped: no file of %d bytes can be made here: %v", size, err)
		}
	}
	for name, want := range map[string]string{
		"field.shp": "field.shp: is not a regular file", "field.zip": "field.zip: is not a regular file",
		"field.geojson": "field.geojson: is not a regular file",
		"field":         "field: is not a regular file", "other.shp": "other.dbf: is not a regular file",
		"huge.shp": "huge.shp: has 1099511627776 bytes", "huge.zip": "huge.zip: has 4294967297 bytes",
	} {
		_, err := Open(filepath.Join(dir, name), FileOptions{})
		var e *Error
		if !errors.As(err, &e) || !strings.HasPrefix(err.Error(), want) || e.Hint == "" {
			t.Errorf("%s: got %v, want %q and a hint", name, err, want)
		}
	}
}
