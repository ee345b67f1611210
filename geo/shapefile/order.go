package shapefile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"

	"rxsplit/geo"
)

// order is where the records stand, in the order of the DBF rows.
type order struct {
	offsets []uint32 // in 16-bit words
	remarks []geo.Remark
}

// orderRecords decides whether the .shp or the .shx tells the order of the
// records. The technical description has both in the same order; they part when
// an editor has moved a grown record to the end of the .shp and left the old one
// behind, and when a file was put together by hand.
func orderRecords(shp, shx []byte, head mainHeader, rows int) (o order, bad badList, hint string) {
	index, indexWhy := readIndex(shx)
	w := walk(shp, head.end, index)
	if len(shx) == 0 {
		return w.order(geo.Remark{Rule: "shx-missing"})
	}
	if indexWhy == "" && w.asIndexed {
		return w.order(geo.Remark{})
	}
	if indexWhy == "" {
		if indexWhy = index.check(shp, head.end); indexWhy == "" && len(index.offsets) == rows {
			if !numbersAgree(shp, index.offsets) {
				bad.add(geo.BadRecord{Record: -1, Why: "the .shx lists the records in another order than they stand in the .shp, and their own numbers don't confirm it: rates could go to the wrong polygons"})
				return o, bad, "write the file anew with the program that it comes from"
			}
			return indexOrder(index.offsets, len(w.offsets)), bad, ""
		}
	}
	if indexWhy == "" {
		indexWhy = fmt.Sprintf("it lists %d records", len(index.offsets))
	}
	return w.order(geo.Remark{Rule: "shx-differs", Name: indexWhy})
}

// order is the order of the .shp itself.
func (w *walked) order(about geo.Remark) (o order, bad badList, hint string) {
	if w.broken != nil {
		bad.add(*w.broken)
		return o, bad, "nothing after this record can be found"
	}
	o.offsets = w.offsets
	if about.Rule != "" {
		o.remarks = append(o.remarks, about)
	}
	if len(w.odd) > 0 {
		o.remarks = append(o.remarks, geo.Remark{Rule: "record-numbers", Records: w.odd})
	}
	return o, bad, ""
}

func indexOrder(offsets []uint32, walked int) order {
	unused := max(walked-len(offsets), 0)
	return order{offsets: offsets, remarks: []geo.Remark{{Rule: "shx-order", Count: unused}}}
}

func numbersAgree(shp []byte, offsets []uint32) bool {
	for i, at := range offsets {
		if recordNumber(shp, at) != int64(i)+1 {
			return false
		}
	}
	return true
}

// index is what a .shx holds, in 16-bit words.
type index struct {
	offsets []uint32
	entries []byte // eight bytes each: offset, content length
}

func readIndex(shx []byte) (x index, why string) {
	head, why := readHeader(shx)
	if why != "" {
		return x, "it " + why
	}
	if head.end%indexEntrySize != headerSize%indexEntrySize {
		return x, "its length is no whole number of entries"
	}
	x.entries = shx[headerSize:head.end]
	x.offsets = make([]uint32, len(x.entries)/indexEntrySize)
	for i := range x.offsets {
		x.offsets[i] = binary.BigEndian.Uint32(x.entries[i*indexEntrySize:])
	}
	return x, ""
}

// lists reports whether entry i is that of the record at an offset, of a size in
// bytes with its header.
func (x index) lists(i int, offset uint32, size int64) bool {
	return i < len(x.offsets) && x.offsets[i] == offset &&
		int64(binary.BigEndian.Uint32(x.entries[i*indexEntrySize+4:])) == (size-recordHeaderSize)/2
}

// lengthsAgree reports whether each entry has its record's content length; all
// offsets must be those of records.
func (x index) lengthsAgree(shp []byte) bool {
	for i, at := range x.offsets {
		if !bytes.Equal(x.entries[i*indexEntrySize+4:(i+1)*indexEntrySize], shp[2*int64(at)+4:2*int64(at)+8]) {
			return false
		}
	}
	return true
}

// check reports why the entries are not those of records that share no byte.
func (x index) check(shp []byte, end int64) (why string) {
	for i, at := range x.offsets {
		if int64(at) < headerSize/2 || 2*int64(at) >= end {
			return fmt.Sprintf("entry %d points outside the file", i+1)
		}
		if _, why := recordSize(shp, 2*int64(at), end); why != "" {
			return fmt.Sprintf("entry %d points at no record", i+1)
		}
	}
	if !x.lengthsAgree(shp) {
		return "its content lengths are not those of the records"
	}
	sorted := slices.Sorted(slices.Values(x.offsets))
	for i := range sorted[:max(0, len(sorted)-1)] {
		size, _ := recordSize(shp, 2*int64(sorted[i]), end)
		if 2*int64(sorted[i])+size > 2*int64(sorted[i+1]) {
			return "two of its entries share bytes"
		}
	}
	return ""
}

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
