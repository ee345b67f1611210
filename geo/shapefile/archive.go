package shapefile

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"rxsplit/geo"
)

// Limits bound what [Unzip] takes from an archive.
type Limits struct {
	MaxEntries  int   `json:"entries"` // files and folders in the archive
	MaxUnpacked int64 `json:"bytes"`   // bytes of all parts together
	MaxRatio    int   `json:"ratio"`   // unpacked to packed bytes of a part, where it unpacks to more than 1 MiB
}

// room is asked before an entry is unpacked: its error refuses what memory has no room for.
type room func(name string, size int64) error

// DefaultLimits are far above what real layers need: polygons pack to a third or
// a tenth, blank tables to a hundredth.
func DefaultLimits() Limits {
	return Limits{MaxEntries: 1000, MaxUnpacked: 4 << 30, MaxRatio: 200}
}

// archiveRule says what an archive broke.
type archiveRule string

// The rules of archives.
const (
	notAnArchive   archiveRule = "not-an-archive"
	tooManyEntries archiveRule = "too-many-entries"
	pathEscapes    archiveRule = "path-escapes"
	linkEntry      archiveRule = "link"
	noLayer        archiveRule = "no-layer"
	severalLayers  archiveRule = "several-layers"
	unknownLayer   archiveRule = "unknown-layer"
	duplicateEntry archiveRule = "duplicate-entry"
	encrypted      archiveRule = "encrypted"
	unknownMethod  archiveRule = "unknown-method"
	tooLarge       archiveRule = "too-large"
	ratioTooHigh   archiveRule = "ratio-too-high"
	damagedEntry   archiveRule = "damaged-entry"
)

// noArchive is said of what has another form, or was cut short: a zip's list of files stands at its end.
const noArchive = "is no zip archive that can be read: it is cut short, or another kind of file"

// ArchiveError is an archive that no shapefile can be taken from.
type ArchiveError struct {
	Rule   archiveRule
	Entry  string   // quoted in the message; empty if the archive as a whole is meant
	Layers []string // that the archive holds, if that is what it is about
	Why    string
	Hint   string // what to do next; may be empty
	Err    error  // below it; may be nil
}

func (e *ArchiveError) Error() string {
	var s strings.Builder
	if e.Entry != "" {
		fmt.Fprintf(&s, "entry %q: ", geo.Shorten(e.Entry))
	}
	s.WriteString(e.Why)
	if len(e.Layers) > 0 {
		fmt.Fprintf(&s, ": %s", strings.Join(e.Layers, ", "))
	}
	return s.String()
}

func (e *ArchiveError) Unwrap() error { return e.Err }

// tooTight says what to do about an archive that unpacks to far more than it holds.
const tooTight = "no field packs so tightly; if it comes from somebody you know, allow more with --zip-ratio"

// ratioFloor is the unpacked size up to which a part may be packed however tightly.
const ratioFloor = 1 << 20

// unpack reads the parts of a layer. Sizes are checked as stated before a byte is
// unpacked, and reading stops where they turn out to be lies.
func (l *zippedLayer) unpack(archive int64, lim Limits, room room) (Files, error) {
	f := Files{Name: l.name()}
	left := lim.MaxUnpacked
	for _, part := range f.Parts() {
		entries := l.parts[part.Ext]
		if len(entries) == 0 {
			continue
		}
		if len(entries) > 1 {
			return Files{}, &ArchiveError{Rule: duplicateEntry, Entry: entries[1].Name, Why: "is there twice"}
		}
		data, err := unpackEntry(entries[0], archive, left, lim, room)
		if err != nil {
			return Files{}, err
		}
		left -= int64(len(data))
		*part.Data = data
	}
	return f, nil
}

func unpackEntry(f *zip.File, archive, left int64, lim Limits, room room) ([]byte, error) {
	if err := checkSize(f, archive, left, lim); err != nil {
		return nil, err
	}
	if room != nil {
		if err := room(f.Name, int64(f.UncompressedSize64)); err != nil {
			return nil, err
		}
	}
	data, err := readAll(f)
	switch {
	case errors.Is(err, zip.ErrAlgorithm):
		return nil, &ArchiveError{Rule: unknownMethod, Entry: f.Name, Why: fmt.Sprintf("is packed by method %d, which is not read", f.Method), Err: err}
	case err != nil:
		return nil, &ArchiveError{Rule: damagedEntry, Entry: f.Name, Why: "is damaged: " + err.Error(), Err: err}
	}
	return data, nil
}

func checkSize(f *zip.File, archive, left int64, lim Limits) error {
	const encryptedFlag = 1
	switch size := f.UncompressedSize64; {
	case f.Flags&encryptedFlag != 0:
		return &ArchiveError{Rule: encrypted, Entry: f.Name, Why: "is encrypted", Hint: "unpack the archive with its password first"}
	case f.CompressedSize64 > uint64(archive):
		return &ArchiveError{Rule: damagedEntry, Entry: f.Name, Why: fmt.Sprintf("is damaged: states %d packed bytes in an archive of %d", f.CompressedSize64, archive)}
	case size > uint64(max(left, 0)):
		return &ArchiveError{Rule: tooLarge, Entry: f.Name, Why: fmt.Sprintf("unpacks to %d bytes; all parts together may have %d", size, lim.MaxUnpacked),
			Hint: "if it comes from somebody you know, allow more with --zip-bytes"}
	case size > ratioFloor && size/uint64(max(lim.MaxRatio, 1)) > f.CompressedSize64:
		return &ArchiveError{Rule: ratioTooHigh, Entry: f.Name, Why: fmt.Sprintf("unpacks %d bytes to %d, more than %d times as many", f.CompressedSize64, size, lim.MaxRatio),
			Hint: tooTight}
	}
	return nil
}

// usualRatio is how tightly parts are packed at most, most of the time.
const usualRatio = 16

// readAll reads an entry of the size it states; the reader itself stops with an
// error where there is more or less, or a wrong checksum. Room is made at once, for as
// many bytes as there are: where more are stated than is usual, they are counted first.
func readAll(f *zip.File) ([]byte, error) {
	size := f.UncompressedSize64
	if size > usualRatio*f.CompressedSize64+ratioFloor {
		if err := copyEntry(io.Discard, f); err != nil {
			return nil, err
		}
	}
	var buf bytes.Buffer
	buf.Grow(int(size) + bytes.MinRead)
	if err := copyEntry(&buf, f); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

func copyEntry(to io.Writer, f *zip.File) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	size := int64(f.UncompressedSize64)
	n, err := io.Copy(to, io.LimitReader(r, size+1))
	if err == nil && n != size {
		return fmt.Errorf("%d bytes, want %d", n, size)
	}
	return err
}
