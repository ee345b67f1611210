package invent

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// GridOptions say which field [Grid] makes. Only Cells is required.
type GridOptions struct {
	Seed     uint64
	EPSG     int       // of the coordinates; 0 is 4326, WGS 84 in lon/lat
	Center   orb.Point // lon/lat of about the middle; 0, 0 is open water
	Cells    int       // from 1 to 10 million; exactly so many are made
	CellSize float64   // side of a cell in meters; 0 is 10
	Angle    float64   // degrees by which rows are turned counter-clockwise

	Shift       bool    // odd rows lie half a cell farther: vertices lie within neighbors' edges
	CornersOnly bool    // every other cell is left out: cells touch at corners only
	Noise       float64 // largest error of each vertex of each cell, in the layer's unit
	Nulls       float64 // share of cells without a rate, from 0 to 1
}

// Grid makes a field of square cells, as prescriptions made from imagery have them: round,
// from some 300 cells on with two ponds that belong to no cell, and crossed by a waterway of
// rate 0. Where there are a few cells more than asked for, the last of them are left out.
//
// It fails if the system is not known, or is not fit for the place, or if the options are out
// of range.
func Grid(opt GridOptions) (*Layer, error) {
	if opt.Cells < 1 || opt.Cells > mostCells {
		return nil, fmt.Errorf("invented grid: %d cells: want 1 to %d", opt.Cells, mostCells)
	}
	if opt.CellSize == 0 {
		opt.CellSize = 10
	}
	if !(opt.CellSize > 0) || math.IsInf(opt.CellSize, 0) {
		return nil, fmt.Errorf("invented grid: cells of %v m: want more than 0", opt.CellSize)
	}
	site, err := newSite(opt.EPSG, opt.Center)
	if err != nil {
		return nil, fmt.Errorf("invented grid: %w", err)
	}
	l := fitLattice(opt)
	nodes := l.nodes()
	if err := site.place(nodes); err != nil {
		return nil, fmt.Errorf("invented grid: %w", err)
	}
	layer := &Layer{Name: "grid", EPSG: site.epsg}
	layer.Shapes, layer.Rates = l.cells(nodes)
	addNulls(layer.Rates, opt)
	addNoise(&layer.Shapes, opt)
	return layer, nil
}

// mostCells take about 1.3 GB.
const mostCells = 10_000_000

// counting returns 1, 2, 3 ... n: the ends of single things.
func counting(n int) []int32 {
	ends := make([]int32, n)
	for i := range ends {
		ends[i] = int32(i) + 1
	}
	return ends
}

// addNoise moves every vertex of every cell by up to opt.Noise on both axes.
func addNoise(shapes *geo.Shapes, opt GridOptions) {
	if opt.Noise == 0 {
		return
	}
	for i := range shapes.Points {
		p := &shapes.Points[i]
		p[0] += opt.Noise * (2*chance(opt.Seed, 2*i) - 1)
		p[1] += opt.Noise * (2*chance(opt.Seed, 2*i+1) - 1)
	}
	for r := range shapes.RingEnds {
		from, to := shapes.PointSpan(r)
		shapes.Points[to-1] = shapes.Points[from]
	}
}

// addNulls takes the rate from a share of the cells.
func addNulls(rates []float64, opt GridOptions) {
	for i := range rates {
		if chance(^opt.Seed, i) < opt.Nulls {
			rates[i] = math.NaN()
		}
	}
}

// chance returns a number from 0 to 1, 1 excluded, that belongs to a seed and a
// place in its sequence: the output function of the SplitMix64 generator (Steele,
// Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
func chance(seed uint64, n int) float64 {
	z := seed + (uint64(n)+1)*0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}
