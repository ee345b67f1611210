package geojson

import "rxsplit/geo"

// span is a piece of a text, the end excluded.
type span struct{ from, to int32 }

// batch is a block of text with whole features in it, for one goroutine to decode.
type batch struct {
	text     []byte
	features []span
	base     int64 // offset of text[0] in the file
	line     int   // of text[0], from 1
	loose    bool  // geometries may stand where features do
	alone    bool  // the text is the file's one object, and may have the file's crs
	part     part
	done     chan *part // gets &part
}

// part is what was read from a batch. Records count from 0 in the batch.
type part struct {
	shapes  geo.Shapes
	rows    rows
	columns []column
	closed  []int // records whose rings were closed
	flat    []int // records that lost a third ordinate
	wound   int   // records with a ring against the right-hand rule
	bad     []geo.BadRecord
	more    int
	fatal   *geo.BadRecord // ends the reading of the file; its record is the last
	bytes   int            // of text
}

// column is a property's name where it first appears.
type column struct {
	name  string
	first int // record
	kind  geo.Kind
}

// reset empties the part and keeps the room it has. Rows and columns live on in
// the layer: they are let go.
func (p *part) reset() {
	s := &p.shapes
	*p = part{
		shapes: geo.Shapes{Points: s.Points[:0], RingEnds: s.RingEnds[:0],
			PolyEnds: s.PolyEnds[:0], ShapeEnds: s.ShapeEnds[:0]},
		closed: p.closed[:0], flat: p.flat[:0], bad: p.bad[:0],
	}
}

// report lists a bad record, as long as there is room.
func (p *part) report(b geo.BadRecord) {
	if len(p.bad) < geo.MaxBadRecords {
		p.bad = append(p.bad, b)
	} else {
		p.more++
	}
}
