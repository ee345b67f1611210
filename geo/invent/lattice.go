package invent

import (
	"fmt"
	"iter"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// lattice is a square of cells of side 1, of which the field takes those whose middle lies
// in its circle and in no pond. Column i and row j of its nodes lie at x = i, y = j; cell
// i, j is north-east of that node.
type lattice struct {
	GridOptions
	side  int // cells along each side
	ponds [2]pond
	hills [3]wave
}

// pond is a circle that is left out of a field.
type pond struct{ x, y, radius float64 }

// wave is a part of the field's relief.
type wave struct{ kx, ky, phase float64 }

// fitLattice returns the smallest lattice of a seed's shape that has at least as many cells
// in the field as asked for.
func fitLattice(opt GridOptions) *lattice {
	for side := int(math.Sqrt(float64(opt.Cells))); ; side += 1 + side/500 {
		l := &lattice{GridOptions: opt, side: side}
		if wide := float64(side); side >= 16 {
			l.ponds = [2]pond{{0.71 * wide, 0.66 * wide, 0.06 * wide}, {0.27 * wide, 0.70 * wide, 0.05 * wide}}
		}
		if l.count() >= opt.Cells {
			l.raise()
			return l
		}
	}
}

// raise makes the relief: waves of one to three of the field's widths.
func (l *lattice) raise() {
	rng := newRand(l.Seed, "relief")
	for i := range l.hills {
		sin, cos := math.Sincos(between(rng, 0, 2*math.Pi))
		k := 2 * math.Pi / float64(l.side) / between(rng, 0.35, 0.9)
		l.hills[i] = wave{k * cos, k * sin, between(rng, 0, 2*math.Pi)}
	}
}

func (l *lattice) count() int {
	n := 0
	for range l.all() {
		n++
	}
	return n
}

// all yields columns and rows of the cells of the field.
func (l *lattice) all() iter.Seq2[int, int] {
	return func(yield func(i, j int) bool) {
		for j := range l.side {
			for i := range l.side {
				if l.in(i, j) && !yield(i, j) {
					return
				}
			}
		}
	}
}

func (l *lattice) in(i, j int) bool {
	if l.CornersOnly && (i+j)%2 == 1 {
		return false
	}
	x, y, radius := float64(i)+0.5, float64(j)+0.5, float64(l.side)/2
	for _, p := range l.ponds {
		if math.Hypot(x-p.x, y-p.y) < p.radius {
			return false
		}
	}
	return math.Hypot(x-radius, y-radius) <= radius
}

// nodes returns the corners of all cells in meters around the middle, each once, so that the
// cells around it share its bits: row by row, and the southern and northern line of each row,
// which differ where rows are shifted.
func (l *lattice) nodes() []orb.Point {
	nodes := make([]orb.Point, 0, 2*l.side*(l.side+1))
	sin, cos := math.Sincos(l.Angle * math.Pi / 180)
	middle := float64(l.side) / 2
	for line := range 2 * l.side {
		j := line / 2
		for i := range l.side + 1 {
			x, y := float64(i)-middle, float64(j+line%2)-middle
			if l.Shift && j%2 == 1 {
				x += 0.5
			}
			nodes = append(nodes, orb.Point{(x*cos - y*sin) * l.CellSize, (x*sin + y*cos) * l.CellSize})
		}
	}
	return nodes
}

// cells returns the shapes of as many cells as asked for, and their rates.
func (l *lattice) cells(nodes []orb.Point) (geo.Shapes, []float64) {
	n := l.Cells
	s := geo.Shapes{Points: make([]orb.Point, 0, 5*n), RingEnds: make([]int32, 0, n), PolyEnds: counting(n), ShapeEnds: counting(n)}
	rates := make([]float64, 0, n)
	for i, j := range l.all() {
		south := 2*j*(l.side+1) + i
		north := south + l.side + 1
		s.Points = append(s.Points, nodes[south], nodes[south+1], nodes[north+1], nodes[north], nodes[south])
		s.RingEnds = append(s.RingEnds, int32(len(s.Points)))
		if rates = append(rates, l.rate(float64(i), float64(j))); len(rates) == n {
			break
		}
	}
	return s, rates
}

// rate returns the dry rate of a cell in lb/ac, in steps of 5 as agronomists write them: from
// 90 to 300, so that both ends lie beyond 2/3 and 4/3 of the mean. Where the mean rate carries
// 30 fl oz/ac of stabilizer, some ground gets less than 20 and some more than 40.
func (l *lattice) rate(x, y float64) float64 {
	wide := float64(l.side)
	if bed := wide * (0.45 + 0.05*math.Sin(9*x/wide)); l.side >= 8 && math.Abs(y-bed) < max(0.75, 0.01*wide) {
		return 0 // a waterway
	}
	height := 0.0
	for _, w := range l.hills {
		height += math.Cos(w.kx*x + w.ky*y + w.phase)
	}
	return 5 * math.Round((195+105*math.Sin(height))/5)
}

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
