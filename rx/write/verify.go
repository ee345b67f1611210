package write

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/shapefile"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// VerifyError lists what a folder holds that the plan does not say, or the other
// way round.
type VerifyError struct {
	Dir        string
	Mismatches []Mismatch
}

func (e *VerifyError) Error() string {
	return strings.Join(each.Of(e.Mismatches, Mismatch.Error), "\n")
}

// mostTold is how many mismatches of one file are told apart.
const mostTold = 10

// Verify reads every layer of a plan back from dir and compares zones, rates,
// acres, polygons and totals with the plan. What it finds equal it reads again with
// decoders that have nothing in common with our writers, as far as [ReadTwice] says. The
// error is a [*VerifyError].
func Verify(dir string, p *rx.Prescription, plan *rx.Plan, units unit.System) error {
	e := &VerifyError{Dir: dir}
	for i := range plan.Layers {
		l := &plan.Layers[i]
		want := tableOf(p, l, units)
		e.Mismatches = append(e.Mismatches, compareShapefile(dir, l, want)...)
		e.Mismatches = append(e.Mismatches, compareGeoJSON(dir, l, want)...)
	}
	e.Mismatches = append(e.Mismatches, compareTaskData(dir, p, plan, units)...)
	if len(e.Mismatches) > 0 {
		return e
	}
	return nil
}

// partsOf reads the parts of a layer's shapefile.
func partsOf(dir, name string) (shapefile.Files, []Mismatch) {
	files := shapefile.Files{Name: name}
	for _, part := range []struct {
		ext  string
		into *[]byte
	}{{".shp", &files.Shp}, {".shx", &files.Shx}, {".dbf", &files.Dbf}, {".prj", &files.Prj}, {".cpg", &files.Cpg}} {
		data, err := os.ReadFile(filepath.Join(dir, name+part.ext))
		if err != nil {
			return files, []Mismatch{unread(name+part.ext, err)}
		}
		*part.into = data
	}
	return files, nil
}

func compareShapefile(dir string, l *rx.Layer, want table) []Mismatch {
	files, found := partsOf(dir, l.Name)
	if found != nil {
		return found
	}
	layer, err := shapefile.Decode(files)
	if err != nil {
		return []Mismatch{{File: l.Name + ".shp", What: "can't be read back: " + err.Error()}}
	}
	if string(files.Cpg) != shapefile.CPG {
		return []Mismatch{{File: l.Name + ".cpg", What: fmt.Sprintf("is %q, want %q", files.Cpg, shapefile.CPG)}}
	}
	want = want.inShapefile()
	c := comparison{file: l.Name + ".shp", cells: l.Name + ".dbf", named: l.Name + ".prj", system: crs.WGS84().WKT(), layer: layer, want: want}
	found = c.run(func(col geo.Column, dst []byte, row int) []byte { return col.Text(dst, row) })
	if len(found) > 0 {
		return found
	}
	return readShapefileTwice(files, want)
}

func compareGeoJSON(dir string, l *rx.Layer, want table) []Mismatch {
	name := l.Name + ".geojson"
	file, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		return []Mismatch{unread(name, err)}
	}
	defer file.Close()
	layer, err := geojson.Decode(file, name)
	if err != nil {
		return []Mismatch{{File: name, What: "can't be read back: " + err.Error()}}
	}
	c := comparison{file: name, cells: name, named: name, layer: layer, want: want}
	found := c.run(func(col geo.Column, dst []byte, row int) []byte { return col.JSON(dst, row) })
	if len(found) > 0 {
		return found
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return []Mismatch{unread(name, err)}
	}
	return readGeoJSONTwice(file, name, want)
}

func unread(name string, err error) Mismatch {
	if errors.Is(err, fs.ErrNotExist) {
		return Mismatch{File: name, What: Missing}
	}
	return Mismatch{File: name, What: "can't be read back: " + reason(err)}
}
