package shapefile

import (
	"archive/zip"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"rxsplit/geo"
)

// Unzip takes one shapefile out of a zip archive of a size in bytes: the only
// one, or the one that layer names, by its base name or its path in the archive
// without extension, in any case of letters. Parts belong together if they are in
// one folder and have one name, whatever the case of their letters.
//
// Folders, other files and what some systems add (__MACOSX, names that begin with
// a dot) are passed over unopened. An archive with a path that leads out of it or
// with a link is refused as a whole: no honest program makes one. What is refused
// is an [*ArchiveError] with its rule, or what room, unless it is nil, says of a part and the
// bytes that it states before they are unpacked.
func Unzip(r io.ReaderAt, size int64, layer string, lim Limits, room room) (Files, error) {
	entries, err := entriesOf(r, size, lim)
	if err != nil {
		return Files{}, err
	}
	chosen, err := choose(findLayers(entries), layer)
	if err != nil {
		return Files{}, err
	}
	return chosen.unpack(size, lim, room)
}

// zippedLayer is the parts of one shapefile in an archive.
type zippedLayer struct {
	path  string // in the archive, without extension, as the .shp has it
	parts map[string][]*zip.File
}

func (l *zippedLayer) name() string { return path.Base(l.path) }

// zippedLayers are the groups of parts by their path in lower case.
type zippedLayers struct {
	groups map[string]*zippedLayer
	nested string // another archive inside, if there is one
}

func findLayers(entries []*zip.File) zippedLayers {
	l := zippedLayers{groups: map[string]*zippedLayer{}}
	for _, f := range entries {
		l.add(f, entryPath(f))
	}
	maps.DeleteFunc(l.groups, func(_ string, g *zippedLayer) bool { return len(g.parts[".shp"]) == 0 })
	return l
}

// entriesOf lists the files in an archive, but for what some systems add. An archive is refused
// as a whole for any entry that no honest program makes.
func entriesOf(r io.ReaderAt, size int64, lim Limits) (files []*zip.File, err error) {
	archive, err := zip.NewReader(r, size)
	if err != nil && (archive == nil || err != zip.ErrInsecurePath) {
		return nil, &ArchiveError{Rule: notAnArchive, Why: noArchive, Err: err}
	}
	if n := len(archive.File); n > lim.MaxEntries {
		return nil, &ArchiveError{Rule: tooManyEntries, Why: fmt.Sprintf("has %d entries, more than the %d allowed", n, lim.MaxEntries),
			Hint: "ask for an archive of the field alone, or allow more with --zip-entries"}
	}
	for _, f := range archive.File {
		if err := checkEntry(f); err != nil {
			return nil, err
		}
		if !f.Mode().IsDir() && !isClutter(entryPath(f)) {
			files = append(files, f)
		}
	}
	return files, nil
}

func checkEntry(f *zip.File) error {
	if f.Mode()&fs.ModeSymlink != 0 || f.Mode()&fs.ModeType&^fs.ModeDir != 0 {
		return &ArchiveError{Rule: linkEntry, Entry: f.Name, Why: "is a link or a device, not a file"}
	}
	if name := entryPath(f); !fs.ValidPath(name) || strings.ContainsAny(name, ":\x00") {
		return &ArchiveError{Rule: pathEscapes, Entry: f.Name, Why: "is a path that leads out of the archive or is not a plain one"}
	}
	return nil
}

// entryPath returns an entry's path with slashes: some programs on Windows write
// the other kind, and some begin with "./". A name that is not said to be UTF-8, and is
// none, is in the code page of the first PCs (APPNOTE 6.3.10, appendix D).
func entryPath(f *zip.File) string {
	name := f.Name
	if f.NonUTF8 && !utf8.ValidString(name) {
		name, _ = charmap.CodePage437.NewDecoder().String(name) // which has a letter for each byte
	}
	name = strings.ReplaceAll(name, `\`, "/")
	return strings.TrimPrefix(strings.TrimSuffix(name, "/"), "./")
}

func isClutter(name string) bool {
	return strings.HasPrefix(name, "__MACOSX/") || strings.HasPrefix(path.Base(name), ".")
}

func (l *zippedLayers) add(f *zip.File, name string) {
	ext := strings.ToLower(path.Ext(name))
	if ext == ".zip" {
		l.nested = f.Name
	}
	if !slices.Contains(Extensions(), ext) {
		return
	}
	stem := name[:len(name)-len(ext)]
	key := strings.ToLower(stem)
	group := l.groups[key]
	if group == nil {
		group = &zippedLayer{path: stem, parts: map[string][]*zip.File{}}
		l.groups[key] = group
	}
	group.parts[ext] = append(group.parts[ext], f)
	if ext == ".shp" {
		group.path = stem
	}
}

func (l *zippedLayers) paths() (paths []string) {
	for _, key := range slices.Sorted(maps.Keys(l.groups)) {
		paths = append(paths, l.groups[key].path)
	}
	return paths
}

// choose returns the layer that is asked for, or the only one.
func choose(l zippedLayers, layer string) (*zippedLayer, error) {
	if len(l.groups) == 0 {
		e := &ArchiveError{Rule: noLayer, Why: "holds no .shp"}
		if l.nested != "" {
			e.Entry, e.Why = l.nested, "is an archive in the archive, and there is no .shp beside it"
			e.Hint = "unpack it and give the inner one"
		}
		return nil, e
	}
	var fit []*zippedLayer
	for _, key := range slices.Sorted(maps.Keys(l.groups)) {
		g := l.groups[key]
		if strings.EqualFold(layer, g.path) {
			return g, nil
		}
		if layer == "" || strings.EqualFold(layer, g.name()) {
			fit = append(fit, g)
		}
	}
	switch {
	case len(fit) == 0:
		return nil, &ArchiveError{Rule: unknownLayer, Layers: l.paths(), Why: fmt.Sprintf("holds no shapefile named %q, but", geo.Shorten(layer)), Hint: "choose one with --layer NAME"}
	case len(fit) > 1:
		return nil, &ArchiveError{Rule: severalLayers, Layers: l.paths(), Why: fmt.Sprintf("holds %d shapefiles", len(l.groups)), Hint: "choose one with --layer NAME"}
	}
	return fit[0], nil
}

// UnzipFiles takes the files out of a zip archive that want names by their paths, within
// the limits of [Unzip] and refused as that refuses. What some systems add is never wanted.
func UnzipFiles(r io.ReaderAt, size int64, want func(path string) bool, lim Limits, room room) (map[string][]byte, error) {
	entries, err := entriesOf(r, size, lim)
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	left := lim.MaxUnpacked
	for _, f := range entries {
		name := entryPath(f)
		if !want(name) {
			continue
		}
		if _, twice := files[name]; twice {
			return nil, &ArchiveError{Rule: duplicateEntry, Entry: f.Name, Why: "is there twice"}
		}
		data, err := unpackEntry(f, size, left, lim, room)
		if err != nil {
			return nil, err
		}
		left -= int64(len(data))
		files[name] = data
		if all := lim.MaxUnpacked - left; all > ratioFloor && all/int64(max(lim.MaxRatio, 1)) > size { // each by itself may be small
			return nil, &ArchiveError{Rule: ratioTooHigh, Why: fmt.Sprintf("unpacks to more than %d times its %d bytes", lim.MaxRatio, size), Hint: tooTight}
		}
	}
	return files, nil
}
