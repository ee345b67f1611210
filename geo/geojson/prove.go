package geojson

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// proveNames reads the names of the columns as another library does.
func (f *features) proveNames() error {
	for i, c := range f.cols {
		var name string
		text, colon := strings.CutSuffix(f.names[i], ":")
		if err := json.Unmarshal([]byte(text), &name); err != nil || !colon || name != c.Name {
			return geo.Unproved(0, "the name of field "+c.Name)
		}
	}
	return nil
}

// prover reads blocks of features, and holds each byte against the records: numbers as the
// floats that they read as, all else as the one text that is meant. It knows the layout of
// [Write] alone, which a decoder of GeoJSON at large could not go by.
type prover struct {
	*features
	points *pointTexts // that were read
	rest   []byte      // of the block
	again  []byte
}

func (p *prover) prove(block []byte, from, to int) error {
	p.rest = block
	for row := from; row < to; row++ {
		if what := p.feature(row); what != "" {
			return geo.Unproved(row, what)
		}
	}
	if len(p.rest) > 0 {
		return geo.Unproved(to-1, "what follows it")
	}
	return nil
}

// skip goes on behind a text; it reports whether that comes next.
func (p *prover) skip(text string) bool {
	if len(p.rest) < len(text) || string(p.rest[:len(text)]) != text {
		return false
	}
	p.rest = p.rest[len(text):]
	return true
}

// number goes on behind what may be a number and returns it.
func (p *prover) number() []byte {
	n := 0
	for n < len(p.rest) && p.rest[n] != ',' && p.rest[n] != ']' && p.rest[n] != '}' {
		n++
	}
	text := p.rest[:n]
	p.rest = p.rest[n:]
	return text
}

func (p *prover) feature(row int) (what string) {
	if !p.skip(`{"type":"Feature",`) {
		return "its beginning"
	}
	if p.id != nil {
		if !p.skip(`"id":`) {
			return "its id"
		}
		id, err := strconv.ParseInt(string(p.number()), 10, 64)
		if err != nil || id != p.id(row) || !p.skip(",") {
			return "its id"
		}
	}
	if !p.skip(`"properties":{`) {
		return "its properties"
	}
	for i := range p.cols {
		if i > 0 && !p.skip(",") || !p.skip(p.names[i]) || !p.cell(i, row) {
			return "field " + p.cols[i].Name
		}
	}
	if !p.skip(`},"geometry":`) || !p.geometry(row) {
		return "its geometry"
	}
	if !p.skip("}") || row+1 < p.shapes.Len() && !p.skip(",") || !p.skip("\n") {
		return "its end"
	}
	return ""
}

// cell reads the value of a column.
func (p *prover) cell(i, row int) bool {
	if p.cols[i].Number == nil {
		p.again = p.cols[i].JSON(p.again[:0], row)
		return p.skip(string(p.again))
	}
	text := p.number()
	if string(text) == "null" {
		text = nil
	} else if !isJSONNumber(text) {
		return false
	}
	return p.cols[i].Proves(text, row, p.cols[i].JSON)
}

// isJSONNumber leaves to a parser of numbers what digits must follow which, and refuses
// what it would take and JSON doesn't: a sign or a zero or a point before a number.
func isJSONNumber(text []byte) bool {
	if len(text) > 0 && text[0] == '-' {
		text = text[1:]
	}
	if len(text) == 0 || text[0] < '0' || text[0] > '9' || text[len(text)-1] == '.' {
		return false
	}
	return len(text) == 1 || text[0] != '0' || text[1] < '0' || text[1] > '9'
}

func (p *prover) geometry(row int) bool {
	first, last := p.shapes.PolySpan(row)
	switch last - first {
	case 0:
		return p.skip("null")
	case 1:
		return p.skip(`{"type":"Polygon","coordinates":`) && p.polygon(first) && p.skip("}")
	}
	if !p.skip(`{"type":"MultiPolygon","coordinates":[`) {
		return false
	}
	for i := first; i < last; i++ {
		if i > first && !p.skip(",") || !p.polygon(i) {
			return false
		}
	}
	return p.skip("]}")
}

func (p *prover) polygon(i int) bool {
	first, last := p.shapes.RingSpan(i)
	if !p.skip("[") {
		return false
	}
	for r := first; r < last; r++ {
		if r > first && !p.skip(",") || !p.ring(p.shapes.Ring(r), r == first) {
			return false
		}
	}
	return p.skip("]")
}

// ring reads the points of a ring, forward or backward, and wants shells counter-clockwise,
// holes clockwise, where rounding can't turn the sign.
func (p *prover) ring(ring orb.Ring, shell bool) bool {
	start := p.rest
	if runs(ring, shell) && p.positions(ring, false) {
		return true
	}
	p.rest = start
	return runs(ring, !shell) && p.positions(ring, true)
}

// runs reports whether a ring runs counter-clockwise, or else clockwise, or may do so: its
// area is too small to tell, with a wider margin than the encoder's.
func runs(ring orb.Ring, counterclockwise bool) bool {
	var sum, size, x, y float64
	for i := range ring {
		u, v := ring[i][0]-ring[0][0], ring[i][1]-ring[0][1]
		sum += float64(x*v) - float64(u*y)
		size += math.Abs(x*v) + math.Abs(u*y)
		x, y = u, v
	}
	if math.Abs(sum) <= float64(len(ring)+8)*0x1p-52*size {
		return true
	}
	return (sum > 0) == counterclockwise
}

func (p *prover) positions(ring orb.Ring, backward bool) bool {
	if !p.skip("[") {
		return false
	}
	for i := range ring {
		point := ring[i]
		if backward {
			point = ring[len(ring)-1-i]
		}
		if i > 0 && !p.skip(",") || !p.position(point) {
			return false
		}
	}
	return p.skip("]")
}

// position reads a point, or finds the text in place that it was read from.
func (p *prover) position(want orb.Point) bool {
	text, known := p.points.of(want)
	if known && bytes.HasPrefix(p.rest, text.bytes()) {
		p.rest = p.rest[text.n:]
		return true
	}
	from := p.rest
	if !p.skip("[") || !p.coordinate(want[0]) || !p.skip(",") || !p.coordinate(want[1]) || !p.skip("]") {
		return false
	}
	text.keep(want, from[:len(from)-len(p.rest)])
	return true
}

func (p *prover) coordinate(want float64) bool {
	text := p.number()
	return isJSONNumber(text) && geo.ReadsAs(text, want)
}
