package shapefile

import (
	"bytes"
	"errors"
	"path/filepath"
	"slices"
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

// checkLayer wants what [geo.Shapes] promises, all points and rings after writing
// and reading, and the very same shapes where the rings were wound as they should.
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
	back := mustDecode(t, encoded(t, "back", s, rates()))
	if len(back.Shapes.Points) != len(s.Points) || len(back.Shapes.RingEnds) != len(s.RingEnds) || back.Shapes.Len() != s.Len() {
		t.Fatalf("%v\nbecomes %v", s, back.Shapes)
	}
	turned := func(r geo.Remark) bool { return r.Rule == "winding" || r.Rule == "hole-outside" }
	if !slices.ContainsFunc(layer.Remarks, turned) && !anyFlat(s) && !sameShapes(&back.Shapes, s) {
		t.Fatalf("%v\nbecomes %v", s, back.Shapes)
	}
}

// anyFlat reports whether some ring has no area, or none that floats can tell:
// it winds neither way, so its place among others may change.
func anyFlat(s *geo.Shapes) bool {
	for r := range s.RingEnds {
		if winding, _ := windingOf(s.Ring(r)); winding == 0 {
			return true
		}
	}
	return false
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
		took := allocated(func() { files, err = Unzip(bytes.NewReader(data), int64(len(data)), layer, lim, nil) })
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
