package geojson

import (
	"slices"
	"sort"

	"rxsplit/geo"
)

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
