package shapefile

import (
	"encoding/binary"
	"fmt"

	"rxsplit/geo"
)

// walked is what going through a .shp from record to record finds. It is one
// sequential pass, which for a large file takes what reading the memory takes, so
// it looks at all that the record headers have to say.
type walked struct {
	offsets   []uint32       // of the records, in 16-bit words as the .shx has them
	broken    *geo.BadRecord // where the walk ended before its time
	odd       []int          // records whose numbers don't run on from the first one's
	asIndexed bool           // the index lists just these records with their lengths
}

// walk goes from one content length to the next. At a length that leads out of
// the file it stops: nothing after it can be found.
func walk(shp []byte, end int64, x index) (w walked) {
	w.offsets = make([]uint32, 0, guessRecords(shp, end))
	w.asIndexed = true
	first := int64(0)
	for at := int64(headerSize); at < end; {
		i := len(w.offsets)
		size, why := recordSize(shp, at, end)
		if why != "" {
			w.broken = &geo.BadRecord{Record: i, Why: why}
			w.asIndexed = false
			return w
		}
		offset := uint32(at / 2)
		number := recordNumber(shp, offset)
		if i == 0 {
			first = number // some programs count from 0
		}
		if number != first+int64(i) {
			w.odd = append(w.odd, i)
		}
		w.asIndexed = w.asIndexed && x.lists(i, offset, size)
		w.offsets = append(w.offsets, offset)
		at += size
	}
	w.asIndexed = w.asIndexed && len(w.offsets) == len(x.offsets)
	return w
}

// guessRecords is how many records there are if all are as long as the first.
func guessRecords(shp []byte, end int64) int64 {
	if end == headerSize {
		return 0
	}
	if size, why := recordSize(shp, headerSize, end); why == "" {
		return (end - headerSize) / size
	}
	return 0
}

// recordSize returns the bytes of the record at a place, its header included.
func recordSize(shp []byte, at, end int64) (size int64, why string) {
	if end-at < recordHeaderSize+4 {
		return 0, fmt.Sprintf("is cut short: %d bytes are left at byte %d, a record has at least %d", end-at, at, recordHeaderSize+4)
	}
	words := int32(binary.BigEndian.Uint32(shp[at+4:]))
	if words < 2 {
		return 0, fmt.Sprintf("states a content length of %d words, less than its shape type", words)
	}
	size = recordHeaderSize + 2*int64(words)
	if size > end-at {
		return 0, fmt.Sprintf("runs past the end of the file: %d bytes from byte %d of %d", size, at, end)
	}
	return size, ""
}

// recordNumber returns the number that a record states, from 1 in a sound file.
func recordNumber(shp []byte, offset uint32) int64 {
	return int64(int32(binary.BigEndian.Uint32(shp[2*int64(offset):])))
}
