package taskdata

import (
	"encoding/binary"
	"fmt"
)

// Cells returns how many cells a grid has.
func (g *Grid) Cells() int { return g.Columns * g.Rows }

// size returns how many bytes its binary file has.
func (g *Grid) size() int {
	if g.Type == 1 {
		return g.Cells()
	}
	return 4 * g.Values * g.Cells()
}

// bytes encodes the cells.
func (g *Grid) bytes() []byte {
	if g.Type == 1 {
		return g.Codes
	}
	out := make([]byte, 0, g.size())
	for _, n := range g.Counts {
		out = binary.LittleEndian.AppendUint32(out, uint32(n))
	}
	return out
}

// take decodes the cells.
func (g *Grid) take(data []byte) error {
	if len(data) != g.size() {
		return fmt.Errorf("has %d bytes; %d columns and %d rows of type %d take %d", len(data), g.Columns, g.Rows, g.Type, g.size())
	}
	if g.Type == 1 {
		g.Codes = data
		return nil
	}
	g.Counts = make([]int32, len(data)/4)
	for i := range g.Counts {
		g.Counts[i] = int32(binary.LittleEndian.Uint32(data[4*i:]))
	}
	return nil
}

// Count returns what the cell at a row and a column, from the south-west, has of the
// value at k; ok is false for a code that is no zone's.
func (t *Task) Count(row, column, k int) (n int32, ok bool) {
	g := t.Grid
	cell := row*g.Columns + column
	if g.Type == 2 {
		return g.Counts[cell*g.Values+k], true
	}
	z := t.zone(int(g.Codes[cell]))
	if z == nil || k >= len(z.Values) {
		return 0, false
	}
	return z.Values[k].Count, true
}
