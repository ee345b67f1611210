package app

import (
	"math"
	"slices"

	"rxsplit/geo/raster"
	"rxsplit/rx"
)

// The cells that a field's treated ground is laid out in, to see whether another lies on the same: of one grid for all, some
// 15 by 22 m. A field of more is not looked at.
const (
	groundCell = 2e-4 // degrees
	mostCells  = 1 << 20
)

// cellsOf returns the cells whose centers lie in treated zones, in ascending order.
func cellsOf(p *rx.Prescription) (cells []int64) {
	box := p.LonLat.Extent()
	first := func(v float64) float64 { return math.Floor(v / groundCell) }
	west, south := first(box.Min[0]), first(box.Min[1])
	columns, rows := first(box.Max[0])-west+1, first(box.Max[1])-south+1
	if !(columns*rows <= mostCells) { // also where there is no ground
		return nil
	}
	treated := make([]bool, p.LonLat.Len())
	for _, z := range p.Zones {
		treated[z.Record] = z.Treated()
	}
	g := raster.Grid{West: west * groundCell, South: south * groundCell, Width: groundCell, Height: groundCell, Columns: int(columns), Rows: int(rows)}
	for i, record := range g.Owners(p.LonLat) {
		if record != raster.None && treated[record] {
			row, column := int64(south)+int64(i/g.Columns), int64(west)+int64(i%g.Columns)
			cells = append(cells, row<<32+column)
		}
	}
	return cells
}

// common counts the cells of two fields that are the same.
func common(a, b []int64) (n int) {
	for len(a) > 0 && len(b) > 0 {
		at, found := slices.BinarySearch(b, a[0])
		if found {
			n++
		}
		b = b[at:]
		a, b = b, a[1:] // the one that lies before the other is passed over in one step
	}
	return n
}

// onSameGround asks about fields of which most of one lies in another: one that was drawn or exported twice, say. Those
// that hang together so are asked about at once. Copies of one file are not asked about: those that are served say what differs.
func onSameGround(fields []*dayField) (asks []rx.RunAsk) {
	group := make([]int, len(fields)) // by field, the first that it hangs together with
	for i, f := range fields {
		group[i] = i
		for j, o := range fields[:i] {
			if from, to := max(group[i], group[j]), min(group[i], group[j]); from != to && f.bytes != o.bytes && 2*common(f.cells, o.cells) > min(len(f.cells), len(o.cells)) {
				for k := range group[:i+1] {
					if group[k] == from {
						group[k] = to
					}
				}
			}
		}
	}
	for first := range fields {
		ask := rx.RunAsk{About: rx.AskGround, Run: -1}
		for i, of := range group {
			if of == first {
				ask.Fields = append(ask.Fields, i)
			}
		}
		if len(ask.Fields) > 1 {
			asks = append(asks, ask)
		}
	}
	return asks
}
