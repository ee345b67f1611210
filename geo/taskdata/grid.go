package taskdata

import (
	"encoding/binary"
	"fmt"
	"math/bits"

	"rxsplit/geo"
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

// Most that anybody spreads or sprays, in counts: 40 000 lb/ac and 20 000 gal/ac, far
// beyond lime and slurry (common practice, no source). What is beyond, or below 0, was
// not meant: bytes in the other order give such numbers.
const (
	mostMass   = 4_500_000
	mostVolume = 1_870_800_000
)

// twice finds what is there twice, where nobody can know which is meant.
func (d *decoder) twice() {
	seen := map[string]bool{}
	note := func(what, id string) {
		if id != "" && seen[what+id] {
			d.bad = append(d.bad, geo.BadRecord{Record: -1, Field: what, Value: geo.Shorten(id), Why: "is there twice"})
		}
		seen[what+id] = true
	}
	for _, p := range d.s.Products {
		note("PDT@A", p.ID)
	}
	for _, f := range d.s.Fields {
		note("PFD@A", f.ID)
	}
	for _, t := range d.s.Tasks {
		note("TSK@A", t.ID)
		for _, z := range t.Zones {
			note(t.ID+": TZN@A", fmt.Sprint(z.Code))
			if t.Grid == nil || t.Grid.Type == 1 || t.Grid.Zone != z.Code { // there, cells say the rates
				d.otherRates(t.ID, z)
			}
		}
	}
}

// otherRates finds a second rate of a product in a zone.
func (d *decoder) otherRates(task string, z Zone) {
	first := map[key]int32{}
	for _, v := range z.Values {
		k := key{v.DDI, v.Product, v.Element}
		if count, there := first[k]; there && count != v.Count {
			d.bad = append(d.bad, geo.BadRecord{Record: -1, Field: fmt.Sprintf("%s: TZN %d: PDV@B", task, z.Code), Value: fmt.Sprint(v.Count), Why: fmt.Sprintf("is another rate of the same product than %d", count)})
			return
		}
		first[k] = v.Count
	}
}

// mostGrids bounds the bytes of all grids of a set. A terminal takes 2 MB, but any number of
// tasks can name the same file, which each of them then holds in memory.
const mostGrids = 128 << 20

// grid reads the cells of a task's grid.
func (d *decoder) grid(t *Task) error {
	g := t.Grid
	if g == nil {
		return nil
	}
	if g.Type == 2 {
		z := t.zone(g.Zone)
		if z == nil || len(z.Values) == 0 {
			return &FileError{File: Main, Why: fmt.Sprintf("%s: the zone that its grid refers to is not there, so that nobody can know what its cells count", t.ID), Hint: "export the task data again where it was made"}
		}
		g.Values = len(z.Values)
	}
	if d.grids += g.size(); d.grids > mostGrids {
		return &FileError{File: Main, Why: fmt.Sprintf("the grids of its tasks have more than %d MB together, more than task data has", mostGrids>>20), Hint: "export the field alone"}
	}
	data, as, ok := d.files.find(g.File + ".bin")
	if !ok {
		return &FileError{File: g.File + ".bin", Why: "is missing, and it holds the rates of " + t.ID, Hint: "copy the whole folder as it is on the stick"}
	}
	if err := g.take(data); err != nil {
		return &FileError{File: as, Why: err.Error(), Hint: "copy the folder again; a file of another size can't be read right"}
	}
	if g.Type == 1 {
		d.strayCodes(t)
		return nil
	}
	return d.plausible(t, as)
}

// strayCodes tells of cells whose code is no zone's: they are taken for no ground.
func (d *decoder) strayCodes(t *Task) {
	var of [256]int
	for _, c := range t.Grid.Codes {
		of[c]++
	}
	for c, n := range of {
		if n > 0 && t.zone(c) == nil {
			d.remarks = append(d.remarks, geo.Remark{Rule: "code-without-zone", Count: n, Name: fmt.Sprint(c)})
		}
	}
}

// plausible refuses numbers that nobody means.
func (d *decoder) plausible(t *Task, file string) error {
	var of []DDI
	for _, v := range t.zone(t.Grid.Zone).Values {
		of = append(of, v.DDI)
	}
	if why := implausible(t.Grid.Counts, of); why != "" {
		return &FileError{File: file, Why: why, Hint: "export the task data again where it was made"}
	}
	return nil
}

// implausible says which of the counts nobody means; of is what each of a cell counts. It
// is empty where all may be meant.
func implausible(counts []int32, of []DDI) string {
	found, first, swapped := 0, int32(0), true
	for i, n := range counts {
		ddi := of[i%len(of)]
		if isOdd(n, ddi) {
			if found++; found == 1 {
				first = n
			}
		}
		swapped = swapped && !isOdd(int32(bits.ReverseBytes32(uint32(n))), ddi)
	}
	if found == 0 {
		return ""
	}
	why := fmt.Sprintf("holds rates that nobody means in %d of its cells, such as %d", found, first)
	if swapped {
		why += ": its bytes stand in the other order than the standard's"
	}
	return why
}

func isOdd(n int32, of DDI) bool {
	switch of.medium() {
	case dryMass:
		return n < 0 || n > mostMass
	case liquidVolume:
		return n < 0 || n > mostVolume
	}
	return false
}
