package shapefile

import (
	"encoding/binary"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Sizes of the main file's and the index file's parts, in bytes.
const (
	headerSize       = 100
	recordHeaderSize = 8
	indexEntrySize   = 8
	fileCode         = 9994
	formatVersion    = 1000
)

// shapeType is the number that a record or a file states its kind by.
type shapeType uint32

const (
	nullShape shapeType = 0
	polygon   shapeType = 5
	polygonZ  shapeType = 15
	polygonM  shapeType = 25
)

func (t shapeType) isPolygon() bool { return t == polygon || t == polygonZ || t == polygonM }

func (t shapeType) isPointOrLine() bool {
	return t < 30 && (t%10 == 1 || t%10 == 3 || t%10 == 8)
}

// String names the type as the technical description does, with its number.
func (t shapeType) String() string {
	names := map[shapeType]string{
		0: "null shape", 1: "point", 3: "line", 5: "polygon", 8: "multipoint",
		11: "point with Z", 13: "line with Z", 15: "polygon with Z", 18: "multipoint with Z",
		21: "point with M", 23: "line with M", 25: "polygon with M", 28: "multipoint with M",
		31: "multipatch",
	}
	name, ok := names[t]
	if !ok {
		name = "shape of unknown kind"
	}
	return fmt.Sprintf("%s (type %d)", name, uint32(t))
}

// mainHeader is what the guard takes from the first 100 bytes of a .shp or .shx.
type mainHeader struct {
	end  int64 // of the records, in bytes; inside the file
	kind shapeType
}

// readMainHeader checks a .shp's header; why is empty if it is sound.
func readMainHeader(shp []byte) (h mainHeader, why string) {
	if len(shp) == 0 {
		return h, "is missing or empty"
	}
	h, why = readHeader(shp)
	if why == "" && h.kind != nullShape && !h.kind.isPolygon() {
		why = fmt.Sprintf("holds shapes of the kind %v, not polygons", h.kind)
	}
	return h, why
}

func readHeader(file []byte) (h mainHeader, why string) {
	if len(file) < headerSize {
		return h, fmt.Sprintf("is cut short: %d bytes, the header alone has %d", len(file), headerSize)
	}
	if code := binary.BigEndian.Uint32(file); code != fileCode {
		return h, fmt.Sprintf("is no shapefile: file code %d, want %d", code, fileCode)
	}
	if v := binary.LittleEndian.Uint32(file[28:]); v != formatVersion {
		return h, fmt.Sprintf("is of format version %d, want %d", v, formatVersion)
	}
	words := int32(binary.BigEndian.Uint32(file[24:]))
	h.end = 2 * int64(uint32(words))
	h.kind = shapeType(binary.LittleEndian.Uint32(file[32:]))
	switch {
	case words < 0:
		why = fmt.Sprintf("header states a negative length, %d words", words)
	case h.end < headerSize:
		why = fmt.Sprintf("header states a length of %d bytes, less than itself", h.end)
	case h.end > int64(len(file)):
		why = fmt.Sprintf("is cut short: header states %d bytes, there are %d", h.end, len(file))
	}
	return h, why
}

// record is the layout of one polygon record, checked against its content
// length; its parts and points are still bytes of the file. One without a polygon
// has no parts.
type record struct {
	kind   shapeType
	parts  []byte // four bytes each: the part's first point
	points []byte // sixteen bytes each: x, y
	hasM   bool
	empty  bool // a polygon type without parts
}

func (r *record) numParts() int  { return len(r.parts) / 4 }
func (r *record) numPoints() int { return len(r.points) / 16 }

// part returns the bytes of the points of part k, which must exist.
func (r *record) part(k int) []byte {
	from := 16 * int(binary.LittleEndian.Uint32(r.parts[4*k:]))
	if 4*k+4 == len(r.parts) {
		return r.points[from:]
	}
	return r.points[from : 16*int(binary.LittleEndian.Uint32(r.parts[4*k+4:]))]
}

// openParts returns how many parts don't end where they begin.
func (r *record) openParts() (open int) {
	for k := range r.numParts() {
		if p := r.part(k); pointAt(p, 0) != pointAt(p, len(p)/16-1) {
			open++
		}
	}
	return open
}

// readRecord lays out the record at an offset that [walk] or the index check has
// found sound; why is empty if every part and point lies inside it.
func readRecord(shp []byte, offset uint32) (r record, why string) {
	at := 2 * int64(offset)
	size := 2 * int64(binary.BigEndian.Uint32(shp[at+4:]))
	content := shp[at+recordHeaderSize : at+recordHeaderSize+size]
	r.kind = shapeType(binary.LittleEndian.Uint32(content))
	if r.kind == nullShape {
		return r, ""
	}
	if !r.kind.isPolygon() {
		return r, fmt.Sprintf("is a %v, not a polygon", r.kind)
	}
	const fixed = 44
	if len(content) < fixed {
		return r, fmt.Sprintf("is cut short: %d bytes, a polygon has at least %d", len(content), fixed)
	}
	parts := int32(binary.LittleEndian.Uint32(content[36:]))
	points := int32(binary.LittleEndian.Uint32(content[40:]))
	if parts < 0 || points < 0 {
		return r, fmt.Sprintf("states %d parts and %d points", parts, points)
	}
	if parts == 0 && points == 0 {
		r.empty = true
		return r, ""
	}
	xy := fixed + 4*int64(parts) + 16*int64(points)
	need := xy
	if r.kind == polygonZ {
		need += 16 + 8*int64(points)
	}
	if need > size {
		return r, fmt.Sprintf("states %d parts and %d points, which take %d bytes; it has %d", parts, points, need, size)
	}
	r.parts = content[fixed : fixed+4*parts]
	r.points = content[fixed+4*int64(parts) : xy]
	r.hasM = hasMeasures(content[need:], r.kind, int64(points))
	return r, r.checkParts()
}

// hasMeasures reports whether what follows the points, or their Z, holds M values
// that mean something: they are optional, and below -1e38 stand for no data.
func hasMeasures(rest []byte, kind shapeType, points int64) bool {
	if kind == polygon || int64(len(rest)) < 16+8*points {
		return false
	}
	const noData = -1e38
	low, high := float64At(rest, 0), float64At(rest, 8)
	return high > noData && (low != 0 || high != 0)
}

// checkParts wants the first part to begin at point 0 and each other behind the
// one before, inside the points.
func (r *record) checkParts() (why string) {
	before := int64(-1)
	for k := range r.numParts() {
		first := int64(int32(binary.LittleEndian.Uint32(r.parts[4*k:])))
		switch {
		case k == 0 && first != 0:
			return fmt.Sprintf("ring 1 begins at point %d, not 0", first)
		case first == before:
			return fmt.Sprintf("ring %d has 0 points", k)
		case first < before:
			return fmt.Sprintf("ring %d begins at point %d, before ring %d", k+1, first, k)
		case first >= int64(r.numPoints()):
			return fmt.Sprintf("ring %d begins at point %d of %d", k+1, first, r.numPoints())
		}
		before = first
	}
	if r.numParts() == 0 {
		return fmt.Sprintf("has %d points and no ring", r.numPoints())
	}
	return ""
}

func float64At(b []byte, at int) float64 {
	return math.Float64frombits(binary.LittleEndian.Uint64(b[at:]))
}

func pointAt(b []byte, i int) orb.Point {
	b = b[16*i : 16*i+16]
	return orb.Point{float64At(b, 0), float64At(b, 8)}
}
