package shapefile

import (
	"fmt"

	"rxsplit/geo"
)

// MaxPart is the most bytes that a .shp or .dbf may have: programs hold sizes and
// offsets in 32 bits with a sign.
const MaxPart = 1<<31 - 1

// Sizes are the bytes that the parts of a shapefile take.
type Sizes struct{ Shp, Shx, Dbf int64 }

// Size returns what [Write] would write, without looking at a point.
func Size(shapes *geo.Shapes, cols []geo.Column) Sizes {
	s := Sizes{Shp: headerSize, Shx: headerSize + indexEntrySize*int64(shapes.Len())}
	for i := range shapes.Len() {
		s.Shp += recordHeaderSize + contentSize(shapes, i)
	}
	s.Dbf = tableHeaderSize(cols) + rowSize(cols)*int64(shapes.Len()) + 1
	return s
}

// Check returns a [*TooLargeError] for the first part that passes [MaxPart].
func (s Sizes) Check() error {
	for _, part := range []struct {
		name  string
		bytes int64
	}{{".shp", s.Shp}, {".dbf", s.Dbf}, {".shx", s.Shx}} {
		if part.bytes > MaxPart {
			return &TooLargeError{Part: part.name, Bytes: part.bytes}
		}
	}
	return nil
}

// TooLargeError is a part of a shapefile that would pass [MaxPart].
type TooLargeError struct {
	Part  string // with its dot
	Bytes int64  // that it would have
}

func (e *TooLargeError) Error() string {
	return fmt.Sprintf("%s would have %d bytes, more than the %d a shapefile can hold", e.Part, e.Bytes, MaxPart)
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
