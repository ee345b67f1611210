package raster

import (
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// label numbers the connected cells of equal value.
func label(g Grid, values []int) (region []int32, count int) {
	region = make([]int32, len(values))
	for i := range region {
		region[i] = -1
	}
	for start, v := range values {
		if v < 0 || region[start] >= 0 {
			continue
		}
		stack := []int{start}
		region[start] = int32(count)
		for len(stack) > 0 {
			cell := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for n := range g.Beside(cell) {
				if values[n] == v && region[n] < 0 {
					region[n] = int32(count)
					stack = append(stack, n)
				}
			}
		}
		count++
	}
	return region, count
}

// A walk leaves no corner behind, and a region is walked around without a look at those of others:
// work goes by sides, not by regions times the largest of them.
func TestWalksLeaveNoCorner(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	g := Grid{South: 47, West: -90, Height: 0.0001, Width: 0.00015, Columns: 40, Rows: 30}
	values := make([]int, g.Cells())
	for i := range values {
		values[i] = random.IntN(2)
	}
	region, _ := label(g, values)
	walk := tracer{g: g, region: region, passed: make([]uint8, len(region)), place: make([]int32, (g.Rows+1)*(g.Columns+1))}
	for cell := range region {
		if !walk.borders(cell, south) || walk.passed[cell]>>south&1 == 1 {
			continue
		}
		walk.trace(cell, south)
		for at, n := range walk.place {
			if n != 0 {
				t.Fatalf("after the walk from cell %d corner %d is still in it", cell, at)
			}
		}
	}
}

// Regions of random cells are valid polygons, as simplefeatures has it, and hold the
// centers of just their own cells.
func TestRegionsAreTheirCells(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	g := Grid{South: 47, West: -90, Height: 0.0001, Width: 0.00015, Columns: 9, Rows: 8}
	for range 300 {
		values := make([]int, g.Cells())
		for i := range values {
			values[i] = random.IntN(3) - 1
		}
		region, count := label(g, values)
		var s geo.Shapes
		for r, polygon := range g.Regions(region, count) {
			if err := geo.Valid(orb.MultiPolygon{polygon}); err != nil {
				t.Fatalf("region %d of %v: %v", r, values, err)
			}
			s.Append(orb.MultiPolygon{polygon})
		}
		for cell, owner := range g.Owners(&s) {
			if owner != region[cell] && !(owner == None && region[cell] < 0) {
				t.Fatalf("cell %d of %v: region %d holds its center, want %d", cell, values, owner, region[cell])
			}
		}
	}
}

// A ring of eight cells whose last is joined by a corner only: the hole touches the shell.
func TestRegionThatTouchesItself(t *testing.T) {
	g := Grid{Height: 1, Width: 1, Columns: 3, Rows: 3}
	region := []int32{
		0, 0, 0,
		0, -1, 0,
		-1, 0, 0,
	}
	got := g.Regions(region, 1)[0]
	if len(got) != 2 || len(got[1]) != 5 {
		t.Errorf("rings are %v", got)
	}
}
