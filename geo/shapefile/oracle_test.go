package shapefile

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func run(t testing.TB, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

var extensions = []string{".shp", ".shx", ".dbf", ".prj", ".cpg"}

// load reads the parts of a shapefile from disk.
func load(t testing.TB, dir, name string) Files {
	t.Helper()
	f := Files{Name: name}
	for i, to := range []*[]byte{&f.Shp, &f.Shx, &f.Dbf, &f.Prj, &f.Cpg} {
		data, err := os.ReadFile(filepath.Join(dir, name+extensions[i]))
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		*to = data
	}
	return f
}

// save writes the parts into a folder and returns the path of the .shp.
func save(t testing.TB, dir string, f Files) string {
	t.Helper()
	for i, data := range [][]byte{f.Shp, f.Shx, f.Dbf, f.Prj, f.Cpg} {
		if data == nil {
			continue
		}
		if err := os.WriteFile(filepath.Join(dir, f.Name+extensions[i]), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, f.Name+".shp")
}

// ogrCSV is what GDAL reads in a shapefile, as the files in testdata have it.
func ogrCSV(t testing.TB, shp, name string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "out.csv")
	run(t, "ogr2ogr", "-q", "-f", "CSV", "-lco", "GEOMETRY=AS_WKT", "-dim", "XY",
		"-sql", "SELECT FID, *, OGR_GEOM_AREA FROM \""+name+"\"", out, shp)
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
