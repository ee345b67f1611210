package shapefile

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// CPG is the text of the .cpg that belongs to what [Write] writes.
const CPG = "UTF-8"

// Write writes shapes as a shapefile of polygons (type 5) with a DBF row of cols
// for each record. Shells are written clockwise and holes counter-clockwise,
// reversed where they stand otherwise; a record without a polygon becomes a null
// shape. The bytes depend on the arguments alone.
//
// Each block of records and rows is proved before it is handed on: read, and held against
// shapes and cols; what doesn't hold is an error.
//
// Nothing is written if the columns can't be a DBF's or a part would pass 2 GB. A
// cell that turns out wider than its column is an error as well, after the other
// cells are written.
func Write(shp, shx, dbf io.Writer, shapes *geo.Shapes, cols []geo.Column) error {
	if err := checkColumns(cols); err != nil {
		return err
	}
	sizes := Size(shapes, cols)
	if err := sizes.Check(); err != nil {
		return err
	}
	extent := shapes.Extent()
	if err := writeMain(shp, shapes, mainHeaderBytes(sizes.Shp, extent)); err != nil {
		return err
	}
	if err := writeIndex(shx, shapes, mainHeaderBytes(sizes.Shx, extent)); err != nil {
		return err
	}
	return writeTable(dbf, shapes.Len(), cols)
}

// mainHeaderBytes makes the header of a .shp or .shx of a size in bytes.
func mainHeaderBytes(size int64, extent orb.Bound) []byte {
	h := make([]byte, headerSize)
	binary.BigEndian.PutUint32(h, fileCode)
	binary.BigEndian.PutUint32(h[24:], uint32(size/2))
	binary.LittleEndian.PutUint32(h[28:], formatVersion)
	binary.LittleEndian.PutUint32(h[32:], uint32(polygon))
	putBox(h[36:], extent)
	return h
}

func writeMain(w io.Writer, shapes *geo.Shapes, header []byte) error {
	if _, err := w.Write(header); err != nil {
		return err
	}
	encode := func(dst []byte, from, to int) ([]byte, error) {
		size := int64(0)
		for i := from; i < to; i++ {
			size += recordHeaderSize + contentSize(shapes, i)
		}
		dst = slices.Grow(dst, int(size))
		for i := from; i < to; i++ {
			dst = appendRecord(dst, shapes, i)
		}
		return dst, proveRecords(dst, shapes, from, to)
	}
	return cores.Write(w, shapes.Len(), func() cores.Encode { return encode })
}

// writeIndex runs on one core: eight bytes a record cost little.
func writeIndex(w io.Writer, shapes *geo.Shapes, header []byte) error {
	if _, err := w.Write(header); err != nil {
		return err
	}
	const atOnce = 1 << 13 // records
	buf := make([]byte, 0, indexEntrySize*min(atOnce, shapes.Len()))
	at := int64(headerSize)
	for from := 0; from < shapes.Len(); from += atOnce {
		start, to := at, min(from+atOnce, shapes.Len())
		buf = buf[:0]
		for i := from; i < to; i++ {
			content := contentSize(shapes, i)
			buf = binary.BigEndian.AppendUint32(buf, uint32(at/2))
			buf = binary.BigEndian.AppendUint32(buf, uint32(content/2))
			at += recordHeaderSize + content
		}
		if err := proveIndex(buf, shapes, from, to, start); err != nil {
			return err
		}
		if _, err := w.Write(buf); err != nil {
			return err
		}
	}
	return nil
}

func appendRecord(dst []byte, shapes *geo.Shapes, i int) []byte {
	content := contentSize(shapes, i)
	at := len(dst)
	dst = grow(dst, int(recordHeaderSize+content))
	b := dst[at:]
	binary.BigEndian.PutUint32(b, uint32(i)+1)
	binary.BigEndian.PutUint32(b[4:], uint32(content/2))
	if content == nullContent {
		binary.LittleEndian.PutUint32(b[8:], uint32(nullShape))
	} else {
		putPolygon(b[recordHeaderSize:], shapes, i)
	}
	return dst
}

// grow returns dst with n more bytes, whose content is open.
func grow(dst []byte, n int) []byte { return slices.Grow(dst, n)[:len(dst)+n] }

// putPolygon fills b with the content of record i, which has polygons.
func putPolygon(b []byte, shapes *geo.Shapes, i int) {
	firstRing, endRing := shapes.ShapeRings(i)
	firstPoint, _ := shapes.PointSpan(firstRing)
	_, endPoint := shapes.PointSpan(endRing - 1)
	binary.LittleEndian.PutUint32(b, uint32(polygon))
	putBox(b[4:], shapes.Bound(i))
	binary.LittleEndian.PutUint32(b[36:], uint32(endRing-firstRing))
	binary.LittleEndian.PutUint32(b[40:], uint32(endPoint-firstPoint))
	parts, points := b[44:], b[44+4*(endRing-firstRing):]
	for p, end := shapes.PolySpan(i); p < end; p++ {
		shell, endOfPolygon := shapes.RingSpan(p)
		for r := shell; r < endOfPolygon; r++ {
			from, _ := shapes.PointSpan(r)
			binary.LittleEndian.PutUint32(parts[4*(r-firstRing):], uint32(from-firstPoint))
			putRing(points[16*(from-firstPoint):], shapes.Ring(r), r == shell)
		}
	}
}

// putRing writes a ring clockwise or else counter-clockwise, backwards if it
// winds the other way. It ends where it begins, so its first point stays first.
func putRing(b []byte, ring orb.Ring, clockwise bool) {
	if winding, _ := windingOf(ring); winding != 0 && (winding < 0) != clockwise {
		for i, p := range ring {
			putPoint(b[16*(len(ring)-1-i):], p)
		}
		return
	}
	for i, p := range ring {
		putPoint(b[16*i:], p)
	}
}

func putPoint(b []byte, p orb.Point) {
	b = b[:16]
	binary.LittleEndian.PutUint64(b, math.Float64bits(p[0]))
	binary.LittleEndian.PutUint64(b[8:], math.Float64bits(p[1]))
}

func putBox(b []byte, box orb.Bound) {
	putPoint(b, box.Min)
	putPoint(b[16:], box.Max)
}

// maxPart is the most bytes that a .shp or .dbf may have: programs hold sizes and
// offsets in 32 bits with a sign.
const maxPart = 1<<31 - 1

// layerSizes are the bytes that the parts of a shapefile take.
type layerSizes struct{ Shp, Shx, Dbf int64 }

// Size returns what [Write] would write, without looking at a point.
func Size(shapes *geo.Shapes, cols []geo.Column) layerSizes {
	s := layerSizes{Shp: headerSize, Shx: headerSize + indexEntrySize*int64(shapes.Len())}
	for i := range shapes.Len() {
		s.Shp += recordHeaderSize + contentSize(shapes, i)
	}
	s.Dbf = tableHeaderSize(cols) + rowSize(cols)*int64(shapes.Len()) + 1
	return s
}

// Check returns an error for the first part that would pass 2 GB, [maxPart].
func (s layerSizes) Check() error {
	for _, part := range []struct {
		name  string
		bytes int64
	}{{".shp", s.Shp}, {".dbf", s.Dbf}, {".shx", s.Shx}} {
		if part.bytes > maxPart {
			return &tooLargeError{Part: part.name, Bytes: part.bytes}
		}
	}
	return nil
}

// tooLargeError is a part of a shapefile that would pass [maxPart].
type tooLargeError struct {
	Part  string // with its dot
	Bytes int64  // that it would have
}

func (e *tooLargeError) Error() string {
	return fmt.Sprintf("%s would have %d bytes, more than the %d a shapefile can hold", e.Part, e.Bytes, maxPart)
}

const nullContent = 4

// contentSize returns the bytes of record i behind its record header.
func contentSize(shapes *geo.Shapes, i int) int64 {
	from, end := shapes.ShapeRings(i)
	if from == end {
		return nullContent
	}
	first, _ := shapes.PointSpan(from)
	_, last := shapes.PointSpan(end - 1)
	return 44 + 4*int64(end-from) + 16*int64(last-first)
}
