package svg

import (
	"math"
	"slices"

	"rxsplit/geo"
)

// raster says which record lies under the middle of each square of a grid over
// a drawing: how a field of many cells is drawn, whatever its topology.
type raster struct {
	step       int // side of a square, in tenths of a pixel
	wide, high int // squares
	record     []int32
}

const noRecord = -1

// count returns the squares of each of n records.
func (r *raster) count(n int) []int {
	squares := make([]int, n)
	for _, record := range r.record {
		if record != noRecord {
			squares[record]++
		}
	}
	return squares
}

// touching returns which of n records lie side by side, some of the pairs more than
// once.
func (r *raster) touching(n int) (pairs [][2]int32) {
	beside, below := make([]int32, n), make([]int32, n) // what each was last seen next to
	for i, here := range r.record {
		if here == noRecord {
			continue
		}
		if (i+1)%r.wide != 0 {
			pairs = meet(pairs, beside, here, r.record[i+1])
		}
		if i+r.wide < len(r.record) {
			pairs = meet(pairs, below, here, r.record[i+r.wide])
		}
	}
	return pairs
}

func meet(pairs [][2]int32, last []int32, a, b int32) [][2]int32 {
	if b == noRecord || a == b || last[a] == b+1 {
		return pairs
	}
	last[a] = b + 1
	return append(pairs, [2]int32{a, b})
}

// newRaster fills a raster from shapes in lon/lat. Where records overlap, the last
// one is seen.
func newRaster(s *geo.Shapes, f frame, step int) *raster {
	r := &raster{step: step, wide: f.width/step + 1, high: f.height/step + 1}
	r.record = make([]int32, r.wide*r.high)
	for i := range r.record {
		r.record[i] = noRecord
	}
	var cuts []cut
	for i := range s.Len() {
		cuts = r.cutsOf(s, i, f, cuts[:0])
		r.fill(cuts, int32(i))
	}
	return r
}

// cut is where an edge crosses the middle line of a row of squares.
type cut struct {
	row int32
	x   float64 // in squares
}

// cutsOf lists the cuts of all rings of a record: by the even-odd rule holes and
// parts need no telling apart.
func (r *raster) cutsOf(s *geo.Shapes, record int, f frame, cuts []cut) []cut {
	from, to := s.ShapeRings(record)
	per := 1 / float64(r.step)
	for k := from; k < to; k++ {
		ring := s.Ring(k)
		for i := 1; i < len(ring); i++ {
			a, b := f.at(ring[i-1]), f.at(ring[i])
			cuts = r.cutsOfEdge(a[0]*per, float64(a[1]*per)-0.5, b[0]*per, float64(b[1]*per)-0.5, cuts)
		}
	}
	return cuts
}

func (r *raster) cutsOfEdge(ax, ay, bx, by float64, cuts []cut) []cut {
	if ay == by {
		return cuts
	}
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	first, last := int(math.Ceil(max(ay, 0))), int(math.Ceil(min(by, float64(r.high))))
	slope := (bx - ax) / (by - ay)
	for row := first; row < last; row++ {
		cuts = append(cuts, cut{int32(row), ax + float64((float64(row)-ay)*slope)})
	}
	return cuts
}

func (r *raster) fill(cuts []cut, record int32) {
	slices.SortFunc(cuts, func(a, b cut) int {
		if a.row != b.row {
			return int(a.row - b.row)
		}
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return 0
	})
	for i := 0; i+1 < len(cuts); i += 2 {
		if cuts[i].row != cuts[i+1].row {
			i--
			continue
		}
		row := r.record[int(cuts[i].row)*r.wide:][:r.wide]
		from := max(int(math.Ceil(cuts[i].x-0.5)), 0)
		to := min(int(math.Ceil(cuts[i+1].x-0.5)), r.wide)
		for x := from; x < to; x++ {
			row[x] = record
		}
	}
}
