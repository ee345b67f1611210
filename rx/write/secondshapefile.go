package write

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"slices"

	shp "github.com/jonas-p/go-shp"
	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/shapefile"
)

// readShapefileTwice reads a shapefile with go-shp, which shares no line and no constant
// with geo/shapefile.
func readShapefileTwice(f shapefile.Files, want table) []Mismatch {
	s := secondReading{comparison: comparison{file: f.Name + ".shp", cells: f.Name + ".dbf", want: want}, reader: "go-shp", shells: orb.CW, records: readTwice(want.shapes)}
	end, why := guardMain(f.Shp, f.Shx, want.rows, s.records)
	if why != "" {
		return []Mismatch{s.mismatch(s.file, -1, "%s", why)}
	}
	rowsEnd, why := guardTable(f.Dbf, want.cols, want.rows, s.records)
	if why != "" {
		return []Mismatch{s.mismatch(s.cells, -1, "%s", why)}
	}
	r := shp.SequentialReaderFromExt(io.NopCloser(bytes.NewReader(f.Shp[:end])), io.NopCloser(bytes.NewReader(f.Dbf[:rowsEnd])))
	defer r.Close()
	if found := s.fields(r.Fields()); len(found) > 0 {
		return found
	}
	var found []Mismatch
	row := 0
	for ; len(found) < mostTold && r.Next(); row++ {
		found = append(found, s.record(r, row)...)
	}
	if err := r.Err(); err != nil || len(found) == 0 && row != s.records {
		found = append(found, s.mismatch(s.file, -1, "ends after %d of %d records: %v", row, s.records, err))
	}
	return found
}

// guardMain goes before go-shp, which believes what it reads: counts that a record has no
// room for would panic or take gigabytes. The numbers are those of the ESRI Shapefile
// Technical Description (July 1998), pages 3 to 9 and 23, and stand here once more on
// purpose: what our writer and our reader have in common does not decide. The end is that
// of the records that are to be read.
func guardMain(main, index []byte, rows, records int) (end int, why string) {
	big, little := binary.BigEndian, binary.LittleEndian
	for _, part := range [][]byte{main, index} {
		if len(part) < 100 || big.Uint32(part) != 9994 || little.Uint32(part[28:]) != 1000 || little.Uint32(part[32:]) != 5 {
			return 0, "has not the header of a shapefile of polygons"
		}
		if 2*uint64(big.Uint32(part[24:])) != uint64(len(part)) {
			return 0, fmt.Sprintf("states a length of %d words and has %d bytes", big.Uint32(part[24:]), len(part))
		}
	}
	if len(index) != 100+8*rows {
		return 0, fmt.Sprintf("has an index of %d bytes, want %d", len(index), 100+8*rows)
	}
	end = 100
	for i := range records {
		rest, entry := main[end:], index[100+8*i:]
		if len(rest) < 12 {
			return 0, fmt.Sprintf("has no record %d", i+1)
		}
		size := 2 * int64(big.Uint32(rest[4:]))
		if size < 4 || size > int64(len(rest)-8) {
			return 0, fmt.Sprintf("states %d bytes of record %d", size, i+1)
		}
		if big.Uint32(rest) != uint32(i+1) || int64(big.Uint32(entry)) != int64(end/2) || !bytes.Equal(entry[4:8], rest[4:8]) {
			return 0, fmt.Sprintf("has another record than its index in place of record %d", i+1)
		}
		if why := guardRecord(rest[8 : 8+size]); why != "" {
			return 0, fmt.Sprintf("record %d %s", i+1, why)
		}
		end += 8 + int(size)
	}
	if records == rows && end != len(main) {
		return 0, fmt.Sprintf("has %d bytes behind its last record", len(main)-end)
	}
	return end, ""
}

// guardRecord wants a null shape, or a polygon whose parts and points fill it.
func guardRecord(content []byte) (why string) {
	little := binary.LittleEndian
	switch kind := little.Uint32(content); {
	case kind == 0 && len(content) == 4:
		return ""
	case kind != 5:
		return fmt.Sprintf("is of shape type %d, want 5, a polygon", kind)
	case len(content) < 44:
		return fmt.Sprintf("has %d bytes, less than a polygon", len(content))
	}
	parts, points := int64(int32(little.Uint32(content[36:]))), int64(int32(little.Uint32(content[40:])))
	if parts < 0 || points < 0 || 44+4*parts+16*points != int64(len(content)) {
		return fmt.Sprintf("has %d parts and %d points in %d bytes", parts, points, len(content))
	}
	return ""
}

// guardTable does the same for the DBF: a header of 32 bytes, 32 more a field and a mark;
// rows of fixed width behind a flag; a mark at the end (dBASE III). go-shp holds both
// lengths in 15 bits.
func guardTable(dbf []byte, cols []geo.Column, rows, records int) (end int, why string) {
	little := binary.LittleEndian
	head, size := 32+32*len(cols)+1, 1
	for _, c := range cols {
		size += c.Width
	}
	switch {
	case max(head, size) > math.MaxInt16:
		return 0, fmt.Sprintf("has %d fields, more than it takes", len(cols))
	case int64(len(dbf)) != int64(head)+int64(rows)*int64(size)+1:
		return 0, fmt.Sprintf("has %d bytes, want %d rows of %d behind a header of %d", len(dbf), rows, size, head)
	case dbf[0] != 3 || little.Uint32(dbf[4:]) != uint32(rows) || int(little.Uint16(dbf[8:])) != head || int(little.Uint16(dbf[10:])) != size:
		return 0, "has another header than its rows ask for"
	}
	for i := range records {
		if dbf[head+i*size] != ' ' {
			return 0, fmt.Sprintf("row %d is marked deleted", i+1)
		}
	}
	return head + records*size, ""
}

// fields compares the columns; after it, each cell is known to lie in its row.
func (s *secondReading) fields(got []shp.Field) (found []Mismatch) {
	if len(got) != len(s.want.cols) {
		return []Mismatch{s.mismatch(s.cells, -1, "has %d fields, want %d", len(got), len(s.want.cols))}
	}
	for i, c := range s.want.cols {
		if f := got[i]; f.String() != c.Name || f.Fieldtype != 'N' || int(f.Size) != c.Width || int(f.Precision) != c.Decimals {
			found = append(found, s.mismatch(s.cells, -1, "field %d is %s, type %c, %d wide with %d decimals; want %s, type N, %d wide with %d",
				i+1, f, f.Fieldtype, f.Size, f.Precision, c.Name, c.Width, c.Decimals))
		}
	}
	return found[:min(len(found), mostTold)]
}

// record compares the record that was read last.
func (s *secondReading) record(r shp.SequentialReader, row int) (found []Mismatch) {
	number, shape := r.Shape()
	if number != row {
		return []Mismatch{s.mismatch(s.file, row, "it is record %d, want %d", number+1, row+1)}
	}
	rings, why := s.ringsOf(shape)
	if why == "" {
		why = s.rings(row, rings)
	}
	if why != "" {
		found = append(found, s.mismatch(s.file, row, "%s", why))
	}
	var buf [64]byte
	for i, c := range s.want.cols {
		got, want := r.Attribute(i), bytes.TrimSpace(c.Text(buf[:0], row))
		if got != string(want) {
			found = append(found, s.mismatch(s.cells, row, "%s is %q, want %q", c.Name, got, want))
		}
		if v, ok := parsed([]byte(got)); ok && i == len(s.want.cols)-1 {
			if why := s.area(row, v); why != "" {
				found = append(found, s.mismatch(s.cells, row, "%s", why))
			}
		}
	}
	return found
}

// ringsOf cuts a polygon's points at its parts, until the next record. Its box is what other
// programs search by.
func (s *secondReading) ringsOf(shape shp.Shape) (rings [][]float64, why string) {
	polygon, ok := shape.(*shp.Polygon)
	if !ok {
		return nil, ""
	}
	if polygon.Box != shp.BBoxFromPoints(polygon.Points) {
		return nil, "its box is not that of its points"
	}
	s.flat = slices.Grow(s.flat[:0], 2*len(polygon.Points))
	for _, p := range polygon.Points {
		s.flat = append(s.flat, p.X, p.Y)
	}
	for k, from := range polygon.Parts {
		to := int32(len(polygon.Points))
		if k+1 < len(polygon.Parts) {
			to = polygon.Parts[k+1]
		}
		if from < 0 || from > to || int(to) > len(polygon.Points) {
			return nil, fmt.Sprintf("part %d of its polygon runs from point %d to %d", k+1, from, to)
		}
		rings = append(rings, s.flat[2*from:2*to])
	}
	return rings, ""
}
