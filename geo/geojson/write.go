package geojson

import (
	"fmt"
	"io"
	"math"
	"math/bits"
	"slices"
	"strconv"

	"github.com/go-faster/jx"
	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// Write writes records as a FeatureCollection (RFC 7946 §3.3), one feature a
// line. The coordinates are taken to be lon/lat on WGS 84 and written as the
// shortest texts that read back as the same floats; rings whose winding is not
// that of §3.1.6 are turned, their first point staying first. Nothing is cut at
// the antimeridian. A record of one polygon becomes a Polygon, of several a
// MultiPolygon, of none a null geometry.
//
// Each block of features is proved before it is handed on: read, and held against the
// records; what doesn't hold is an error.
//
// An empty layerName and a nil id leave those members out. A coordinate that is
// not finite is an error, and then nothing is written.
func Write(w io.Writer, layerName string, shapes *geo.Shapes, id func(row int) int64, cols []geo.Column) error {
	if err := checkFinite(shapes); err != nil {
		return err
	}
	if _, err := w.Write(head(layerName)); err != nil {
		return err
	}
	f := features{shapes, id, cols, quotedNames(cols)}
	if err := f.proveNames(); err != nil {
		return err
	}
	if err := cores.Write(w, shapes.Len(), f.worker); err != nil {
		return err
	}
	_, err := io.WriteString(w, "]}\n")
	return err
}

func head(layerName string) []byte {
	dst := []byte(`{"type":"FeatureCollection",`)
	if layerName != "" {
		dst = append(append(dst, `"name":`...), quoted(layerName)...)
		dst = append(dst, ',')
	}
	return append(dst, "\"features\":[\n"...)
}

func quoted(s string) []byte {
	var w jx.Writer
	w.Str(s)
	return w.Buf
}

// quotedNames returns each column's name as it begins a member.
func quotedNames(cols []geo.Column) []string {
	names := make([]string, len(cols))
	for i, c := range cols {
		names[i] = string(quoted(c.Name)) + ":"
	}
	return names
}

// checkFinite finds floats that JSON can't hold.
func checkFinite(s *geo.Shapes) error {
	for i := range s.Len() {
		first, last := s.ShapeRings(i)
		for r := first; r < last; r++ {
			for _, p := range s.Ring(r) {
				if d := p[0] - p[0] + p[1] - p[1]; d != 0 { // Inf-Inf and NaN-NaN are NaN
					return fmt.Errorf("record %d: the point %v is not finite", i+1, p)
				}
			}
		}
	}
	return nil
}

// features is what is to be written; nothing of it changes.
type features struct {
	shapes *geo.Shapes
	id     func(row int) int64
	cols   []geo.Column
	names  []string // of cols, quoted, with a colon
}

// worker makes what encodes and proves blocks of features. The two share no memory, so
// that a text that went wrong in one is not right for the other.
func (f *features) worker() cores.Encode {
	e := featureEncoder{f, newPointTexts(f.shapes)}
	p := prover{features: f, points: newPointTexts(f.shapes)}
	return func(dst []byte, from, to int) ([]byte, error) {
		dst = slices.Grow(dst, f.room(from, to))
		for ; from < to; from += atOnce {
			at, end := len(dst), min(from+atOnce, to)
			dst = e.append(dst, from, end)
			if err := p.prove(dst[at:], from, end); err != nil {
				return dst, err
			}
		}
		return dst, nil
	}
}

// room is about how many bytes the rows from and up to the end take. A buffer that grows
// by doubling touches three times as much memory.
func (f *features) room(from, to int) (n int) {
	const feature, position = 256, 40
	for row := from; row < to; row++ {
		first, end := f.shapes.PointsOf(row)
		n += feature + position*(end-first)
	}
	return n
}

// atOnce is how many features are encoded before they are proved: near memory holds them.
const atOnce = 256

// featureEncoder appends features.
type featureEncoder struct {
	*features
	points *pointTexts
}

func (f *featureEncoder) append(dst []byte, from, to int) []byte {
	for row := from; row < to; row++ {
		dst = f.feature(dst, row)
		if row+1 < f.shapes.Len() {
			dst = append(dst, ',')
		}
		dst = append(dst, '\n')
	}
	return dst
}

func (f *featureEncoder) feature(dst []byte, row int) []byte {
	dst = append(dst, `{"type":"Feature",`...)
	if f.id != nil {
		dst = append(dst, `"id":`...)
		dst = append(strconv.AppendInt(dst, f.id(row), 10), ',')
	}
	dst = append(dst, `"properties":{`...)
	for i := range f.cols {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = f.cols[i].JSON(append(dst, f.names[i]...), row)
	}
	dst = append(dst, `},"geometry":`...)
	return append(f.geometry(dst, row), '}')
}

func (f *featureEncoder) geometry(dst []byte, row int) []byte {
	first, last := f.shapes.PolySpan(row)
	switch last - first {
	case 0:
		return append(dst, "null"...)
	case 1:
		dst = append(dst, `{"type":"Polygon","coordinates":`...)
		return append(f.polygon(dst, first), '}')
	}
	dst = append(dst, `{"type":"MultiPolygon","coordinates":`...)
	for p := first; p < last; p++ {
		dst = f.polygon(append(dst, opening(p == first)), p)
	}
	return append(dst, "]}"...)
}

func (f *featureEncoder) polygon(dst []byte, p int) []byte {
	first, last := f.shapes.RingSpan(p)
	if first == last {
		return append(dst, "[]"...)
	}
	for r := first; r < last; r++ {
		ring := f.shapes.Ring(r)
		area := signedArea(ring)
		turn := r == first && area < 0 || r > first && area > 0
		dst = f.ring(append(dst, opening(r == first)), ring, turn)
	}
	return append(dst, ']')
}

// opening returns what stands before the first element of an array, and before
// the others.
func opening(first bool) byte {
	if first {
		return '['
	}
	return ','
}

// ring appends a ring's positions, backwards if turn is set: as the last
// point is the first again, the first one stays.
func (f *featureEncoder) ring(dst []byte, ring orb.Ring, turn bool) []byte {
	if len(ring) == 0 {
		return append(dst, "[]"...)
	}
	for i, p := range ring {
		if turn {
			p = ring[len(ring)-1-i]
		}
		dst = f.position(append(dst, opening(i == 0)), p)
	}
	return append(dst, ']')
}

func (f *featureEncoder) position(dst []byte, p orb.Point) []byte {
	text, known := f.points.of(p)
	if known {
		return append(dst, text.bytes()...)
	}
	at := len(dst)
	dst = append(appendFloat(append(dst, '['), p[0]), ',')
	dst = append(appendFloat(dst, p[1]), ']')
	text.keep(p, dst[at:])
	return dst
}

// appendFloat appends the shortest text that reads back as v, with an exponent
// where ECMAScript prints one (ECMA-262, Number::toString).
func appendFloat(dst []byte, v float64) []byte {
	if a := math.Abs(v); a != 0 && a < 1e-6 || a >= 1e21 {
		dst = strconv.AppendFloat(dst, v, 'e', -1, 64)
		if n := len(dst); string(dst[n-4:n-1]) == "e-0" { // Go prints e-07
			dst = append(dst[:n-2], dst[n-1])
		}
		return dst
	}
	return strconv.AppendFloat(dst, v, 'f', -1, 64)
}

// pointTexts keeps the texts of points that came up of late: where cells make up a field,
// four of five points stood in the row before, or in the cell before.
type pointTexts struct {
	table []pointText
	shift int
}

// pointText is a position as it is printed. Those that are longer than a table holds are
// not kept.
type pointText struct {
	x, y uint64 // its bits
	n    uint8  // bytes of text; 0 for none
	text [47]byte
}

// mostTexts is how many texts a table keeps: some rows of a grid of a million cells, and no more
// than near memory holds. That of a small file is small, since memory that is touched first costs
// more than printing.
const mostTexts = 1 << 12

func newPointTexts(s *geo.Shapes) *pointTexts {
	size := 16
	for size < mostTexts && size < len(s.Points)/16 {
		size *= 2
	}
	return &pointTexts{make([]pointText, size), 64 - bits.Len(uint(size-1))}
}

// of returns the place of a point's text, and whether the text is there.
func (t *pointTexts) of(p orb.Point) (text *pointText, known bool) {
	x, y := math.Float64bits(p[0]), math.Float64bits(p[1])
	h := (x ^ bits.RotateLeft64(y, 32)) * 0x9e3779b97f4a7c15
	h ^= h >> 32
	h *= 0xbf58476d1ce4e5b9 // odd and arbitrary, as the other
	text = &t.table[h>>t.shift]
	return text, text.x == x && text.y == y && text.n > 0
}

// keep puts the text of a point in place of what was there.
func (t *pointText) keep(p orb.Point, text []byte) {
	t.n = 0
	if len(text) <= len(t.text) {
		t.x, t.y, t.n = math.Float64bits(p[0]), math.Float64bits(p[1]), uint8(len(text))
		copy(t.text[:], text)
	}
}

func (t *pointText) bytes() []byte { return t.text[:t.n] }
