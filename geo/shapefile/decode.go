package shapefile

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// found is what decoding came upon beside the shapes.
type found struct {
	bad   badList
	notes notes
}

// section is a block of whole records and its part of the slabs.
type section struct {
	rings, points   int // as counted by the guard
	ringAt, pointAt int // where its part of the slabs begins
	polygons        int // as decoded, at most rings
	found           found
}

// decodeShapes decodes the records at the offsets into slabs that are made once:
// the first pass checks each record's layout and counts, the second decodes.
//
// Polygons are decoded here because go-shp v0.1.1 is slow in their place. For
// 1 000 000 cells of 5 points on 2 cores it took 0.51 s and 13 allocations a record
// (BenchmarkGoShp: sections with headers of their own, one reader a core). The walk,
// both passes and the DBF together took 0.17 s and 300 allocations in all
// (BenchmarkDecode, same run). go-shp is the differential oracle of the tests.
func decodeShapes(shp []byte, offsets []uint32, rows *table) (*geo.Shapes, found) {
	sections := make([]section, cores.Count(len(offsets), cores.Block))
	cores.Blocks(len(offsets), cores.Block, func(from, to int) {
		sections[from/cores.Block].count(shp, offsets, rows, from, to)
	})
	var rings, points int
	for s := range sections {
		sections[s].ringAt, sections[s].pointAt = rings, points
		rings, points = rings+sections[s].rings, points+sections[s].points
	}
	shapes := &geo.Shapes{
		Points:    make([]orb.Point, points),
		RingEnds:  make([]int32, rings),
		PolyEnds:  make([]int32, rings),
		ShapeEnds: make([]int32, len(offsets)),
	}
	kind, _ := readHeader(shp)
	cores.Blocks(len(offsets), cores.Block, func(from, to int) {
		d := decoder{shp: shp, kind: kind.kind, shapes: shapes, section: &sections[from/cores.Block]}
		d.decode(offsets, rows, from, to)
	})
	closeGaps(shapes, sections)
	var all found
	for s := range sections {
		all.bad.join(sections[s].found.bad)
		all.notes.join(&sections[s].found.notes)
	}
	return shapes, all
}

// count is the guard's pass: bad records count as empty, to be reported by the
// second pass.
func (s *section) count(shp []byte, offsets []uint32, rows *table, from, to int) {
	for i := from; i < to; i++ {
		if rows.isDeleted(i) {
			continue
		}
		if r, why := readRecord(shp, offsets[i]); why == "" {
			s.rings += r.numParts()
			s.points += r.numPoints() + r.openParts()
		}
	}
}

// closeGaps moves the polygon ends together: each section had room for as many
// polygons as it has rings.
func closeGaps(shapes *geo.Shapes, sections []section) {
	polygons := 0
	for s := range sections {
		sec := &sections[s]
		if shift := sec.ringAt - polygons; shift > 0 {
			copy(shapes.PolyEnds[polygons:], shapes.PolyEnds[sec.ringAt:sec.ringAt+sec.polygons])
			ends := shapes.ShapeEnds[s*cores.Block : min((s+1)*cores.Block, len(shapes.ShapeEnds))]
			for i := range ends {
				ends[i] -= int32(shift)
			}
		}
		polygons += sec.polygons
	}
	shapes.PolyEnds = shapes.PolyEnds[:polygons]
}

// decoder decodes one section into its part of the slabs.
type decoder struct {
	shp     []byte
	kind    shapeType // of the file
	shapes  *geo.Shapes
	section *section
	nester  nester

	points []orb.Point // the section's part, as far as it is filled
	rings  int         // ring ends written so far, counted over the whole file
	polys  int         // polygon ends likewise, as if all rings before were polygons
}

func (d *decoder) decode(offsets []uint32, rows *table, from, to int) {
	s := d.section
	d.points = d.shapes.Points[s.pointAt : s.pointAt : s.pointAt+s.points]
	d.rings, d.polys = s.ringAt, s.ringAt
	for i := from; i < to; i++ {
		if !rows.isDeleted(i) {
			if why := d.record(i, offsets[i]); why != "" {
				s.found.bad.add(geo.BadRecord{Record: i, Why: why})
			}
		}
		d.shapes.ShapeEnds[i] = int32(d.polys)
	}
	s.polygons = d.polys - s.ringAt
}

// record decodes record i; if it is bad, nothing of it is kept.
func (d *decoder) record(i int, offset uint32) (why string) {
	r, why := readRecord(d.shp, offset)
	if why != "" {
		return why
	}
	d.note(i, &r)
	before := len(d.points)
	switch r.numParts() {
	case 0:
	case 1:
		why = d.oneRing(i, &r)
	default:
		why = d.manyRings(i, &r)
	}
	if why != "" {
		d.points = d.points[:before]
	}
	return why
}

func (d *decoder) note(i int, r *record) {
	n := &d.section.found.notes
	n.z = n.z || r.kind == polygonZ
	n.m = n.m || r.hasM
	if r.empty {
		n.empty = append(n.empty, i)
	}
	if r.kind != nullShape && r.kind != d.kind {
		n.otherType = append(n.otherType, i)
	}
}

// oneRing decodes a record of one ring: a shell whatever its winding.
func (d *decoder) oneRing(i int, r *record) (why string) {
	points, winding, closed, why := readRing(d.points, r.points)
	if why != "" {
		return "ring 1 " + why
	}
	d.points = points
	n := &d.section.found.notes
	if winding > 0 {
		n.winding = append(n.winding, i)
	}
	if closed {
		n.closed = append(n.closed, i)
	}
	d.endRing(d.section.pointAt + len(d.points))
	d.endPolygon()
	return ""
}

// manyRings decodes a record of several rings and puts holes behind their shells.
func (d *decoder) manyRings(i int, r *record) (why string) {
	from := len(d.points)
	d.nester.reset()
	anyClosed := false
	for k := range r.numParts() {
		begin := len(d.points)
		points, winding, closed, why := readRing(d.points, r.part(k))
		if why != "" {
			return fmt.Sprintf("ring %d %s", k+1, why)
		}
		d.points = points
		d.nester.add(points[begin:], winding)
		anyClosed = anyClosed || closed
	}
	verdict := d.nester.nest()
	if verdict == tangled {
		return fmt.Sprintf("has %d rings too tangled to tell which lies in which", r.numParts())
	}
	n := &d.section.found.notes
	if anyClosed {
		n.closed = append(n.closed, i)
	}
	switch verdict {
	case otherWinding:
		n.winding = append(n.winding, i)
	case holeOutside:
		n.holeOutside = append(n.holeOutside, i)
	}
	d.nester.arrange(d.points[from:])
	at := d.section.pointAt + from
	for k, ring := range d.nester.sorted {
		if k > 0 && ring.isShell() {
			d.endPolygon()
		}
		at += ring.size
		d.endRing(at)
	}
	d.endPolygon()
	return ""
}

func (d *decoder) endRing(end int) {
	d.shapes.RingEnds[d.rings] = int32(end)
	d.rings++
}

func (d *decoder) endPolygon() {
	d.shapes.PolyEnds[d.polys] = int32(d.rings)
	d.polys++
}
