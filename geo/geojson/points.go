package geojson

import (
	"math"
	"math/bits"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

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

// mostTexts is how many texts a table keeps: some rows of a grid of a million cells. That
// of a small file is small, since memory that is touched first costs more than printing.
const mostTexts = 1 << 13

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
