package invent_test

import (
	"fmt"
	"math"
	"reflect"
	"runtime"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/invent"
)

func grid(t *testing.T, opt invent.GridOptions) *invent.Layer {
	t.Helper()
	l, err := invent.Grid(opt)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestGridHasAsManyCellsAsAsked(t *testing.T) {
	for _, cells := range []int{1, 2, 6, 7, 64, 99, 100, 101, 300, 1000, 4999, 20000} {
		for _, opt := range []invent.GridOptions{{}, {Shift: true}, {CornersOnly: true}} {
			opt.Cells, opt.Seed, opt.EPSG = cells, uint64(cells), 32615
			l := grid(t, opt)
			if l.Shapes.Len() != cells || len(l.Rates) != cells {
				t.Errorf("%+v: got %d shapes and %d rates", opt, l.Shapes.Len(), len(l.Rates))
			}
			if last := l.Shapes.RingEnds[cells-1]; int(last) != len(l.Shapes.Points) {
				t.Errorf("%+v: rings end at %d of %d points", opt, last, len(l.Shapes.Points))
			}
		}
	}
}

func TestGridIsValid(t *testing.T) {
	for _, c := range []struct {
		opt   invent.GridOptions
		holes int
	}{
		{invent.GridOptions{Cells: 6}, 0},
		{invent.GridOptions{Cells: 150, EPSG: 32615}, 0},
		{invent.GridOptions{Cells: 3000, Seed: 1, EPSG: 32615}, 2},
		{invent.GridOptions{Cells: 3000, Seed: 2, Angle: 31, CellSize: 3}, 2},
		{invent.GridOptions{Cells: 3000, Seed: 3, Angle: -12, CellSize: 30, EPSG: 5070}, 2},
	} {
		t.Run(fmt.Sprintf("%+v", c.opt), func(t *testing.T) {
			l := grid(t, c.opt)
			checkRecords(t, &l.Shapes)
			if o := checkOutline(t, &l.Shapes); len(o)-1 != c.holes {
				t.Errorf("the outline has %d holes, want %d", len(o)-1, c.holes)
			}
			checkRates(t, l)
		})
	}
}

// checkRates looks for rates in steps of 5 that vary, and for a waterway.
func checkRates(t *testing.T, l *invent.Layer) {
	t.Helper()
	distinct := map[float64]int{}
	for i, rate := range l.Rates {
		distinct[rate]++
		if rate != 0 && (rate < 90 || rate > 300 || math.Mod(rate, 5) != 0) {
			t.Errorf("cell %d: rate %v", i, rate)
		}
	}
	if l.Shapes.Len() < 1000 {
		return
	}
	if len(distinct) < 30 {
		t.Errorf("%d distinct rates, want a smooth range", len(distinct))
	}
	if n := distinct[0]; n < 30 || n > l.Shapes.Len()/10 {
		t.Errorf("%d cells have rate 0, want a waterway", n)
	}
}

// A cell is a square of the given side, turned by the given angle.
func TestGridCellSizeAndAngle(t *testing.T) {
	l := grid(t, invent.GridOptions{Cells: 900, Seed: 4, EPSG: 32615, CellSize: 7, Angle: 20})
	square := 0
	for i := range l.Shapes.Len() {
		ring := l.Shapes.Ring(i)
		if len(ring) != 5 || math.Abs(planar(ring)-49) > 1e-6 {
			continue
		}
		square++
		d := orb.Point{ring[1][0] - ring[0][0], ring[1][1] - ring[0][1]}
		if got := math.Atan2(d[1], d[0]) * 180 / math.Pi; math.Abs(got-20) > 1e-6 {
			t.Fatalf("cell %d: turned by %v°, want 20", i, got)
		}
	}
	if square != 900 {
		t.Errorf("%d of 900 cells are squares", square)
	}
}

// Rows shifted by half a cell put vertices into their neighbors' edges.
func TestGridShift(t *testing.T) {
	l := grid(t, invent.GridOptions{Cells: 900, Seed: 4, EPSG: 32615, Shift: true})
	checkRecords(t, &l.Shapes)
	points := map[orb.Point]bool{}
	for _, p := range l.Shapes.Points {
		points[p] = true
	}
	var within int
	for e := range ways(&l.Shapes) {
		if points[orb.Point{(e[0][0] + e[1][0]) / 2, (e[0][1] + e[1][1]) / 2}] {
			within++
		}
	}
	if within < 1500 {
		t.Errorf("%d edges have a vertex in their middle, want about two a cell", within)
	}
}

func TestGridCornersOnly(t *testing.T) {
	l := grid(t, invent.GridOptions{Cells: 900, Seed: 4, EPSG: 32615, CornersOnly: true})
	checkRecords(t, &l.Shapes)
	count := ways(&l.Shapes)
	uses := map[orb.Point]int{}
	for e := range count {
		uses[e[0]]++
		if count[[2]orb.Point{e[1], e[0]}] > 0 {
			t.Fatalf("cells share the edge %v", e)
		}
	}
	var touching int
	for _, n := range uses {
		if n == 2 {
			touching++
		}
	}
	if touching < 1500 {
		t.Errorf("cells touch at %d corners, want about two a cell", touching)
	}
}

func TestGridNoise(t *testing.T) {
	opt := invent.GridOptions{Cells: 900, Seed: 4}
	clean := grid(t, opt)
	opt.Noise = 1e-9
	noisy := grid(t, opt)
	var moved int
	for i, p := range noisy.Shapes.Points {
		q := clean.Shapes.Points[i]
		for axis := range p {
			if math.Abs(p[axis]-q[axis]) > 1e-9+2e-14 { // the latter: rounding at 90°
				t.Fatalf("point %d moved from %v to %v", i, q, p)
			}
		}
		if p != q {
			moved++
		}
	}
	if moved < len(noisy.Shapes.Points)*99/100 {
		t.Errorf("%d of %d points moved", moved, len(noisy.Shapes.Points))
	}
	checkRecords(t, &noisy.Shapes)
}

func TestGridNulls(t *testing.T) {
	l := grid(t, invent.GridOptions{Cells: 20000, Nulls: 0.05})
	var nulls int
	for _, rate := range l.Rates {
		if math.IsNaN(rate) {
			nulls++
		}
	}
	if nulls < 850 || nulls > 1150 { // 1000 ± 5 standard deviations
		t.Errorf("%d of 20000 rates are null, want about 1000", nulls)
	}
}

// The number of cores changes nothing.
func TestGridRepeats(t *testing.T) {
	opt := invent.GridOptions{Cells: 30000, Seed: 8, Noise: 1e-9, Nulls: 0.01, Angle: 5}
	a := grid(t, opt)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	b := grid(t, opt)
	if !reflect.DeepEqual(a.Shapes, b.Shapes) {
		t.Error("other shapes on one core")
	}
	for i := range a.Rates {
		if math.Float64bits(a.Rates[i]) != math.Float64bits(b.Rates[i]) {
			t.Fatalf("cell %d: rate %v, on one core %v", i, a.Rates[i], b.Rates[i])
		}
	}
}

func TestGridRefuses(t *testing.T) {
	for name, opt := range map[string]invent.GridOptions{
		"no cells":       {},
		"too many cells": {Cells: 10_000_001},
		"negative side":  {Cells: 6, CellSize: -1},
		"no number":      {Cells: 6, CellSize: math.NaN()},
		"unknown system": {Cells: 6, EPSG: 1},
	} {
		if _, err := invent.Grid(opt); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func BenchmarkGrid(b *testing.B) {
	for _, epsg := range []int{4326, 32615} {
		b.Run(fmt.Sprintf("1M/EPSG:%d", epsg), func(b *testing.B) {
			for b.Loop() {
				if _, err := invent.Grid(invent.GridOptions{Cells: 1_000_000, EPSG: epsg}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
