package geojson

import (
	"fmt"
	"slices"
	"sort"

	"rxsplit/geo"
)

const (
	// maxColumns is how many different property names a file may have.
	maxColumns = 1000
	// maxOther is how much of an array's or an object's text a cell keeps.
	maxOther = 256
)

var errColumns = fmt.Errorf("more than %d different property names", maxColumns)

// columns collects the cells of a batch.
type columns struct {
	list   []column
	byName map[string]int
	last   []int // record, from 1, that had the column last
	nth    int   // place of the next cell in its record
	now    int   // record, from 1
	rows   rows
	name   []byte // scratch
}

// reset begins a batch. The list of columns has been given away.
func (c *columns) reset() {
	c.list = nil
	clear(c.byName)
	c.last = c.last[:0]
	c.rows = rows{c.rows.ends[:0], c.rows.cells[:0], c.rows.text[:0]}
}

func (c *columns) record(i int) { c.now, c.nth = i+1, 0 }

func (c *columns) endRecord() { c.rows.ends = append(c.rows.ends, uint32(len(c.rows.cells))) }

// find returns the column of a name: most often it is the one that has the
// cell's place, as features mostly list the same names in the same order.
func (c *columns) find(name []byte) (int, error) {
	if c.nth < len(c.list) && c.list[c.nth].name == string(name) {
		return c.nth, nil
	}
	if i, ok := c.byName[string(name)]; ok {
		return i, nil
	}
	if len(c.list) == maxColumns {
		return 0, errColumns
	}
	if c.byName == nil {
		c.byName = make(map[string]int)
	}
	i := len(c.list)
	c.list = append(c.list, column{name: string(name), first: c.now - 1})
	c.byName[c.list[i].name] = i
	c.last = append(c.last, 0)
	return i, nil
}

// add ends the cell whose characters have been appended to the text.
func (c *columns) add(i int, kind geo.Kind) {
	c.last[i] = c.now
	c.list[i].kind = merge(c.list[i].kind, kind)
	c.rows.cells = append(c.rows.cells, cell{uint32(len(c.rows.text)), uint16(i), kind})
	c.nth++
}

// merge returns the kind of a column that holds cells of both kinds.
func merge(a, b geo.Kind) geo.Kind {
	switch {
	case a == geo.Null:
		return b
	case b == geo.Null || a == b:
		return a
	}
	return geo.Mixed
}

// kindOf tells a JSON value by its first byte.
func kindOf(value []byte) geo.Kind {
	switch value[0] {
	case '"':
		return geo.Text
	case 't', 'f':
		return geo.Bool
	case 'n':
		return geo.Null
	case '[', '{':
		return geo.Other
	}
	return geo.Number
}

// table holds the properties of all features: the cells that are there, feature
// by feature, so that its size follows the file's however many names there are.
// It is the layer's Attributes.
type table struct {
	fields []geo.Field
	firsts []int // record with which the batch of that place begins
	rows   []rows
}

// rows are the cells of a batch's records.
type rows struct {
	ends  []uint32 // record i has cells[ends[i-1]:ends[i]]
	cells []cell
	text  []byte
}

// cell is one property: its characters are the text from the end of the cell
// before it up to its own.
type cell struct {
	end    uint32
	column uint16
	kind   geo.Kind
}

func (r rows) clone() rows {
	return rows{slices.Clone(r.ends), slices.Clone(r.cells), slices.Clone(r.text)}
}

// Fields returns a field for each property name, in the order in which they
// first appear in the file.
func (t *table) Fields() []geo.Field { return t.fields }

// Cell returns a property; one that a feature doesn't have is null.
func (t *table) Cell(record, field int) geo.Cell {
	b := sort.SearchInts(t.firsts, record+1) - 1
	r, i := &t.rows[b], record-t.firsts[b]
	from := 0
	if i > 0 {
		from = int(r.ends[i-1])
	}
	cells := r.cells[from:r.ends[i]]
	if field < len(cells) && int(cells[field].column) == field {
		return r.cell(from + field)
	}
	for j := range cells {
		if int(cells[j].column) == field {
			return r.cell(from + j)
		}
	}
	return geo.Cell{}
}

func (r *rows) cell(i int) geo.Cell {
	c := r.cells[i]
	if c.kind == geo.Null {
		return geo.Cell{}
	}
	from := uint32(0)
	if i > 0 {
		from = r.cells[i-1].end
	}
	return geo.Cell{Kind: c.kind, Text: r.text[from:c.end:c.end]}
}
