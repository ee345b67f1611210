package shapefile

import (
	"encoding/binary"
	"fmt"
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
