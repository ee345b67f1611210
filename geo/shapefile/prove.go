package shapefile

import (
	"bytes"
	"encoding/binary"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// proveRecords reads the records from and up to the end as the format has them, and holds
// each byte against shapes. It shares nothing with the code that made them but the sizes
// of what the format names.
func proveRecords(b []byte, shapes *geo.Shapes, from, to int) error {
	for i := from; i < to; i++ {
		n, what := proveRecord(b, shapes, i)
		if what != "" {
			return geo.Unproved(i, what)
		}
		b = b[n:]
	}
	if len(b) > 0 {
		return geo.Unproved(to-1, "what follows it")
	}
	return nil
}

// proveRecord returns the bytes of a record, and what is wrong with it.
func proveRecord(b []byte, shapes *geo.Shapes, i int) (n int, what string) {
	if len(b) < recordHeaderSize+nullContent || binary.BigEndian.Uint32(b) != uint32(i)+1 {
		return 0, "its header"
	}
	n = recordHeaderSize + 2*int(binary.BigEndian.Uint32(b[4:]))
	if n > len(b) {
		return 0, "its length"
	}
	b = b[recordHeaderSize:n]
	first, end := shapes.ShapeRings(i)
	if first == end {
		if len(b) != nullContent || binary.LittleEndian.Uint32(b) != uint32(nullShape) {
			return 0, "the shape that it lacks"
		}
		return n, ""
	}
	start, _ := shapes.PointSpan(first)
	_, stop := shapes.PointSpan(end - 1)
	rings, points := end-first, stop-start
	if len(b) != 44+4*rings+16*points || binary.LittleEndian.Uint32(b) != uint32(polygon) ||
		binary.LittleEndian.Uint32(b[36:]) != uint32(rings) || binary.LittleEndian.Uint32(b[40:]) != uint32(points) {
		return 0, "its content"
	}
	return n, provePolygons(b, shapes, i)
}

// provePolygons holds the box, the parts and the points of a record against its polygons.
func provePolygons(b []byte, shapes *geo.Shapes, i int) (what string) {
	first, end := shapes.ShapeRings(i)
	start, _ := shapes.PointSpan(first)
	parts, points := b[44:], b[44+4*(end-first):]
	low, high := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for k := range len(points) / 16 {
		p := pointAt(points, k)
		low = orb.Point{min(low[0], p[0]), min(low[1], p[1])}
		high = orb.Point{max(high[0], p[0]), max(high[1], p[1])}
	}
	if pointAt(b[4:], 0) != low || pointAt(b[4:], 1) != high {
		return "its box"
	}
	for p, endPoly := shapes.PolySpan(i); p < endPoly; p++ {
		shell, endRing := shapes.RingSpan(p)
		for r := shell; r < endRing; r++ {
			from, to := shapes.PointSpan(r)
			if binary.LittleEndian.Uint32(parts[4*(r-first):]) != uint32(from-start) {
				return "the start of a ring"
			}
			if !proveRing(points[16*(from-start):16*(to-start)], shapes.Ring(r), r == shell) {
				return "a ring"
			}
		}
	}
	return ""
}

// proveRing wants the points of a ring, forward or backward, and shells clockwise, holes
// counter-clockwise, where rounding can't turn the sign.
func proveRing(b []byte, ring orb.Ring, shell bool) bool {
	forward := sameBits(b, ring, false)
	if !forward && !sameBits(b, ring, true) {
		return false
	}
	sum, size := doubleArea(ring)
	if math.Abs(sum) <= float64(len(ring)+8)*0x1p-52*size || sameBits(b, ring, forward) {
		return true // no area that is sure, or the same either way
	}
	return (sum < 0) == (shell == forward)
}

// sameBits compares points bit by bit.
func sameBits(b []byte, ring orb.Ring, backward bool) bool {
	for k, p := range ring {
		if backward {
			p = ring[len(ring)-1-k]
		}
		if binary.LittleEndian.Uint64(b[16*k:]) != math.Float64bits(p[0]) || binary.LittleEndian.Uint64(b[16*k+8:]) != math.Float64bits(p[1]) {
			return false
		}
	}
	return true
}

// proveRows reads the rows from and up to the end, and holds each cell against its column.
func proveRows(b []byte, cols []geo.Column, from, to int) error {
	size := int(rowSize(cols))
	if len(b) != (to-from)*size {
		return geo.Unproved(from, "its row")
	}
	var again []byte
	for row := from; row < to; row++ {
		cells := b[1:size]
		if b[0] != rowKept {
			return geo.Unproved(row, "its row")
		}
		for c := range cols {
			col := &cols[c]
			text := bytes.TrimLeft(cells[:col.Width], " ")
			if col.Number != nil && !col.Proves(text, row, col.Text) {
				return geo.Unproved(row, "field "+nameOf(*col))
			}
			if col.Number == nil {
				if again = col.Text(again[:0], row); !bytes.Equal(bytes.TrimLeft(again, " "), text) {
					return geo.Unproved(row, "field "+nameOf(*col))
				}
			}
			cells = cells[col.Width:]
		}
		b = b[size:]
	}
	return nil
}

// proveIndex reads the entries of the .shx for the records from and up to the end, the first
// of which begins at an offset: each begins where the one before it ends.
func proveIndex(b []byte, shapes *geo.Shapes, from, to int, at int64) error {
	if len(b) != (to-from)*indexEntrySize {
		return geo.Unproved(from, "its place in the index")
	}
	for i := from; i < to; i, b = i+1, b[indexEntrySize:] {
		content := contentSize(shapes, i)
		if 2*int64(binary.BigEndian.Uint32(b)) != at || 2*int64(binary.BigEndian.Uint32(b[4:])) != content {
			return geo.Unproved(i, "its place in the index")
		}
		at += recordHeaderSize + content
	}
	return nil
}
