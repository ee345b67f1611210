package app_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"slices"
)

// shpForgeries change shapes and their index.
func shpForgeries() []forgery {
	const place = `record 1`
	return []forgery{
		{"a vertex of a shapefile moved by a tenth of a millimeter", "*.shp", "polygon is not the one of the plan", func(f *folder) bool {
			return f.bend(".shp", func(b []byte) { addTo(b[partsOf(b).points:], 1e-9) })
		}},
		{"a shell rewound", "*.shp", "ring|record 1|can't be read", func(f *folder) bool {
			return f.bend(".shp", func(b []byte) { s := partsOf(b); rewind(b[s.points : s.points+16*s.ends[0]]) })
		}},
		{"a hole rewound into a shell", "*.shp", "polygon|ring|record", func(f *folder) bool {
			if s := partsOf(f.bytes(f.layer + ".shp")); len(s.ends) < 2 {
				return false
			}
			return f.bend(".shp", func(b []byte) { s := partsOf(b); rewind(b[s.points+16*s.ends[0] : s.points+16*s.ends[1]]) })
		}},
		{"a ring that begins elsewhere", "*.shp", "polygon is not", func(f *folder) bool {
			return f.bend(".shp", func(b []byte) { s := partsOf(b); turn(b[s.points : s.points+16*s.ends[0]]) })
		}},
		{"the box of all shapes", "*.shp", "the header", func(f *folder) bool { return f.bend(".shp", func(b []byte) { addTo(b[36:], 0.5) }) }},
		{"the box of a record", "*.shp", "its box is not", func(f *folder) bool { return f.bend(".shp", func(b []byte) { addTo(b[112:], 0.5) }) }},
		{"heights in the header", "*.shp", "the header", func(f *folder) bool { return f.bend(".shp", func(b []byte) { addTo(b[68:], 9) }) }},
		{"unused bytes of the header", "*.shp", "the header|can't be read", func(f *folder) bool { return f.bend(".shp", func(b []byte) { b[7] = 1 }) }},
		{"the number of a record", "*.shp", place, func(f *folder) bool { return f.bend(".shp", func(b []byte) { b[103] = 7 }) }},
		{"bytes after the last shape", "*.shp", "after its end|states a length", func(f *folder) bool {
			return f.put(f.layer+".shp", append(f.bytes(f.layer+".shp"), "hidden"...))
		}},
		{"a record of zero length after the last", "*.shp", "header|records|can't be read", func(f *folder) bool {
			b := append(f.bytes(f.layer+".shp"), 0, 0, 0, 99, 0, 0, 0, 2, 0, 0, 0, 0)
			binary.BigEndian.PutUint32(b[24:], uint32(len(b)/2))
			return f.put(f.layer+".shp", b)
		}},
		{"two shapes exchanged", "dry.shp", "zone 1: its polygon", func(f *folder) bool { return f.exchange("dry.shp") }},
		{"an index of other records", "*.shx", "index|record 1", func(f *folder) bool { return f.bend(".shx", func(b []byte) { b[103] += 4 }) }},
		{"an index with another box", "*.shx", "the header", func(f *folder) bool { return f.bend(".shx", func(b []byte) { addTo(b[44:], 1) }) }},
		{"an index of one more", "*.shx", "index|after its end", func(f *folder) bool {
			b := f.bytes(f.layer + ".shx")
			return f.put(f.layer+".shx", append(b, b[len(b)-8:]...))
		}},
		{"another datum", "*.prj", "line 1|coordinate system", func(f *folder) bool { return f.swap(f.layer+".prj", "WGS_1984", "WGS_1972") }},
		{"a line after the coordinate system", "*.prj", "after its end|coordinate system", func(f *folder) bool {
			return f.put(f.layer+".prj", append(f.bytes(f.layer+".prj"), '\n'))
		}},
		{"another code page", "*.cpg", "want", func(f *folder) bool { return f.put(f.layer+".cpg", []byte("1252")) }},
	}
}

// bend changes bytes of a part of the layer.
func (f *folder) bend(ext string, change func(b []byte)) bool {
	b := f.bytes(f.layer + ext)
	change(b)
	return f.put(f.layer+ext, b)
}

// exchange swaps the shapes of the first two records, which are of one length.
func (f *folder) exchange(name string) bool {
	if _, ok := f.sums()[name]; !ok {
		return false
	}
	b := f.bytes(name)
	size := 2 * int(binary.BigEndian.Uint32(b[104:]))
	if second := 108 + size; len(b) < second+8+size || int(2*binary.BigEndian.Uint32(b[second+4:])) != size {
		return false
	}
	one, two := b[108:108+size], b[116+size:116+2*size]
	kept := bytes.Clone(one)
	copy(one, two)
	copy(two, kept)
	return f.put(name, b)
}

// shapeParts is where the rings of the first record lie.
type shapeParts struct {
	points int   // the first byte of the vertices
	ends   []int // of the rings, in vertices
}

func partsOf(b []byte) (s shapeParts) {
	const parts = 108 + 4 + 32
	n := int(binary.LittleEndian.Uint32(b[parts:]))
	for i := 1; i < n; i++ {
		s.ends = append(s.ends, int(binary.LittleEndian.Uint32(b[parts+8+4*i:])))
	}
	s.ends = append(s.ends, int(binary.LittleEndian.Uint32(b[parts+4:])))
	s.points = parts + 8 + 4*n
	return s
}

func addTo(b []byte, by float64) {
	v := math.Float64frombits(binary.LittleEndian.Uint64(b))
	binary.LittleEndian.PutUint64(b, math.Float64bits(v+by))
}

// rewind turns a ring of vertices of 16 bytes round.
func rewind(ring []byte) {
	var points [][]byte
	for p := range slices.Chunk(bytes.Clone(ring), 16) {
		points = append(points, p)
	}
	slices.Reverse(points)
	copy(ring, bytes.Join(points, nil))
}

// turn has a closed ring begin at its second vertex.
func turn(ring []byte) {
	open := bytes.Clone(ring[:len(ring)-16])
	open = append(open[16:], open[:16]...)
	copy(ring, append(open, open[:16]...))
}
