// Package shapefile reads and writes ESRI shapefiles of polygons, held in memory.
//
// [Decode] reads one; [Unzip] takes one out of a zip archive; [Write] writes one.
// None of them touches the disk.
//
// Nothing in a file is trusted. A guard walks file headers, content lengths, part
// and point counts, part indexes, the DBF header, row count and deletion flags,
// and counts rings and points; only then are the slabs of a [geo.Shapes] made,
// once, and the records decoded into them on all cores. What was allocated stays
// in proportion to the bytes that are there, whatever the headers claim.
//
// A record is paired with its DBF row by its place, from 0. Record numbers alone
// decide nothing; see [Decode] for the part the .shx plays.
//
// The format is that of the ESRI Shapefile Technical Description, July 1998.
package shapefile

import (
	"encoding/binary"
	"fmt"
	"sync"
	"unicode/utf16"

	"rxsplit/geo"
)

// Files are the parts of one shapefile. Name is the base name without extension;
// a part that is absent is nil.
type Files struct {
	Name                    string
	Shp, Shx, Dbf, Prj, Cpg []byte
}

// part is one file of a shapefile: the ending of its name, and where its bytes go.
type part struct {
	Ext  string
	Data *[]byte
}

// Parts lists the parts, the one with the shapes first.
func (f *Files) Parts() []part {
	return []part{{".shp", &f.Shp}, {".dbf", &f.Dbf}, {".shx", &f.Shx}, {".prj", &f.Prj}, {".cpg", &f.Cpg}}
}

// Extensions lists the endings of the parts in the order of [Files.Parts].
func Extensions() (list []string) {
	for _, p := range new(Files).Parts() {
		list = append(list, p.Ext)
	}
	return list
}

// Decode reads a shapefile of polygons (types 5, 15 and 25; Z and M are dropped
// with a remark). The layer's attributes are a view of f.Dbf, which must not be
// changed afterwards.
//
// Its error is a [*geo.BadFileError] that lists every bad record found in one pass.
//
// The records stand in the order of the .shp. Other readers go by the .shx, so the
// two are compared. A .shx may list the very same records in another order, or leave
// out records that an editor has replaced. Its order is then taken where each
// record's own number and the count of DBF rows confirm it (remark "shx-order").
// Where they don't, the file is refused: polygons would get the rates of others. A
// .shx that points at no records is set aside (remark "shx-differs").
//
// A row that is marked deleted counts in the numbering and has no polygon; its
// shape is not looked at.
func Decode(f Files) (*geo.Layer, error) {
	head, headWhy := readMainHeader(f.Shp)
	table, tableBad := readTable(f.Dbf)
	if headWhy != "" || len(tableBad.listed) > 0 {
		var shp badList
		if headWhy != "" {
			shp.add(geo.BadRecord{Record: -1, Why: headWhy})
		}
		hint := missingHint(f)
		if head.kind.isPointOrLine() {
			hint = geo.HintPolygons
		}
		return nil, badFile(f.Name, shp, tableBad, hint)
	}
	var rows *rowScan
	var wg sync.WaitGroup
	wg.Go(func() { rows = table.scan() }) // while the .shp is walked on one core
	order, err := findRecords(f, head, table.count)
	wg.Wait()
	if err != nil {
		return nil, err
	}
	shapes, found := decodeShapes(f.Shp, order.offsets, table)
	if err := badFile(f.Name, found.bad, rows.bad, ""); err != nil {
		return nil, err
	}
	layer := &geo.Layer{
		Name:       f.Name,
		Shapes:     *shapes,
		Attributes: table,
		System:     systemText(f.Prj),
		Deleted:    rows.deleted,
	}
	layer.Remarks = append(layer.Remarks, order.remarks...)
	layer.Remarks = append(layer.Remarks, found.notes.remarks()...)
	layer.Remarks = append(layer.Remarks, table.describe(f.Cpg, rows)...)
	return layer, nil
}

func missingHint(f Files) string {
	if len(f.Shp) == 0 || len(f.Dbf) == 0 {
		return "a shapefile is a .shp with the .dbf of the same name beside it"
	}
	return ""
}

// findRecords returns the records in their order, one for each DBF row.
func findRecords(f Files, head mainHeader, rows int) (order, error) {
	o, bad, hint := orderRecords(f.Shp, f.Shx, head, rows)
	if len(bad.listed) == 0 && len(o.offsets) != rows {
		bad.add(geo.BadRecord{Record: -1, Why: fmt.Sprintf("has %d records, but %s.dbf has %d rows", len(o.offsets), f.Name, rows)})
		hint = "the .shp and the .dbf are not of one file, or one of them is cut short"
	}
	return o, badFile(f.Name, bad, badList{}, hint)
}

// badList collects bad records in order and counts those beyond the cap.
type badList struct {
	listed []geo.BadRecord
	more   int
}

func (l *badList) add(b geo.BadRecord) {
	if len(l.listed) < geo.MaxBadRecords {
		l.listed = append(l.listed, b)
	} else {
		l.more++
	}
}

func (l *badList) join(other badList) {
	for _, b := range other.listed {
		l.add(b)
	}
	l.more += other.more
}

// badFile returns nil if both lists are empty. The error is that of the part that
// has the bad records; if both have, it is the .shp's and says which are the .dbf's.
func badFile(name string, shp, dbf badList, hint string) error {
	e := &geo.BadFileError{File: name + ".shp", Hint: hint}
	if len(shp.listed) == 0 {
		if len(dbf.listed) == 0 {
			return nil
		}
		e.File = name + ".dbf"
	} else {
		for i := range dbf.listed {
			dbf.listed[i].Why = "in the .dbf: " + dbf.listed[i].Why
		}
	}
	shp.join(dbf)
	e.Bad, e.More = shp.listed, shp.more
	return e
}

// notes are the records in which decoding came upon something odd.
type notes struct {
	z, m        bool
	closed      []int
	winding     []int
	holeOutside []int
	empty       []int
	otherType   []int
}

func (n *notes) join(other *notes) {
	n.z = n.z || other.z
	n.m = n.m || other.m
	n.closed = append(n.closed, other.closed...)
	n.winding = append(n.winding, other.winding...)
	n.holeOutside = append(n.holeOutside, other.holeOutside...)
	n.empty = append(n.empty, other.empty...)
	n.otherType = append(n.otherType, other.otherType...)
}

// remarks returns the notes as remarks, in a fixed order.
func (n *notes) remarks() (list []geo.Remark) {
	if n.z {
		list = append(list, geo.Remark{Rule: "z-dropped"})
	}
	if n.m {
		list = append(list, geo.Remark{Rule: "m-dropped"})
	}
	for _, r := range []geo.Remark{
		{Rule: "ring-closed", Records: n.closed},
		{Rule: "winding", Records: n.winding},
		{Rule: "hole-outside", Records: n.holeOutside},
		{Rule: "empty-polygon", Records: n.empty},
		{Rule: "type-differs", Records: n.otherType},
	} {
		if len(r.Records) > 0 {
			list = append(list, r)
		}
	}
	return list
}

// systemText is the text of a .prj file. It is plain ASCII by custom; some editors save it as UTF-16,
// which begins with a mark of its byte order.
func systemText(prj []byte) string {
	var order binary.ByteOrder
	switch {
	case len(prj) < 2 || len(prj)%2 == 1:
		return string(prj)
	case prj[0] == 0xff && prj[1] == 0xfe:
		order = binary.LittleEndian
	case prj[0] == 0xfe && prj[1] == 0xff:
		order = binary.BigEndian
	default:
		return string(prj)
	}
	var units []uint16
	for at := 2; at < len(prj); at += 2 {
		units = append(units, order.Uint16(prj[at:]))
	}
	return string(utf16.Decode(units))
}
