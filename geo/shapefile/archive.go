package shapefile

import (
	"fmt"
	"strings"
)

// Limits bound what [Unzip] takes from an archive.
type Limits struct {
	MaxEntries  int   `json:"entries"` // files and folders in the archive
	MaxUnpacked int64 `json:"bytes"`   // bytes of all parts together
	MaxRatio    int   `json:"ratio"`   // unpacked to packed bytes of a part, where it unpacks to more than 1 MiB
}

// DefaultLimits are far above what real layers need: polygons pack to a third or
// a tenth, blank tables to a hundredth.
func DefaultLimits() Limits {
	return Limits{MaxEntries: 1000, MaxUnpacked: 4 << 30, MaxRatio: 200}
}

// ArchiveRule says what an archive broke.
type ArchiveRule string

// The rules of archives.
const (
	NotAnArchive   ArchiveRule = "not-an-archive"
	TooManyEntries ArchiveRule = "too-many-entries"
	PathEscapes    ArchiveRule = "path-escapes"
	LinkEntry      ArchiveRule = "link"
	NoLayer        ArchiveRule = "no-layer"
	SeveralLayers  ArchiveRule = "several-layers"
	UnknownLayer   ArchiveRule = "unknown-layer"
	DuplicateEntry ArchiveRule = "duplicate-entry"
	Encrypted      ArchiveRule = "encrypted"
	UnknownMethod  ArchiveRule = "unknown-method"
	TooLarge       ArchiveRule = "too-large"
	RatioTooHigh   ArchiveRule = "ratio-too-high"
	DamagedEntry   ArchiveRule = "damaged-entry"
)

// ArchiveError is an archive that no shapefile can be taken from.
type ArchiveError struct {
	Rule   ArchiveRule
	Entry  string   // quoted in the message; empty if the archive as a whole is meant
	Layers []string // that the archive holds, if that is what it is about
	Why    string
	Hint   string // what to do next; may be empty
	Err    error  // below it; may be nil
}

func (e *ArchiveError) Error() string {
	var s strings.Builder
	if e.Entry != "" {
		fmt.Fprintf(&s, "entry %q: ", shorten(e.Entry))
	}
	s.WriteString(e.Why)
	if len(e.Layers) > 0 {
		fmt.Fprintf(&s, ": %s", strings.Join(e.Layers, ", "))
	}
	return s.String()
}

func (e *ArchiveError) Unwrap() error { return e.Err }
