package read

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/invent"
	"rxsplit/geo/shapefile"
	"rxsplit/rx"
)

// parts writes a layer as a shapefile and returns the path of its .shp.
func parts(t *testing.T, l *invent.Layer) string {
	t.Helper()
	var shp, shx, dbf bytes.Buffer
	if err := shapefile.Write(&shp, &shx, &dbf, &l.Shapes, l.Columns()); err != nil {
		t.Fatal(err)
	}
	system, err := crs.Parse(fmt.Sprintf("EPSG:%d", l.EPSG))
	if err != nil {
		t.Fatal(err)
	}
	stem := filepath.Join(t.TempDir(), "field")
	for ext, data := range map[string][]byte{".shp": shp.Bytes(), ".shx": shx.Bytes(), ".dbf": dbf.Bytes(), ".prj": []byte(system.WKT())} {
		if err := os.WriteFile(stem+ext, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return stem + ".shp"
}

func openFile(t *testing.T, path string, opt FileOptions) *File {
	t.Helper()
	f, err := Open(path, opt)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

var dry = Options{RateFields: []string{invent.RateField}, RateUnit: "lb/ac"}

// Records without a polygon, without a rate, or marked deleted keep the numbers of
// all others.
func TestNumbersOfZones(t *testing.T) {
	l := invent.FourZones()
	l.Rates[2] = math.NaN()
	var shapes geo.Shapes
	shapes.Append(l.Shapes.Shape(0))
	shapes.Append(nil)
	shapes.Append(l.Shapes.Shape(2))
	shapes.Append(l.Shapes.Shape(3))
	l.Shapes = shapes
	path := parts(t, l)
	table := strings.TrimSuffix(path, ".shp") + ".dbf"
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	f := openFile(t, path, FileOptions{})
	p, err := Prescription(f, dry)
	if err != nil {
		t.Fatal(err)
	}
	if got := numbersOf(p); got != "1 3 4" || p.Zones[1].HasRate() || p.Zones[2].Dry != 300 {
		t.Errorf("zones %s, rates %v: want 1 3 4, the second without a rate", got, p.Zones)
	}
	if f := finding(t, p.Findings, "null-shape"); f.Severity != rx.Warning || fmt.Sprint(f.Zones) != "[2]" {
		t.Errorf("null shape: %+v", f)
	}
	if p.Source.Records != 4 {
		t.Errorf("%d records, want 4", p.Source.Records)
	}

	data[97] = '*' // the first row, behind a header of 32 bytes, two fields and its end
	if err := os.WriteFile(table, data, 0o666); err != nil {
		t.Fatal(err)
	}
	p, err = Prescription(openFile(t, path, FileOptions{}), dry)
	if err != nil {
		t.Fatal(err)
	}
	if got := numbersOf(p); got != "3 4" {
		t.Errorf("zones %s after a deletion, want 3 4", got)
	}
	if got := rules(p.Findings); got != "deleted note, null-shape warning" {
		t.Errorf("findings %q", got)
	}
	if f := finding(t, p.Findings, "null-shape"); fmt.Sprint(f.Zones) != "[2]" {
		t.Errorf("the deleted record counts as a null shape: %v", f.Zones)
	}
}

func numbersOf(p *rx.Prescription) string {
	var list []string
	for _, z := range p.Zones {
		list = append(list, fmt.Sprint(z.Number()))
	}
	return strings.Join(list, " ")
}

// The cells of a deleted row may hold anything.
func TestDeletedRowsAreNotRead(t *testing.T) {
	path := parts(t, invent.FourZones())
	table := strings.TrimSuffix(path, ".shp") + ".dbf"
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	copy(data[97:], "*   abc")
	if err := os.WriteFile(table, data, 0o666); err != nil {
		t.Fatal(err)
	}
	p, err := Prescription(openFile(t, path, FileOptions{}), dry)
	if err != nil || numbersOf(p) != "2 3 4" {
		t.Errorf("%v, want zones 2 3 4", err)
	}
}

// A shapefile without a .prj is lon/lat with a note if it can be, and otherwise an
// error that asks for the system.
func TestSystems(t *testing.T) {
	lonlat := invent.FourZones()
	utm, err := invent.Grid(invent.GridOptions{EPSG: 32615, Cells: 9})
	if err != nil {
		t.Fatal(err)
	}
	wide := invent.FourZones()
	for i := range wide.Shapes.Points {
		wide.Shapes.Points[i][0] *= 0.01
		wide.Shapes.Points[i][1] += float64(i)
	}
	for _, c := range []struct {
		name     string
		layer    *invent.Layer
		prj, crs string
		want     string // the system, or part of the error
		note     bool
	}{
		{"as it says", utm, "keep", "", "WGS 84 / UTM zone 15N", false},
		{"no .prj, degrees", lonlat, "", "", "WGS 84", true},
		{"no .prj, meters", utm, "", "", "are not degrees", false},
		{"no .prj, degrees of a continent", wide, "", "", "more ground than any field", false},
		{"the same, as the user says", wide, "", "EPSG:4326", "WGS 84", false},
		{"no .prj, given", utm, "", "EPSG:32615", "WGS 84 / UTM zone 15N", false},
		{"wrong .prj, given", utm, "junk", "EPSG:32615", "WGS 84 / UTM zone 15N", false},
		{"junk", utm, "junk", "", "is not known here", false},
		{"degrees that are meters", utm, "", "EPSG:4326", "are not degrees of WGS 84", false},
		{"no such code", utm, "", "EPSG:1", `--crs: "EPSG:1"`, false},
	} {
		path := parts(t, c.layer)
		prj := strings.TrimSuffix(path, ".shp") + ".prj"
		switch c.prj {
		case "":
			err = os.Remove(prj)
		case "junk":
			err = os.WriteFile(prj, []byte("junk"), 0o666)
		}
		if err != nil {
			t.Fatal(err)
		}
		f, err := Open(path, FileOptions{CRS: c.crs})
		var e *Error
		switch {
		case err != nil && (!strings.Contains(err.Error(), c.want) || !errors.As(err, &e) || !strings.Contains(e.Hint, "--crs")):
			t.Errorf("%s: %v, want %q and a hint at --crs", c.name, err, c.want)
		case err == nil && f.Source.System != c.want:
			t.Errorf("%s: %s, want %s", c.name, f.Source.System, c.want)
		case err == nil && strings.Contains(rules(f.Findings), "no-prj note") != c.note:
			t.Errorf("%s: findings %q", c.name, rules(f.Findings))
		}
	}
}

// The digests are those of the files' bytes, each part with its own.
func TestSourceDigests(t *testing.T) {
	path := parts(t, invent.FourZones())
	stem := strings.TrimSuffix(path, ".shp")
	f := openFile(t, path, FileOptions{})
	var names []string
	for _, part := range f.Source.Files {
		data, err := os.ReadFile(filepath.Join(filepath.Dir(path), part.Name))
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("%x", sha256.Sum256(data)); part.SHA256 != want || part.Size != int64(len(data)) {
			t.Errorf("%s: %s of %d bytes, want %s of %d", part.Name, part.SHA256, part.Size, want, len(data))
		}
		names = append(names, part.Name)
	}
	if got := strings.Join(names, " "); got != "field.shp field.dbf field.shx field.prj" {
		t.Errorf("parts %s", got)
	}
	if f.Source.SHA256() != f.Source.Files[0].SHA256 || f.Source.Format != "shapefile" || f.Source.Layer != "field" {
		t.Errorf("source %+v", f.Source)
	}

	// GeoJSON is digested while it is decoded: all of it, what stands behind the
	// last bracket as well.
	text := field(rates("R", "200")...) + "\n\n"
	for _, g := range []*File{openFile(t, write(t, "f.geojson", []byte(text)), FileOptions{}), open(t, text)} {
		if want := fmt.Sprintf("%x", sha256.Sum256([]byte(text))); g.Source.SHA256() != want || g.Source.Files[0].Size != int64(len(text)) {
			t.Errorf("%s: %+v, want %s", g.Source.Name, g.Source.Files, want)
		}
	}
	// Upper-case endings belong together.
	for _, ext := range []string{".dbf", ".shx", ".prj"} {
		if err := os.Rename(stem+ext, stem+strings.ToUpper(ext)); err != nil {
			t.Fatal(err)
		}
	}
	if f = openFile(t, path, FileOptions{}); len(f.Source.Files) != 4 {
		t.Errorf("parts %v", f.Source.Files)
	}
}

// A file that is written to while it is read is not believed.
func TestChangedFiles(t *testing.T) {
	path := write(t, "field.shp", []byte("twelve bytes"))
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	before, err := file.Stat()
	if err != nil {
		t.Fatal(err)
	}
	if err := unchanged(file, before); err != nil {
		t.Errorf("unchanged: %v", err)
	}
	for _, change := range []func() error{
		func() error { return os.Truncate(path, 5) },
		func() error { return os.WriteFile(path, []byte("TWELVE BYTES"), 0o666) },
		func() error { return os.Chtimes(path, time.Time{}, before.ModTime().Add(time.Second)) },
	} {
		if err := change(); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, time.Time{}, before.ModTime().Add(time.Second)); err != nil {
			t.Fatal(err)
		}
		var e *Error
		if err := unchanged(file, before); !errors.As(err, &e) || !strings.Contains(e.What, "changed while it was read") {
			t.Errorf("got %v", err)
		}
	}
}

// Files that are no prescription's, each with its reason.
func TestFilesThatCantBeOpened(t *testing.T) {
	dir := t.TempDir()
	whole := parts(t, invent.FourZones())
	for _, c := range []struct{ path, want string }{
		{filepath.Join(dir, "none.shp"), "no such file"},
		{filepath.Join(dir, "none.geojson"), "no such file"},
		{filepath.Join(dir, "none.zip"), "no such file"},
		{filepath.Join(dir, "none"), "no such file"},
		{dir, "is a folder"},
		{strings.TrimSuffix(whole, ".shp") + ".dbf", "is one part of a shapefile"},
		{write(t, "notes.txt", []byte("notes")), "is no prescription that can be read"},
		{write(t, "empty", nil), "is no prescription that can be read"},
	} {
		_, err := Open(c.path, FileOptions{})
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(e.What, c.want) || e.Hint == "" {
			t.Errorf("%s: %v, want %q and a hint", filepath.Base(c.path), err, c.want)
		}
	}
	// What the name does not tell, the first bytes do.
	if f := openFile(t, write(t, "field.txt", []byte("\n "+field(rates("R", "200")...))), FileOptions{}); f.Source.Format != "GeoJSON" {
		t.Errorf("format %s", f.Source.Format)
	}
}

// With --overlap, the ground goes to one zone and is cut from the other.
func TestOverlapIsSettled(t *testing.T) {
	overlapping := strings.Replace(field(rates("R", "200", "210", "100")...), square(1), strings.ReplaceAll(square(1), "-90.395", "-90.396"), 1)
	opt := Options{RateUnit: "lb/ac"}
	p := prescription(t, overlapping, opt)
	f := finding(t, p.Findings, "overlap")
	if f.Severity != rx.Error || fmt.Sprint(f.Zones) != "[1 2]" || f.Place == nil || math.Abs(float64(f.Area)-squareAcres/5) > 1e-3 {
		t.Errorf("overlap: %+v, want zones 1 and 2 by %v ac", f, squareAcres/5)
	}
	if f.Place[0] < -90.396 || f.Place[0] > -90.395 || f.Place[1] < 47.3 || f.Place[1] > 47.305 {
		t.Errorf("the overlap's place %v is not in it", *f.Place)
	}
	for _, c := range []struct {
		by    overlapChoice
		areas []float64 // in squares
	}{
		{overlapFirst, []float64{1, 1, 1}},
		{overlapLast, []float64{0.8, 1.2, 1}},
		{overlapMax, []float64{0.8, 1.2, 1}},
	} {
		opt.Overlap = c.by
		p := prescription(t, overlapping, opt)
		for i, want := range c.areas {
			if got := float64(p.Zones[i].Area); math.Abs(got-want*squareAcres) > 1e-3 {
				t.Errorf("--overlap %s: zone %d has %v ac, want %v", c.by, i+1, got, want*squareAcres)
			}
		}
		if got := rules(p.Findings); got != "overlap-settled note" {
			t.Errorf("--overlap %s: findings %q", c.by, got)
		}
		outline, err := p.Mesh.Outline(func(int) bool { return true })
		if err != nil {
			t.Fatal(err)
		}
		area, err := geo.AreaOf(outline.Polygons)
		if err != nil || math.Abs(float64(area-p.Area())) > 1e-8*float64(area) {
			t.Errorf("--overlap %s: the zones add up to %v, the ground is %v (%v)", c.by, p.Area(), area, err)
		}
	}
}

// A gap that is narrower than a machine is a warning with its place and acres.
func TestGap(t *testing.T) {
	apart := field(rates("R", "200", "210")...)
	apart = strings.Replace(apart, square(1), strings.ReplaceAll(square(1), "-90.395", "-90.394995"), 1)
	p := prescription(t, apart, Options{RateUnit: "lb/ac"})
	// 0.000005° of longitude by 0.005° of latitude is a thousandth of a square.
	f := finding(t, p.Findings, "gap")
	if f.Severity != rx.Warning || f.Place == nil || math.Abs(float64(f.Area)-squareAcres/1000) > 1e-4 {
		t.Errorf("gap: %+v, want %v ac", f, squareAcres/1000)
	}
	wide := strings.Replace(field(rates("R", "200", "210")...), square(1), strings.ReplaceAll(square(1), "-90.395", "-90.394"), 1)
	if got := rules(prescription(t, wide, Options{RateUnit: "lb/ac"}).Findings); got != "" {
		t.Errorf("a lane of 75 m between zones: findings %q, want none", got)
	}
}
