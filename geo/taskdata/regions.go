package taskdata

import (
	"bytes"
	"compress/flate"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/raster"
)

// noRegion stands for a cell that is no ground.
const noRegion = -1

// How much of a grid is taken for a prescription: 6,000 ac in cells of 5 m, and ground in as
// many pieces as such a field has cells of 10 m. A small archive can hold far more.
const (
	mostGridCells = 1 << 20
	mostPieces    = 400_000
)

// grid makes a record of each connected ground of equal counts.
func (b *layout) grid() error {
	g := b.task.Grid
	if g.Cells() > mostGridCells {
		return b.tooFine(fmt.Sprintf("has %d cells, and a prescription at most %d", g.Cells(), mostGridCells))
	}
	cells := raster.Grid{South: g.South, West: g.West, Height: g.Height, Width: g.Width, Columns: g.Columns, Rows: g.Rows}
	counts := b.counts()
	if n := bordersOf(cells, counts); b.set.BordersPerByte > 0 && n > fewBorders && n > fewBorders+b.set.BordersPerByte*packed(g.bytes()) {
		return &FileError{File: g.File + ".BIN", Why: fmt.Sprintf("has %d sides between cells of unlike rates, in a pattern that packs into next to nothing", n),
			Hint: "no field packs so tightly; if it comes from somebody you know, unpack it and name the folder, or allow more with --zip-ratio"}
	}
	ground := b.ground(cells, counts)
	region := regionsOf(cells, counts, ground)
	pieces := len(b.rowsOf(region, counts))
	if pieces > mostPieces {
		return b.tooFine(fmt.Sprintf("falls into %d pieces of equal rates, and a prescription into at most %d", pieces, mostPieces))
	}
	polygons := cells.Regions(region, pieces)
	points := 0
	for _, polygon := range polygons {
		for _, ring := range polygon {
			points += len(ring)
		}
	}
	b.layer.Shapes.Points = slices.Grow(b.layer.Shapes.Points, points)
	for _, polygon := range polygons {
		b.layer.Shapes.Append(orb.MultiPolygon{polygon})
	}
	return nil
}

func (b *layout) tooFine(why string) error {
	return &FileError{File: b.task.Grid.File + ".BIN", Why: why, Hint: "export the field with wider cells, or in parts"}
}

// counts are those of each cell, one a product; nil for a cell whose code is no zone's.
func (b *layout) counts() [][]int32 {
	g := b.task.Grid
	out := make([][]int32, g.Cells())
	if g.Type == 2 {
		for cell := range out {
			out[cell] = g.Counts[cell*g.Values : (cell+1)*g.Values]
		}
		return out
	}
	keys := b.set.keys(b.task)
	var byCode [256][]int32
	for _, z := range b.task.Zones {
		row := make([]int32, len(keys))
		for _, v := range z.Values {
			for i, k := range keys {
				if k == (key{v.DDI, v.Product, v.Element}) {
					row[i] = v.Count
				}
			}
		}
		byCode[z.Code] = row
	}
	for cell, code := range g.Codes {
		out[cell] = byCode[code]
	}
	return out
}

// Shares of a grid's cells with a rate that lie in the boundary. In real sets nearly all
// do, and in any other order of cells half to four fifths; a grid of wide cells has some
// beyond the edge.
const (
	mostElsewhere = 0.5
	wellInside    = 0.9
)

// ground says which cells count: those in the field's boundary or, without one, those that
// get anything.
func (b *layout) ground(g raster.Grid, counts [][]int32) []bool {
	some := func(cell int) bool { return slices.ContainsFunc(counts[cell], func(n int32) bool { return n != 0 }) }
	inside := b.insideBoundary(g, some)
	ground := make([]bool, g.Cells())
	beyond, idle := 0, 0
	for cell := range ground {
		switch {
		case counts[cell] == nil:
		case inside != nil && !inside.Has(cell):
			if some(cell) {
				beyond++
			}
		case inside == nil && !some(cell):
			idle++
		default:
			ground[cell] = true
		}
	}
	if beyond > 0 {
		b.remark("cells-beyond", beyond)
	}
	if idle > 0 {
		b.remark("cells-idle", idle)
	}
	return ground
}

// insideBoundary returns the cells in the field's boundary; nil where there is none, or it
// is another field's.
func (b *layout) insideBoundary(g raster.Grid, some func(cell int) bool) raster.Set {
	boundary := b.boundary()
	if len(boundary) == 0 {
		return nil
	}
	inside := g.Inside(func(yield func(orb.Ring) bool) {
		for _, polygon := range boundary {
			for _, ring := range polygon {
				if !yield(ring) {
					return
				}
			}
		}
	})
	all, within, flipped := 0, 0, 0
	for cell := range g.Cells() {
		if !some(cell) {
			continue
		}
		all++
		if inside.Has(cell) {
			within++
		}
		if row, column := cell/g.Columns, cell%g.Columns; inside.Has((g.Rows-1-row)*g.Columns + column) {
			flipped++
		}
	}
	switch share, other := float64(within)/math.Max(1, float64(all)), float64(flipped)/math.Max(1, float64(all)); {
	case share < mostElsewhere:
		b.remark("boundary-elsewhere", all-within)
		return nil
	case share < wellInside && other > share+0.1:
		b.remark("grid-upside-down", all-within)
	}
	return inside
}

// fewBorders is how many sides between cells of unlike rates every grid may have.
const fewBorders = 100_000

// packed returns how many bytes some pack into.
func packed(data []byte) int {
	var out bytes.Buffer
	w, _ := flate.NewWriter(&out, flate.DefaultCompression) // which is a level that there is
	w.Write(data)                                           // a buffer takes all
	w.Close()
	return out.Len()
}

// bordersOf counts the sides between cells that count unlike: what all further work goes by.
func bordersOf(g raster.Grid, counts [][]int32) (n int) {
	for cell := range counts {
		if (cell+1)%g.Columns > 0 && !slices.Equal(counts[cell], counts[cell+1]) {
			n++
		}
		if above := cell + g.Columns; above < len(counts) && !slices.Equal(counts[cell], counts[above]) {
			n++
		}
	}
	return n
}

// regionsOf gives cells that touch side by side and count the same one number.
func regionsOf(g raster.Grid, counts [][]int32, ground []bool) []int32 {
	region := slices.Repeat([]int32{noRegion}, g.Cells())
	var stack []int
	next := int32(0)
	for start := range region {
		if !ground[start] || region[start] != noRegion {
			continue
		}
		region[start] = next
		stack = append(stack[:0], start)
		for len(stack) > 0 {
			cell := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for beside := range g.Beside(cell) {
				if ground[beside] && region[beside] == noRegion && slices.Equal(counts[beside], counts[start]) {
					region[beside] = next
					stack = append(stack, beside)
				}
			}
		}
		next++
	}
	return region
}

// rowsOf takes the counts of each region.
func (b *layout) rowsOf(region []int32, counts [][]int32) [][]int32 {
	for cell, r := range region {
		if int(r) == len(b.rows) { // regions are numbered as their first cells come
			b.rows = append(b.rows, counts[cell])
		}
	}
	return b.rows
}
