package geojson

import (
	"fmt"
	"io/fs"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// collector joins parts in the order of the file.
type collector struct {
	points  bool  // are wanted, not polygons
	size    int64 // of the text if it is known, else 0
	shapes  geo.Shapes
	table   table
	kinds   []geo.Kind
	columns map[string]int
	closed  []int
	flat    []int
	wound   int
	marked  bool
	system  string
	bad     []geo.BadRecord
	more    int
	stopped bool
}

func newCollector(size int64) *collector {
	return &collector{size: size, columns: make(map[string]int)}
}

// sizeOf returns how many bytes a file or a buffer has; 0 if that isn't known.
func sizeOf(r any) int64 {
	switch r := r.(type) {
	case interface{ Len() int }:
		return int64(r.Len())
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := r.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	}
	return 0
}

// add joins one more part. With stopped set, it was the last.
func (c *collector) add(p *part) {
	base := c.shapes.Len()
	over := c.addColumns(p)
	if over >= 0 && (p.fatal == nil || over <= p.fatal.Record) {
		p.bad = slices.DeleteFunc(p.bad, func(b geo.BadRecord) bool { return b.Record >= over })
		c.addBad(p, base)
		c.stop(geo.BadRecord{Record: base + over, Why: errColumns.Error()})
		return
	}
	c.addBad(p, base)
	if p.fatal != nil {
		fatal := *p.fatal
		fatal.Record += base
		c.stop(fatal)
		return
	}
	if c.reserve(p); !c.addShapes(&p.shapes) {
		c.stop(geo.BadRecord{Record: -1, Why: fmt.Sprintf("more than %d points", math.MaxInt32)})
		return
	}
	for _, i := range p.closed {
		c.closed = append(c.closed, base+i)
	}
	for _, i := range p.flat {
		c.flat = append(c.flat, base+i)
	}
	c.wound += p.wound
	c.table.firsts = append(c.table.firsts, base)
	c.table.rows = append(c.table.rows, p.rows)
}

// addColumns joins the part's columns and gives its cells the numbers that they
// have in the file. It returns the record that has one name too many, or -1.
func (c *collector) addColumns(p *part) int {
	numbers := make([]uint16, len(p.columns))
	same := true
	for i, col := range p.columns {
		n, ok := c.columns[col.name]
		if !ok {
			if n = len(c.kinds); n == maxColumns {
				return col.first
			}
			c.columns[col.name] = n
			c.kinds = append(c.kinds, geo.Null)
			c.table.fields = append(c.table.fields, geo.Field{Name: col.name})
		}
		c.kinds[n] = merge(c.kinds[n], col.kind)
		numbers[i] = uint16(n)
		same = same && n == i
	}
	if !same {
		for i := range p.rows.cells {
			p.rows.cells[i].column = numbers[p.rows.cells[i].column]
		}
	}
	return -1
}

// addBad lists a part's bad records as long as there is room.
func (c *collector) addBad(p *part, base int) {
	for _, b := range p.bad {
		b.Record += base
		if len(c.bad) < geo.MaxBadRecords {
			c.bad = append(c.bad, b)
		} else {
			c.more++
		}
	}
	c.more += p.more
}

// stop lists the bad record that ends the reading, in any case.
func (c *collector) stop(b geo.BadRecord) {
	c.stopped = true
	if len(c.bad) == geo.MaxBadRecords {
		c.bad = c.bad[:len(c.bad)-1]
		c.more++
	}
	c.bad = append(c.bad, b)
}

// reserve makes room for the whole file by what its first part holds. Room that
// isn't used costs address space, not memory; it is bounded by the file's size,
// as a point is 16 bytes and takes at least 6 of text.
func (c *collector) reserve(p *part) {
	if c.shapes.Len() > 0 || c.size <= int64(p.bytes) || p.bytes == 0 {
		return
	}
	times := 1.02 * float64(c.size) / float64(p.bytes)
	room := func(n int) int { return int(min(1000+float64(times*float64(n)), math.MaxInt32)) }
	s := &c.shapes
	s.Points = make([]orb.Point, 0, room(len(p.shapes.Points)))
	s.RingEnds = make([]int32, 0, room(len(p.shapes.RingEnds)))
	s.PolyEnds = make([]int32, 0, room(len(p.shapes.PolyEnds)))
	s.ShapeEnds = make([]int32, 0, room(len(p.shapes.ShapeEnds)))
}

// addShapes appends shapes; false if there are too many points for 32 bits.
func (c *collector) addShapes(p *geo.Shapes) bool {
	s := &c.shapes
	points, rings, polygons := len(s.Points), len(s.RingEnds), len(s.PolyEnds)
	if len(p.Points) > math.MaxInt32-points {
		return false
	}
	s.Points = append(s.Points, p.Points...)
	s.RingEnds = appendEnds(s.RingEnds, p.RingEnds, points)
	s.PolyEnds = appendEnds(s.PolyEnds, p.PolyEnds, rings)
	s.ShapeEnds = appendEnds(s.ShapeEnds, p.ShapeEnds, polygons)
	return true
}

func appendEnds(dst, ends []int32, base int) []int32 {
	for _, e := range ends {
		dst = append(dst, e+int32(base))
	}
	return dst
}

// layer returns what was read.
func (c *collector) layer(name string) *geo.Layer {
	for i := range c.table.fields {
		c.table.fields[i].Kind = c.kinds[i]
	}
	return &geo.Layer{
		Name: name, Shapes: c.shapes, Attributes: &c.table,
		System: c.system, Remarks: c.remarks(),
	}
}

// remarks lists what was survived.
func (c *collector) remarks() (list []geo.Remark) {
	if c.marked {
		list = append(list, geo.Remark{Rule: "byte-order-mark"})
	}
	if len(c.closed) > 0 {
		list = append(list, geo.Remark{Rule: "ring-closed", Records: c.closed})
	}
	if len(c.flat) > 0 {
		list = append(list, geo.Remark{Rule: "z-dropped", Records: c.flat})
	}
	if c.wound > 0 {
		list = append(list, geo.Remark{Rule: "winding", Count: c.wound})
	}
	return list
}

// failure lists what makes the file unreadable.
func (c *collector) failure(name string) error {
	e := &geo.BadFileError{File: name, Bad: c.bad, More: c.more}
	if !slices.ContainsFunc(c.bad, func(b geo.BadRecord) bool { return b.Why != notPolygon }) {
		e.Hint = geo.HintPolygons
	}
	return e
}
