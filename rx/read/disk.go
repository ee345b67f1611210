package read

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"rxsplit/geo/shapefile"
	"rxsplit/internal/cores"
	"rxsplit/rx"
)

// part is a file of the source, as it was read.
type part struct {
	name string
	data []byte
}

func digest(parts []part) []rx.SourceFile {
	files := make([]rx.SourceFile, len(parts))
	for i, p := range parts {
		sum := sha256.Sum256(p.data)
		files[i] = rx.SourceFile{Name: p.name, SHA256: hex.EncodeToString(sum[:]), Size: int64(len(p.data))}
	}
	return files
}

// readParts reads a shapefile and what stands beside it under the same name,
// whatever the case of the endings.
func readParts(path string, folders *Folders) (shapefile.Files, []part, error) {
	base := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	parts := shapefile.Files{Name: base}
	var files []part
	shp, err := readAll(path)
	if errors.Is(err, fs.ErrNotExist) {
		return parts, nil, noShapes(path, base, err)
	}
	if err != nil {
		return parts, nil, err
	}
	parts.Shp = shp
	files = append(files, part{filepath.Base(path), shp})
	for _, side := range parts.Parts()[1:] {
		name, err := folders.sibling(path, base, side.Ext)
		if err != nil {
			return parts, nil, err
		}
		if name == "" {
			continue
		}
		data, err := readAll(filepath.Join(filepath.Dir(path), name))
		if err != nil {
			return parts, nil, err
		}
		*side.Data = data
		files = append(files, part{name, data})
	}
	if parts.Dbf == nil {
		return parts, nil, &Error{
			File: filepath.Base(path),
			What: "has no " + base + ".dbf beside it, which holds the rates",
			Hint: hintAllParts,
		}
	}
	return parts, files, nil
}

const hintAllParts = "copy all parts of the shapefile (.shp .shx .dbf .prj .cpg) into one folder, or its .zip as it came"

// noShapes tells a shapefile whose .shp is missing from a wrong name.
func noShapes(path, base string, err error) error {
	if table, _ := (*Folders)(nil).sibling(path, base, ".dbf"); table != "" {
		return &Error{File: filepath.Base(path), What: "is missing beside " + table + "; it holds the polygons", Hint: hintAllParts, Err: err}
	}
	return err
}

// largestPart is beyond what a part of a shapefile can say of itself: a .shp states
// its length in 16-bit words as a signed number of 32 bits.
const largestPart = 1 << 32

// regular makes sure that a path leads to a file of its own, before it is opened:
// opening a pipe waits for whoever writes to it.
func regular(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return pathError(err)
	case info.IsDir():
		return &Error{File: filepath.Base(path), What: "is a folder", Hint: "name the file in it; " + Wanted()}
	case !info.Mode().IsRegular():
		return &Error{File: filepath.Base(path), What: "is not a regular file", Hint: "name the prescription's own file, or give " + onStandardInput + " on standard input with -"}
	}
	return nil
}

// reading opens a file, has it read, and makes sure that nobody wrote to it meanwhile.
func reading(path string, read func(file *os.File, size int64) error) error {
	if err := regular(path); err != nil {
		return err
	}
	file, err := os.Open(path)
	if err != nil {
		return pathError(err)
	}
	defer file.Close()
	before, err := file.Stat()
	if err != nil {
		return pathError(err)
	}
	if err := read(file, before.Size()); err != nil {
		return err
	}
	return unchanged(file, before)
}

// readAll reads a whole file that may be a part of a shapefile, or an archive.
func readAll(path string) (data []byte, err error) {
	err = reading(path, func(file *os.File, size int64) error {
		if size > largestPart {
			return &Error{File: filepath.Base(path), What: fmt.Sprintf("has %d bytes, more than a shapefile can have", size), Hint: "name the prescription's own file"}
		}
		if err := enough(filepath.Base(path), size, timesOf(path)); err != nil {
			return err
		}
		data, err = readSize(file, filepath.Base(path), size)
		return err
	})
	return data, err
}

// atOnce is how many bytes of a file one core reads at a time.
const atOnce = 4 << 20

// readSize reads as many bytes as a file had when it was opened.
func readSize(r io.ReaderAt, name string, size int64) ([]byte, error) {
	data := make([]byte, size)
	err := cores.Try(len(data), atOnce, func(from, to int) error {
		_, err := r.ReadAt(data[from:to], int64(from))
		return err
	})
	if err != nil {
		return nil, &Error{File: name, What: "got shorter while it was read", Hint: "wait until it is copied, then run again", Err: err}
	}
	return data, nil
}

func unchanged(file *os.File, before fs.FileInfo) error {
	after, err := file.Stat()
	if err != nil {
		return pathError(err)
	}
	if before.Mode().IsRegular() && (after.Size() != before.Size() || !after.ModTime().Equal(before.ModTime())) {
		return &Error{File: filepath.Base(file.Name()), What: "changed while it was read", Hint: "wait until it is copied, then run again"}
	}
	return nil
}

// pathError says what the system said, with the base name first.
func pathError(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		e := &Error{File: pe.Path, What: pe.Err.Error(), Hint: "check the name and the folder", Err: err}
		switch {
		case errors.Is(err, fs.ErrNotExist):
			e.What = "no such file"
		case errors.Is(err, fs.ErrPermission):
			e.Hint = "copy it to where you may read it"
		}
		return e
	}
	return err
}

// firstBytes reads the start of a file that its name doesn't tell about.
func firstBytes(path string) (head []byte, err error) {
	err = reading(path, func(file *os.File, size int64) error {
		head, err = readSize(file, filepath.Base(path), min(size, 64))
		return err
	})
	return head, err
}

// Folders remembers what lies in folders, so that many files of one folder don't
// list it again and again. The zero value remembers nothing yet; nil never does.
// It is for one run: a file that comes later is not seen.
type Folders struct {
	mu    sync.Mutex
	names map[string]map[string]string
}

// sibling returns the name of base with the ending ext, preferring its exact
// spelling; empty if there is none.
func (f *Folders) sibling(path, base, ext string) (string, error) {
	dir := filepath.Dir(path)
	for _, name := range []string{base + ext, base + strings.ToUpper(ext)} {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			return name, nil
		}
	}
	names, err := f.list(dir)
	if err != nil {
		return "", pathError(err)
	}
	return names[strings.ToLower(base+ext)], nil
}

// list returns the names in a folder by their lower case.
func (f *Folders) list(dir string) (map[string]string, error) {
	if f != nil {
		f.mu.Lock()
		defer f.mu.Unlock()
		if names, ok := f.names[dir]; ok {
			return names, nil
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	names := make(map[string]string, len(entries))
	for _, entry := range entries {
		if lower := strings.ToLower(entry.Name()); names[lower] == "" {
			names[lower] = entry.Name()
		}
	}
	if f != nil {
		if f.names == nil {
			f.names = map[string]map[string]string{}
		}
		f.names[dir] = names
	}
	return names, nil
}

// sideHash digests on a goroutine of its own what passes through a reader.
type sideHash struct {
	blocks chan []byte
	free   chan []byte // those that were digested
	done   chan struct{}
	sum    hash.Hash
	size   int64
}

func newHash() *sideHash {
	h := &sideHash{blocks: make(chan []byte, 4), free: make(chan []byte, 6), done: make(chan struct{}), sum: sha256.New()}
	go func() {
		defer close(h.done)
		for b := range h.blocks {
			h.sum.Write(b)
			h.free <- b // there are no more than find room
		}
	}()
	return h
}

// digestedAtOnce is how many bytes are digested as they are read: a small file
// takes less time than a copy of it.
const digestedAtOnce = 1 << 20

// Write takes a copy: the reader's buffer is used again.
func (h *sideHash) Write(b []byte) (int, error) {
	if h.size += int64(len(b)); h.size <= digestedAtOnce {
		return h.sum.Write(b) // the goroutine has nothing yet
	}
	var block []byte
	select {
	case block = <-h.free:
	default:
	}
	h.blocks <- append(block[:0], b...)
	return len(b), nil
}

func (h *sideHash) close() (sum string, size int64) {
	close(h.blocks)
	<-h.done
	return hex.EncodeToString(h.sum.Sum(nil)), h.size
}

// hashed reads what it hashes, and is as long as what it reads.
type hashed struct {
	r    io.Reader
	hash *sideHash
	ctx  context.Context // cancels the reading; nil for never
}

func (h *hashed) Read(b []byte) (int, error) {
	if h.ctx != nil && h.ctx.Err() != nil {
		return 0, h.ctx.Err()
	}
	n, err := h.r.Read(b)
	if n > 0 {
		h.hash.Write(b[:n]) // it never fails
	}
	return n, err
}

// Stat describes the file that is read; a stream has none.
func (h *hashed) Stat() (fs.FileInfo, error) {
	if file, ok := h.r.(interface{ Stat() (fs.FileInfo, error) }); ok {
		return file.Stat()
	}
	return nil, fs.ErrInvalid
}
