package shapefile

import (
	"archive/zip"
	"fmt"
	"io"
)

// UnzipFiles takes the files out of a zip archive that want names by their paths, within
// the limits of [Unzip] and refused as that refuses. What some systems add is never wanted.
func UnzipFiles(r io.ReaderAt, size int64, want func(path string) bool, lim Limits) (map[string][]byte, error) {
	archive, err := zip.NewReader(r, size)
	if err != nil && archive == nil || err != nil && err != zip.ErrInsecurePath {
		return nil, &ArchiveError{Rule: notAnArchive, Why: "is no zip archive that can be read: " + err.Error(), Err: err}
	}
	if n := len(archive.File); n > lim.MaxEntries {
		return nil, &ArchiveError{Rule: tooManyEntries, Why: fmt.Sprintf("has %d entries, more than the %d allowed", n, lim.MaxEntries),
			Hint: "ask for an archive of the field alone, or allow more with --zip-entries"}
	}
	files := map[string][]byte{}
	left := lim.MaxUnpacked
	for _, f := range archive.File {
		if err := checkEntry(f); err != nil {
			return nil, err
		}
		name := entryPath(f)
		if f.Mode().IsDir() || isClutter(name) || !want(name) {
			continue
		}
		if _, twice := files[name]; twice {
			return nil, &ArchiveError{Rule: duplicateEntry, Entry: f.Name, Why: "is there twice"}
		}
		if err := checkSize(f, size, left, lim); err != nil {
			return nil, err
		}
		data, err := unpackEntry(f)
		if err != nil {
			return nil, err
		}
		left -= int64(len(data))
		files[name] = data
	}
	return files, nil
}
