package shapefile

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo"
)

// seedFiles are the shapefiles in testdata.
func seedFiles(f *testing.F) (seeds []Files) {
	paths, err := filepath.Glob(filepath.Join("testdata", "*.shp"))
	if err != nil || len(paths) < 10 {
		f.Fatalf("%d seeds in testdata, want at least 10: %v", len(paths), err)
	}
	for _, path := range paths {
		seeds = append(seeds, load(f, "testdata", strings.TrimSuffix(filepath.Base(path), ".shp")))
	}
	return seeds
}

// FuzzDecode wants no panic, memory in proportion, and what is read to be written
// and read again as the same.
func FuzzDecode(f *testing.F) {
	for _, s := range seedFiles(f) {
		f.Add(s.Shp, s.Shx, s.Dbf, s.Cpg)
		f.Add(s.Shp, []byte(nil), s.Dbf, s.Cpg)
	}
	for _, n := range nests {
		raw := rawFiles(f, rawRecord(polygon, n.rings...))
		f.Add(raw.Shp, raw.Shx, raw.Dbf, raw.Cpg)
	}
	for _, o := range orders {
		s := o.change(fiveCells(f))
		f.Add(s.Shp, s.Shx, s.Dbf, s.Cpg)
	}
	f.Fuzz(func(t *testing.T, shp, shx, dbf, cpg []byte) {
		in := Files{Name: "fuzz", Shp: shp, Shx: shx, Dbf: dbf, Cpg: cpg}
		var layer *geo.Layer
		var err error
		checkAllocated(t, in, allocated(func() { layer, err = Decode(in) }))
		if err != nil {
			var bad *geo.BadFileError
			if !errors.As(err, &bad) || len(bad.Bad) == 0 {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		checkLayer(t, layer)
	})
}

// checkLayer wants what [geo.Shapes] promises, and the identity of writing and
// reading for what reading has already put in order.
func checkLayer(t *testing.T, layer *geo.Layer) {
	s := &layer.Shapes
	for r := range s.RingEnds {
		if ring := s.Ring(r); len(ring) < 4 || ring[0] != ring[len(ring)-1] {
			t.Fatalf("ring %d: %v", r, ring)
		}
	}
	for i := range s.Len() {
		s.Shape(i)
		for f, field := range layer.Attributes.Fields() {
			if c := layer.Attributes.Cell(i, f); c.Kind == geo.Number && !isNumber(c.Text) {
				t.Fatalf("record %d, %s: %q is no number", i, field.Name, c.Text)
			}
		}
	}
	once := mustDecode(t, encoded(t, "once", s, rates()))
	twice := mustDecode(t, encoded(t, "twice", &once.Shapes, rates()))
	if len(once.Shapes.Points) != len(s.Points) || !sameShapes(&once.Shapes, &twice.Shapes) {
		t.Fatalf("%v\nbecomes %v\nand then %v", s, once.Shapes, twice.Shapes)
	}
}

// FuzzUnzip wants no panic, and memory below what the limits allow.
func FuzzUnzip(f *testing.F) {
	for _, s := range seedFiles(f) {
		f.Add(zipped(f, entry{name: "a.shp", data: s.Shp}, entry{name: "A.DBF", data: s.Dbf}, entry{name: "__MACOSX/a.shp"}), "")
	}
	f.Add(zipped(f, append(layerEntries(f, "a"), layerEntries(f, "x/b")...)...), "b")
	f.Add(zeroBomb(f, 4<<20), "")
	f.Fuzz(func(t *testing.T, data []byte, layer string) {
		lim := Limits{MaxEntries: 50, MaxUnpacked: 8 << 20, MaxRatio: 100}
		var files Files
		var err error
		took := allocated(func() { files, err = Unzip(bytes.NewReader(data), int64(len(data)), layer, lim) })
		if limit := uint64(16*len(data)) + 3*uint64(lim.MaxUnpacked); took > limit {
			t.Errorf("took %d bytes for an archive of %d", took, len(data))
		}
		var refused *ArchiveError
		if err != nil && !errors.As(err, &refused) {
			t.Fatalf("%T: %v", err, err)
		}
		if err == nil && len(files.Shp)+len(files.Dbf) > int(lim.MaxUnpacked) {
			t.Error("more than the limit was unpacked")
		}
	})
}
