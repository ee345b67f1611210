package main

import (
	"encoding/binary"
	"math"
	"slices"
)

// inShp are the operators for a .shp or .shx: headers, counts, parts, floats
// (ESRI Shapefile Technical Description, July 1998).
var inShp = slices.Concat(anyBytes, []func(mutator, []byte) []byte{
	func(m mutator, b []byte) []byte { return m.number(b, min(4*m.IntN(25), len(b)-1)) },
	shpRecord, shpRecord, shpRecord, shpFloat, shpFloat,
})

// recordsOf returns where the records of a .shp begin, as far as its lengths lead.
func recordsOf(b []byte) (at []int) {
	for p := 100; p+12 <= len(b); {
		at = append(at, p)
		n := int(binary.BigEndian.Uint32(b[p+4:]))
		if n <= 0 || n > len(b) {
			break
		}
		p += 8 + 2*n
	}
	return at
}

// shpRecord overwrites a number of a record: its own, its length, its type, the
// counts of parts and points, the first parts.
func shpRecord(m mutator, b []byte) []byte {
	records := recordsOf(b)
	if len(records) == 0 {
		return b
	}
	at := records[m.IntN(len(records))] + []int{0, 4, 8, 44, 48, 52, 56}[m.IntN(7)]
	if at >= len(b) {
		return b
	}
	return m.number(b, at)
}

var floats = []float64{0, math.Copysign(0, -1), 1, -1, 180, -180, 181, 90, 91, 1e-300, 5e-324, 1e7, 1e22, 1e154, 1e200, math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN()}

// shpFloat overwrites an ordinate, or copies one to the place of another.
func shpFloat(m mutator, b []byte) []byte {
	records := recordsOf(b)
	if len(records) == 0 {
		return b
	}
	p := records[m.IntN(len(records))] + 56 // where the points of one ring begin
	if p+8 > len(b) {
		return b
	}
	at := p + 8*m.IntN(min(24, (len(b)-p)/8))
	if m.IntN(3) == 0 {
		copy(b[at:at+8], slices.Clone(b[p:p+8]))
		return b
	}
	binary.LittleEndian.PutUint64(b[at:], math.Float64bits(floats[m.IntN(len(floats))]))
	return b
}

// inDbf are the operators for a .dbf: header, descriptors, cells.
var inDbf = slices.Concat(anyBytes, []func(mutator, []byte) []byte{
	func(m mutator, b []byte) []byte { return m.number(b, min([]int{0, 4, 8, 10, 29}[m.IntN(5)], len(b)-1)) },
	func(m mutator, b []byte) []byte {
		return m.number(b, min(32+32*m.IntN(3)+[]int{0, 11, 16, 17}[m.IntN(4)], len(b)-1))
	},
	dbfCell, dbfCell, dbfCell,
})

var cells = []string{"1e999", "-1", "NaN", "Inf", "1,5", "0", "-0", "1e-300", "1e300", "********", "0x1p4", "1_000", ".", "+", "", "\x00\x00", "\xff\xfe", "999999999999", "1e5000000"}

func dbfCell(m mutator, b []byte) []byte {
	if len(b) < 110 {
		return b
	}
	copy(b[97+m.IntN(len(b)-97):], cells[m.IntN(len(cells))])
	return b
}
