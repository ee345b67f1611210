package shapefile

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// entry is a file to put into an archive.
type entry struct {
	name string
	data []byte
	mode fs.FileMode
}

func zipped(t testing.TB, entries ...entry) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for _, e := range entries {
		h := &zip.FileHeader{Name: e.name, Method: zip.Deflate}
		if e.mode != 0 {
			h.SetMode(e.mode)
		}
		to, err := w.CreateHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := to.Write(e.data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// layerEntries are the parts of a small layer under a path without extension.
func layerEntries(t testing.TB, path string) []entry {
	f := fiveCells(t)
	return []entry{
		{name: path + ".shp", data: f.Shp}, {name: path + ".shx", data: f.Shx}, {name: path + ".dbf", data: f.Dbf},
		{name: path + ".prj", data: []byte("PROJCS[]")}, {name: path + ".cpg", data: f.Cpg},
	}
}

func unzip(data []byte, layer string) (Files, error) {
	return Unzip(bytes.NewReader(data), int64(len(data)), layer, DefaultLimits(), nil)
}

func TestUnzip(t *testing.T) {
	layer := layerEntries(t, "zones")
	with := func(more ...entry) []entry { return append(slices.Clone(layer), more...) }
	upper := layerEntries(t, "ZONES")
	for i := range upper {
		upper[i].name = strings.ToUpper(upper[i].name)
	}
	upper[2].name = "Zones.Dbf"
	for _, c := range []struct {
		name    string
		entries []entry
		layer   string
		want    string // the layer's name
	}{
		{"plain", layer, "", "zones"},
		{"in a folder", layerEntries(t, "a b/field 7/zones"), "", "zones"},
		{"folders are entries", with(entry{name: "docs/", mode: fs.ModeDir | 0o755}), "", "zones"},
		{"other files", with(entry{name: "readme.txt"}, entry{name: "zones.shp.xml"}, entry{name: "zones.sbn"}), "", "zones"},
		{"another archive beside it", with(entry{name: "old.zip"}), "", "zones"},
		{"clutter", with(entry{name: "__MACOSX/._zones.shp"}, entry{name: "__MACOSX/zones.shp"}, entry{name: "._zones.shp"}, entry{name: ".hidden.shp"}), "", "zones"},
		{"capital letters", upper, "", "ZONES"},
		{"backslashes", layerEntries(t, `farm\zones`), "", "zones"},
		{"dot and slash", layerEntries(t, "./zones"), "", "zones"},
		{"one of two", append(layerEntries(t, "a"), layerEntries(t, "b")...), "b", "b"},
		{"one of two, other case", append(layerEntries(t, "a"), layerEntries(t, "b")...), "B", "b"},
		{"one of two by its path", append(layerEntries(t, "x/zones"), layerEntries(t, "y/zones")...), "y/zones", "zones"},
		{"a bomb beside it", with(entry{name: "zeros.bin", data: make([]byte, 8<<20)}), "", "zones"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := unzip(zipped(t, c.entries...), c.layer)
			if err != nil {
				t.Fatal(err)
			}
			if f.Name != c.want || string(f.Prj) != "PROJCS[]" || string(f.Cpg) != CPG {
				t.Errorf("name %q, .prj %q, .cpg %q", f.Name, f.Prj, f.Cpg)
			}
			if got := mustDecode(t, f).Shapes.Len(); got != 5 {
				t.Errorf("%d records, want 5", got)
			}
		})
	}
}

func TestBadArchivesAreRefusedForTheirReason(t *testing.T) {
	layer := layerEntries(t, "zones")
	with := func(more ...entry) []byte { return zipped(t, append(slices.Clone(layer), more...)...) }
	zeros := bytes.Clone(layer[0].data)
	noise := make([]byte, 1<<17) // doesn't pack
	rand.NewChaCha8([32]byte{}).Read(noise)
	many := slices.Clone(layer)
	for i := range 3000 {
		many = append(many, entry{name: fmt.Sprintf("photo-%d.jpg", i)})
	}
	var told []string
	for _, c := range []struct {
		name  string
		data  []byte
		layer string
		rule  archiveRule
	}{
		{"empty", nil, "", notAnArchive},
		{"text", []byte("no archive at all, but long enough to look for its end"), "", notAnArchive},
		{"cut short", with()[:500], "", notAnArchive},
		{"path up", with(entry{name: "../zones.shp"}), "", pathEscapes},
		{"path up inside", with(entry{name: "a/../../zones.shp"}), "", pathEscapes},
		{"path up with backslashes", with(entry{name: `..\zones.shp`}), "", pathEscapes},
		{"path from the root", with(entry{name: "/etc/zones.shp"}), "", pathEscapes},
		{"drive letter", with(entry{name: `C:\zones.shp`}), "", pathEscapes},
		{"link", with(entry{name: "other.shp", data: []byte("/etc/passwd"), mode: fs.ModeSymlink | 0o777}), "", linkEntry},
		{"device", with(entry{name: "other.shp", mode: fs.ModeDevice | 0o666}), "", linkEntry},
		{"thousands of entries", zipped(t, many...), "", tooManyEntries},
		{"none", zipped(t, entry{name: "readme.txt"}), "", noLayer},
		{"a table alone", zipped(t, layer[2]), "", noLayer},
		{"an archive in the archive", zipped(t, entry{name: "inner.zip", data: with()}), "", noLayer},
		{"clutter alone", zipped(t, entry{name: "__MACOSX/zones.shp"}), "", noLayer},
		{"two", zipped(t, append(layerEntries(t, "a"), layerEntries(t, "b")...)...), "", severalLayers},
		{"two of one name", zipped(t, append(layerEntries(t, "x/a"), layerEntries(t, "y/a")...)...), "a", severalLayers},
		{"not there", with(), "b", unknownLayer},
		{"twice", with(layer[2]), "", duplicateEntry},
		{"twice in other case", with(entry{name: "ZONES.SHP", data: zeros}), "", duplicateEntry},
		{"encrypted", patched(t, with(), func(central []byte) { central[8] |= 1 }), "", encrypted},
		{"unknown method", patched(t, with(), func(central []byte) { central[10] = 99 }), "", unknownMethod},
		{"wrong checksum", patched(t, with(), func(central []byte) { central[16]++ }), "", damagedEntry},
		{"states less than there is", patched(t, with(), func(central []byte) { putLittle(central, 24, 100) }), "", damagedEntry},
		{"states more than there is", patched(t, with(), func(central []byte) { putLittle(central, 24, 5000) }), "", damagedEntry},
		{"states 4 GB", patched(t, with(), func(central []byte) { putLittle(central, 24, 1<<32-2) }), "", ratioTooHigh},
		{"states 4 GB of 4 GB", patched(t, with(), func(central []byte) { putLittle(central, 20, 1<<32-2); putLittle(central, 24, 1<<32-2) }), "", damagedEntry},
		{"states 180 times what it packs", patched(t, zipped(t, entry{name: "zones.shp", data: noise}), func(central []byte) { putLittle(central, 24, 180*uint32(len(noise))) }), "", damagedEntry},
		{"1 GB of zeros", zeroBomb(t, 1<<30), "", ratioTooHigh},
	} {
		t.Run(c.name, func(t *testing.T) {
			var err error
			took := allocated(func() { _, err = unzip(c.data, c.layer) })
			var refused *ArchiveError
			if !errors.As(err, &refused) || refused.Rule != c.rule {
				t.Fatalf("got %v, want %s", err, c.rule)
			}
			told = append(told, c.name+": "+strings.TrimSuffix(err.Error()+" -> "+refused.Hint, " -> "))
			if limit := uint64(16*len(c.data) + 1<<20); took > limit {
				t.Errorf("took %d bytes for an archive of %d", took, len(c.data))
			}
		})
	}
	if got := strings.Join(told, "\n"); got != archivesTold {
		t.Errorf("told is\n%s\nwant\n%s", got, archivesTold)
	}
}

// archivesTold is what is said of each bad archive, and what to do.
const archivesTold = `empty: is no zip archive that can be read: it is cut short, or another kind of file
text: is no zip archive that can be read: it is cut short, or another kind of file
cut short: is no zip archive that can be read: it is cut short, or another kind of file
path up: entry "../zones.shp": is a path that leads out of the archive or is not a plain one
path up inside: entry "a/../../zones.shp": is a path that leads out of the archive or is not a plain one
path up with backslashes: entry "..\\zones.shp": is a path that leads out of the archive or is not a plain one
path from the root: entry "/etc/zones.shp": is a path that leads out of the archive or is not a plain one
drive letter: entry "C:\\zones.shp": is a path that leads out of the archive or is not a plain one
link: entry "other.shp": is a link or a device, not a file
device: entry "other.shp": is a link or a device, not a file
thousands of entries: has 3005 entries, more than the 1000 allowed -> ask for an archive of the field alone, or allow more with --zip-entries
none: holds no .shp
a table alone: holds no .shp
an archive in the archive: entry "inner.zip": is an archive in the archive, and there is no .shp beside it -> unpack it and give the inner one
clutter alone: holds no .shp
two: holds 2 shapefiles: a, b -> choose one with --layer NAME
two of one name: holds 2 shapefiles: x/a, y/a -> choose one with --layer NAME
not there: holds no shapefile named "b", but: zones -> choose one with --layer NAME
twice: entry "zones.dbf": is there twice
twice in other case: entry "ZONES.SHP": is there twice
encrypted: entry "zones.shp": is encrypted -> unpack the archive with its password first
unknown method: entry "zones.shp": is packed by method 99, which is not read
wrong checksum: entry "zones.shp": is damaged: zip: checksum error
states less than there is: entry "zones.shp": is damaged: zip: not a valid zip file
states more than there is: entry "zones.shp": is damaged: unexpected EOF
states 4 GB: entry "zones.shp": unpacks 142 bytes to 4294967294, more than 200 times as many -> no field packs so tightly; if it comes from somebody you know, allow more with --zip-ratio
states 4 GB of 4 GB: entry "zones.shp": is damaged: states 4294967294 packed bytes in an archive of 872
states 180 times what it packs: entry "zones.shp": is damaged: unexpected EOF
1 GB of zeros: entry "zones.shp": unpacks 1061893 bytes to 1073741824, more than 200 times as many -> no field packs so tightly; if it comes from somebody you know, allow more with --zip-ratio`

// A part of a megabyte may be packed however tightly, and one of a byte more may not.
func TestSmallPartsMayBeTight(t *testing.T) {
	for size, want := range map[int]string{ratioFloor: "<nil>", ratioFloor + 1: "more than 200 times as many"} {
		data := zipped(t, entry{name: "a.bin", data: make([]byte, size)})
		files, err := UnzipFiles(bytes.NewReader(data), int64(len(data)), func(string) bool { return true }, DefaultLimits(), nil)
		if !strings.HasSuffix(fmt.Sprint(err), want) || err == nil && len(files["a.bin"]) != size {
			t.Errorf("%d bytes in %d: %v, want %s", size, len(data), err, want)
		}
	}
}

// patched changes the central directory's entry of the first file.
func patched(t testing.TB, data []byte, change func(central []byte)) []byte {
	data = bytes.Clone(data)
	at := bytes.Index(data, []byte("PK\x01\x02"))
	if at < 0 {
		t.Fatal("no central directory")
	}
	change(data[at:])
	return data
}

// zeroBomb packs n zeros, whole megabytes, as a .shp into about a thousandth. One
// packed megabyte, ended at a byte's border, is repeated; the checksum is left 0.
func zeroBomb(t testing.TB, n int) []byte {
	t.Helper()
	var block, buf bytes.Buffer
	pack, err := flate.NewWriter(&block, flate.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := pack.Write(make([]byte, 1<<20)); err != nil {
		t.Fatal(err)
	}
	if err := pack.Flush(); err != nil {
		t.Fatal(err)
	}
	packed := bytes.Repeat(block.Bytes(), n>>20)
	packed = append(packed, 0x01, 0, 0, 0xFF, 0xFF) // a last block without bytes
	w := zip.NewWriter(&buf)
	to, err := w.CreateRaw(&zip.FileHeader{
		Name: "zones.shp", Method: zip.Deflate,
		CompressedSize64: uint64(len(packed)), UncompressedSize64: uint64(n),
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := to.Write(packed); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestLimitsAreTheCallers(t *testing.T) {
	data := zipped(t, layerEntries(t, "zones")...)
	for _, c := range []struct {
		change func(*Limits)
		rule   archiveRule
	}{
		{func(l *Limits) { l.MaxEntries = 4 }, tooManyEntries},
		{func(l *Limits) { l.MaxUnpacked = 800 }, tooLarge},
		{func(l *Limits) { l.MaxUnpacked = 1000 }, tooLarge}, // the .shp fits, the .dbf no more
	} {
		lim := DefaultLimits()
		c.change(&lim)
		_, err := Unzip(bytes.NewReader(data), int64(len(data)), "", lim, nil)
		var refused *ArchiveError
		if !errors.As(err, &refused) || refused.Rule != c.rule {
			t.Errorf("%+v: got %v, want %s", lim, err, c.rule)
		}
	}
}

func TestSeveralLayersAreNamed(t *testing.T) {
	_, err := unzip(zipped(t, append(layerEntries(t, "b"), layerEntries(t, "x/a")...)...), "")
	var refused *ArchiveError
	if !errors.As(err, &refused) {
		t.Fatal(err)
	}
	if want := "holds 2 shapefiles: b, x/a"; err.Error() != want || refused.Hint != "choose one with --layer NAME" {
		t.Errorf("got %q, hint %q; want %q", err, refused.Hint, want)
	}
}

// Names in the code page of the first PCs, as programs write that know no other: 0x84 is a
// small a with dots there.
func TestNamesInTheOldCodePage(t *testing.T) {
	data := bytes.ReplaceAll(zipped(t, layerEntries(t, "f#ld")...), []byte("f#ld"), []byte("f\x84ld"))
	f, err := unzip(data, "")
	if err != nil || f.Name != "f\u00e4ld" {
		t.Fatalf("%q, %v", f.Name, err)
	}
	mustDecode(t, f)
}

// TestStoredEntries has parts that are not packed at all.
func TestStoredEntries(t *testing.T) {
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for _, e := range layerEntries(t, "zones") {
		to, err := w.CreateRaw(&zip.FileHeader{
			Name: e.name, Method: zip.Store, CRC32: crc32.ChecksumIEEE(e.data),
			CompressedSize64: uint64(len(e.data)), UncompressedSize64: uint64(len(e.data)),
		})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(to, bytes.NewReader(e.data)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := unzip(buf.Bytes(), "")
	if err != nil {
		t.Fatal(err)
	}
	mustDecode(t, f)
}

// Room is asked for each part by what it states, and what it refuses is not unpacked.
func TestRoomIsAskedBeforeUnpacking(t *testing.T) {
	layer := layerEntries(t, "zones")
	data := patched(t, zipped(t, layer...), func(central []byte) { central[16]++ }) // a .shp that can't be unpacked
	refusal := errors.New("no room")
	var name string
	var size int64
	refuse := func(n string, s int64) error { name, size = n, s; return refusal }
	if _, err := Unzip(bytes.NewReader(data), int64(len(data)), "", DefaultLimits(), refuse); err != refusal {
		t.Errorf("got %v", err)
	}
	if name != "zones.shp" || size != int64(len(layer[0].data)) {
		t.Errorf("asked about %d bytes of %s", size, name)
	}
	all := func(string) bool { return true }
	if _, err := UnzipFiles(bytes.NewReader(data), int64(len(data)), all, DefaultLimits(), refuse); err != refusal {
		t.Errorf("files: got %v", err)
	}
	asked := 0
	count := func(string, int64) error { asked++; return nil }
	good := zipped(t, layer...)
	if _, err := Unzip(bytes.NewReader(good), int64(len(good)), "", DefaultLimits(), count); err != nil || asked != len(layer) {
		t.Errorf("%v: asked %d times", err, asked)
	}
}

// What refuses an archive of a layer refuses one of other files too.
func TestFilesOfBadArchivesAreRefused(t *testing.T) {
	main := entry{name: "TASKDATA/TASKDATA.XML", data: []byte("<x/>")}
	for rule, bad := range map[archiveRule]entry{duplicateEntry: main, pathEscapes: {name: "../a.bin"}, linkEntry: {name: "a.bin", mode: fs.ModeSymlink | 0o777}, "": {name: "a.bin"}} {
		data := zipped(t, main, bad)
		_, err := UnzipFiles(bytes.NewReader(data), int64(len(data)), func(name string) bool { return name == main.name }, DefaultLimits(), nil)
		var refused *ArchiveError
		if errors.As(err, &refused) != (rule != "") || refused != nil && refused.Rule != rule {
			t.Errorf("got %v, want %q", err, rule)
		}
	}
}

// Parts that are small each may unpack to far more together than any field, also where they
// are one and the same place of the archive.
func TestManySmallPartsThatUnpackToMuch(t *testing.T) {
	for parts, refused := range map[int]bool{1: false, 20: true} {
		var entries []entry
		for i := range parts {
			entries = append(entries, entry{name: fmt.Sprintf("CTR%05d.XML", i), data: bytes.Repeat([]byte("<CTR/>"), ratioFloor/6)})
		}
		data := zipped(t, entries...)
		files, err := UnzipFiles(bytes.NewReader(data), int64(len(data)), func(string) bool { return true }, DefaultLimits(), nil)
		var told *ArchiveError
		switch {
		case refused && (!errors.As(err, &told) || told.Rule != ratioTooHigh || told.Hint == ""):
			t.Errorf("%d parts of %d bytes from %d: %d files, %v", parts, ratioFloor, len(data), len(files), err)
		case !refused && err != nil:
			t.Errorf("%d parts: %v", parts, err)
		}
	}
}
