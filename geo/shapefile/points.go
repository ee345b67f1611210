package shapefile

import (
	"encoding/binary"
	"fmt"

	"rxsplit/geo"
)

// Kinds of points, with what may follow their x and y.
const (
	onePoint  shapeType = 1
	onePointZ shapeType = 11
	onePointM shapeType = 21
)

func (t shapeType) isPoint() bool { return t == onePoint || t == onePointZ || t == onePointM }

// HoldsPoints reports whether the header of a .shp says that it holds points.
func HoldsPoints(shp []byte) bool {
	h, why := readHeader(shp)
	return why == "" && h.kind.isPoint()
}

// DecodePoints reads a shapefile of points (types 1, 11 and 21) as [Decode] does one of
// polygons. A record's point is a ring of that point alone; a null shape has none.
func DecodePoints(f Files) (*geo.Layer, error) {
	head, why := readHeader(f.Shp)
	if why == "" && !head.kind.isPoint() {
		why = fmt.Sprintf("holds shapes of the kind %v, not points", head.kind)
	}
	table, bad := readTable(f.Dbf)
	if why != "" || len(bad.listed) > 0 {
		var shp badList
		if why != "" {
			shp.add(geo.BadRecord{Record: -1, Why: why})
		}
		return nil, badFile(f.Name, shp, bad, missingHint(f))
	}
	rows := table.scan()
	order, err := findRecords(f, head, table.count)
	if err != nil {
		return nil, err
	}
	layer := &geo.Layer{Name: f.Name, Attributes: table, System: systemText(f.Prj), Deleted: rows.deleted, Remarks: order.remarks}
	var wrong badList
	s := &layer.Shapes
	for i, offset := range order.offsets {
		if !table.isDeleted(i) {
			if why := addPoint(s, f.Shp, offset); why != "" {
				wrong.add(geo.BadRecord{Record: i, Why: why})
			}
		}
		s.ShapeEnds = append(s.ShapeEnds, int32(len(s.PolyEnds)))
	}
	layer.Remarks = append(layer.Remarks, table.describe(f.Cpg, rows)...)
	return layer, badFile(f.Name, wrong, rows.bad, "")
}

// addPoint adds the point of a record that [findRecords] has found sound.
func addPoint(s *geo.Shapes, shp []byte, offset uint32) (why string) {
	at := 2 * int64(offset)
	size := 2 * int64(binary.BigEndian.Uint32(shp[at+4:]))
	content := shp[at+recordHeaderSize : at+recordHeaderSize+size]
	kind := shapeType(binary.LittleEndian.Uint32(content))
	switch {
	case kind == nullShape:
		return ""
	case !kind.isPoint():
		return fmt.Sprintf("is a %v, not a point", kind)
	case len(content) < 4+16:
		return fmt.Sprintf("is cut short: %d bytes, a point has at least 20", len(content))
	}
	p := pointAt(content[4:], 0)
	if p[0]-p[0] != 0 || p[1]-p[1] != 0 {
		return "its point is not a finite number"
	}
	s.Points = append(s.Points, p)
	s.RingEnds = append(s.RingEnds, int32(len(s.Points)))
	s.PolyEnds = append(s.PolyEnds, int32(len(s.RingEnds)))
	return ""
}
