package read_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// rawShapefile is a shapefile as another program may write it, byte by byte as
// the ESRI Shapefile Technical Description (1998) has it: no rule that our own
// writer keeps is kept here.
type rawShapefile struct {
	shapeType int32 // 5 Polygon, 15 PolygonZ, 25 PolygonM
	measures  bool  // of a PolygonZ
	records   [][]orb.Ring
	fields    []rawField
	rows      [][]string // cells as they are encoded, without padding
	deleted   map[int]bool
	leftward  bool // numbers stand at the left of their cells
	null      byte // what fills a null number
	language  byte // of the DBF's header
	prj, cpg  string
	order     []int // of the .shx; nil is the file's own
	noShx     bool
	cutShp    int // bytes missing at the end
}

type rawField struct {
	name           string // encoded
	kind           byte
	size, decimals int
}

// rawOf gives a layer the marks of some other program.
func rawOf(rnd *rand.Rand, l *drawnLayer) *rawShapefile {
	s := &rawShapefile{
		shapeType: []int32{5, 5, 15, 15, 25}[rnd.IntN(5)], measures: rnd.IntN(2) == 0,
		deleted: map[int]bool{}, leftward: rnd.IntN(4) == 0, null: " *"[rnd.IntN(2)], prj: l.system.WKT(),
	}
	encode := s.encoding(rnd)
	for _, f := range l.fields {
		s.fields = append(s.fields, rawField{encode(f.name), f.kind, f.size, f.decimals})
	}
	orders, windings := rnd.IntN(3) == 0, rnd.IntN(3)
	for i, mp := range l.shapes {
		s.records = append(s.records, ringsOf(rnd, mp, orders, windings))
		var row []string
		for _, f := range l.fields {
			row = append(row, encode(f.cells[i]))
		}
		s.rows = append(s.rows, row)
		if i > 0 && rnd.IntN(10) == 0 {
			s.deleted[i] = true
		}
	}
	return s
}

// encoding chooses how text is written and what says so.
func (s *rawShapefile) encoding(rnd *rand.Rand) func(string) string {
	latin := func(text string) string { // all of our letters stand at their code points
		var b []byte
		for _, r := range text {
			b = append(b, byte(r))
		}
		return string(b)
	}
	switch rnd.IntN(5) {
	case 0:
		s.cpg = []string{"UTF-8", "utf8\r\n", "65001"}[rnd.IntN(3)]
		return func(text string) string { return text }
	case 1:
		s.cpg = []string{"1252", "CP1252"}[rnd.IntN(2)]
	case 2:
		s.cpg = []string{"ISO-8859-1", "88591"}[rnd.IntN(2)]
	case 3:
		s.language = 0x57
	case 4:
		s.language = 0x03
	}
	return latin
}

// ringsOf flattens a record. Shells run clockwise and holes the other way where
// windings is 0, all rings the other way where it is 1, at random where it is 2.
func ringsOf(rnd *rand.Rand, mp orb.MultiPolygon, orders bool, windings int) []orb.Ring {
	var rings []orb.Ring
	for _, polygon := range mp {
		for _, ring := range polygon {
			if windings == 0 || windings == 2 && rnd.IntN(2) == 0 {
				ring = backward(ring)
			}
			rings = append(rings, ring)
		}
	}
	if orders {
		rnd.Shuffle(len(rings), func(i, j int) { rings[i], rings[j] = rings[j], rings[i] })
	}
	return rings
}

// files are the parts by their endings.
func (s *rawShapefile) files() map[string][]byte {
	shp, shx := s.shapes()
	files := map[string][]byte{".shp": shp[:len(shp)-s.cutShp], ".dbf": s.table()}
	if !s.noShx {
		files[".shx"] = shx
	}
	if s.prj != "" {
		files[".prj"] = []byte(s.prj)
	}
	if s.cpg != "" {
		files[".cpg"] = []byte(s.cpg)
	}
	return files
}

func (s *rawShapefile) shapes() (shp, shx []byte) {
	all := orb.Bound{Min: orb.Point{1e300, 1e300}, Max: orb.Point{-1e300, -1e300}}
	var body bytes.Buffer
	var index [][]byte
	for i, rings := range s.records {
		content := s.content(rings)
		var entry []byte
		entry = binary.BigEndian.AppendUint32(entry, uint32(100+body.Len())/2)
		entry = binary.BigEndian.AppendUint32(entry, uint32(len(content)/2))
		index = append(index, entry)
		body.Write(binary.BigEndian.AppendUint32(nil, uint32(i+1)))
		body.Write(entry[4:])
		body.Write(content)
		for _, ring := range rings {
			all = all.Union(ring.Bound())
		}
	}
	if s.order != nil {
		sorted := make([][]byte, len(index))
		for i, from := range s.order {
			sorted[i] = index[from]
		}
		index = sorted
	}
	return append(s.header(body.Len(), all), body.Bytes()...), append(s.header(8*len(index), all), bytes.Join(index, nil)...)
}

func (s *rawShapefile) header(body int, box orb.Bound) []byte {
	h := binary.BigEndian.AppendUint32(nil, 9994)
	h = append(h, make([]byte, 20)...)
	h = binary.BigEndian.AppendUint32(h, uint32(100+body)/2)
	h = binary.LittleEndian.AppendUint32(h, 1000)
	h = binary.LittleEndian.AppendUint32(h, uint32(s.shapeType))
	h = doubles(h, box.Min[0], box.Min[1], box.Max[0], box.Max[1])
	return append(h, make([]byte, 32)...)
}

func doubles(b []byte, values ...float64) []byte {
	for _, v := range values {
		b, _ = binary.Append(b, binary.LittleEndian, v)
	}
	return b
}

func (s *rawShapefile) content(rings []orb.Ring) []byte {
	if rings == nil {
		return []byte{0, 0, 0, 0}
	}
	b := binary.LittleEndian.AppendUint32(nil, uint32(s.shapeType))
	var points int
	var ends []byte
	box := rings[0].Bound()
	for _, ring := range rings {
		ends = binary.LittleEndian.AppendUint32(ends, uint32(points))
		points += len(ring)
		box = box.Union(ring.Bound())
	}
	b = doubles(b, box.Min[0], box.Min[1], box.Max[0], box.Max[1])
	b = binary.LittleEndian.AppendUint32(b, uint32(len(rings)))
	b = binary.LittleEndian.AppendUint32(b, uint32(points))
	b = append(b, ends...)
	for _, ring := range rings {
		for _, p := range ring {
			b = doubles(b, p[0], p[1])
		}
	}
	extra := func(value float64) {
		b = doubles(b, slices.Repeat([]float64{value}, points+2)...)
	}
	if s.shapeType == 15 {
		extra(211.5)
	}
	if s.shapeType == 25 || s.shapeType == 15 && s.measures {
		extra(7)
	}
	return b
}

func (s *rawShapefile) table() []byte {
	size := 1
	for _, f := range s.fields {
		size += f.size
	}
	b := []byte{3, 126, 4, 1}
	b = binary.LittleEndian.AppendUint32(b, uint32(len(s.rows)))
	b = binary.LittleEndian.AppendUint16(b, uint16(33+32*len(s.fields)))
	b = binary.LittleEndian.AppendUint16(b, uint16(size))
	b = append(b, make([]byte, 20)...)
	b[29] = s.language
	for _, f := range s.fields {
		entry := make([]byte, 32)
		copy(entry[:10], f.name)
		entry[11], entry[16], entry[17] = f.kind, byte(f.size), byte(f.decimals)
		b = append(b, entry...)
	}
	b = append(b, 0x0D)
	for i, row := range s.rows {
		flag := byte(' ')
		if s.deleted[i] {
			flag = '*'
		}
		b = append(b, flag)
		for k, f := range s.fields {
			b = append(b, s.cell(f, row[k])...)
		}
	}
	return append(b, 0x1A)
}

func (s *rawShapefile) cell(f rawField, text string) string {
	number := f.kind == 'N' || f.kind == 'F'
	switch {
	case text == "" && number:
		return strings.Repeat(string(s.null), f.size)
	case text == "" && f.kind == 'L':
		return "?"
	case number && !s.leftward:
		return fmt.Sprintf("%*s", f.size, text)
	}
	return text[:min(len(text), f.size)] + strings.Repeat(" ", f.size-min(len(text), f.size))
}
