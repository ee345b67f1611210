package read

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"rxsplit/internal/oracle"
)

// What may not be read is told by its whole path, with the system's reason and what to do, whatever
// is to be made of it.
func TestFilesThatMayNotBeRead(t *testing.T) {
	points := yieldMap(t, "columns: {yield: Y, lon: X, lat: Z}\nyield-unit: bu/ac\n")
	open := func(path string) error { _, err := Open(path, FileOptions{}); return err }
	yield := func(path string) error { _, err := Yield(path, points, FileOptions{}); return err }
	columns := func(path string) error { _, err := NewLogMapOf(path, FileOptions{}); return err }
	for _, c := range []struct {
		what, name, closed string
		mode               fs.FileMode
		do                 func(path string) error
	}{
		{"a main file", "a.shp", "a.shp", 0, open}, {"a table", "a.shp", "a.dbf", 0, open}, {"a folder to look into", "a.shp", ".", 0o311, open},
		{"GeoJSON", "a.geojson", "a.geojson", 0, open}, {"an archive", "a.zip", "a.zip", 0, open}, {"what its name does not tell", "a.txt", "a.txt", 0, open},
		{"its main file", "TASKDATA/TASKDATA.XML", "TASKDATA/TASKDATA.XML", 0, open},
		{"yields", "a.csv", "a.csv", 0, yield}, {"yields of a shapefile", "a.shp", "a.shp", 0, yield}, {"yields as GeoJSON", "a.geojson", "a.geojson", 0, yield},
		{"columns", "a.csv", "a.csv", 0, columns}, {"columns of a shapefile", "a.shp", "a.dbf", 0, columns}, {"columns of GeoJSON", "a.geojson", "a.geojson", 0, columns},
		{"a folder that may not be entered", "a.csv", ".", 0o600, columns},
	} {
		dir := filepath.Join(t.TempDir(), "in")
		if err := errors.Join(os.Chmod(filepath.Dir(filepath.Dir(dir)), 0o755), os.MkdirAll(filepath.Join(dir, "TASKDATA"), 0o777)); err != nil {
			t.Fatal(err)
		}
		for name, text := range map[string]string{
			"a.shp": "x", "a.dbf": "x", "a.geojson": "{}", "a.zip": "PK\x03\x04", "a.txt": "{}", "a.csv": "X,Z,Y\n1,2,3\n", "TASKDATA/TASKDATA.XML": "<ISO11783_TaskData/>",
		} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		closed := filepath.Join(dir, c.closed)
		if err := os.Chmod(closed, c.mode); err != nil {
			t.Fatal(err)
		}
		oracle.AsNobody(t, func() {
			path := filepath.Join(dir, c.name)
			told := closed
			if c.mode == 0o600 {
				told = path
			}
			err := c.do(path)
			var e *Error
			if !errors.As(err, &e) || !errors.Is(err, fs.ErrPermission) || e.File != told || e.What != "permission denied" || e.Hint != "copy it to where you may read it" {
				t.Errorf("%s: %+v, want %s: permission denied", c.what, err, told)
			}
		})
		os.Chmod(closed, 0o777)
	}
}
