// Package geojson reads and writes polygons as GeoJSON, on all cores.
//
// The reader takes what RFC 7946 calls a GeoJSON text (a FeatureCollection, one
// Feature, one geometry) and sequences of Features, one a line or as RFC 8142
// has them. A light scanner finds where each feature ends. Blocks of whole
// features are decoded side by side and joined in the order of the file: neither
// the number of cores nor the size of the blocks shows in the result. The text
// never stands in memory as a whole.
//
// It is strict where a guess could move ground or change a rate (JSON grammar,
// numbers, members that stand twice) and lenient where RFC 7946 asks for it
// (foreign members, winding, members in any order). What it survives is a
// [geo.Remark]; what it can't read is listed in one [geo.BadFileError].
package geojson

import (
	"io"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"rxsplit/geo"
)

// One goroutine decodes up to blockSize bytes of text at a time, and a part of
// them where there are few.
const (
	blockSize  = 1 << 20
	leastBlock = 1 << 15
	parts      = 16
)

// Decode reads a GeoJSON text. name is the file's base name: errors start with
// it, and the layer is called by it. A feature whose geometry is null, missing
// or empty is a record without a polygon. The error is a [*geo.BadFileError], or
// what r returned, wrapped.
//
// A GeometryCollection is read as one multipolygon if it holds polygons and
// multipolygons only. Polygons keep their rings in the order of the file: the
// first is the shell, whatever its winding. Feature ids are not kept.
func Decode(r io.Reader, name string) (*geo.Layer, error) {
	return decode(r, name, blockSize, runtime.GOMAXPROCS(0))
}

// DecodePoints reads a GeoJSON text of points as [Decode] does one of polygons. A feature's
// point is a ring of that point alone.
func DecodePoints(r io.Reader, name string) (*geo.Layer, error) {
	return decodeAs(true, r, name, blockSize, runtime.GOMAXPROCS(0))
}

func decode(r io.Reader, name string, block, workers int) (*geo.Layer, error) {
	return decodeAs(false, r, name, block, workers)
}

func decodeAs(points bool, r io.Reader, name string, block, workers int) (*geo.Layer, error) {
	var running sync.WaitGroup
	defer running.Wait()
	size := sizeOf(r)
	if size > 0 {
		block = int(min(int64(block), max(size/parts, leastBlock), size+1)) // the end shows in an empty rest
	}
	s := newSplitter(r, block, 2*workers+1)
	defer close(s.stop)

	running.Go(s.run)
	for range workers {
		running.Go(func() { decodeBatches(s.jobs, points) })
	}
	c := newCollector(size)
	c.points = points
	for b := range s.order {
		p := <-b.done
		if c.add(p); c.stopped {
			return nil, c.failure(name)
		}
		s.reuse(b)
	}
	// The order is closed: the splitter has finished, and what it found can be read.
	if s.readErr != nil {
		return nil, &readError{name, s.readErr}
	}
	c.finish(s)
	if len(c.bad) > 0 {
		return nil, c.failure(name)
	}
	return c.layer(strings.TrimSuffix(name, filepath.Ext(name))), nil
}

// decodeBatches decodes batches until there are no more.
func decodeBatches(jobs <-chan *batch, points bool) {
	d := featureDecoder{points: points}
	for b := range jobs {
		b.done <- d.decode(b)
	}
}

type readError struct {
	file string
	err  error
}

func (e *readError) Error() string { return e.file + ": " + e.err.Error() }
func (e *readError) Unwrap() error { return e.err }

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
