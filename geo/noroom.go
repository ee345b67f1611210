package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// How [noRoom] works: polygons of fewer corners are searched at once, and it gives up where
// it would have more cells or places than some a corner.
const (
	manyCorners     = 1000
	cellsPerCorner  = 2
	placesPerCorner = 8
)

// noRoom reports whether a polygon of many corners has no room for a circle of a radius in
// meters, where a look at each corner shows it: teeth of a comb, say. Such a circle holds a
// whole cell of a grid whose cells are as wide as the largest square in its quarters, and no
// place of the boundary. Where all cells without boundary are connected to the outside, there
// is none.
func noRoom(polygon orb.Polygon, radius float64) bool {
	corners := 0
	for _, ring := range polygon {
		corners += len(ring)
	}
	if corners < manyCorners {
		return false
	}
	box := bound(polygon[0])
	flat := plane{box.Min, LonLatScale(box)}
	size := flat.meters(box.Max)
	cell := radius * (math.Sqrt2 / 2) * (1 - 1e-6)
	// Cells around the box are outside of it.
	across, up := math.Floor(size[0]/cell)+3, math.Floor(size[1]/cell)+3
	if !(across*up <= float64(cellsPerCorner*corners)) {
		return false
	}
	g := cover{width: int(across), seen: make([]bool, int(across)*int(up))}
	for _, ring := range polygon {
		for i := 1; i < len(ring); i++ {
			g.mark(flat.meters(ring[i-1]), flat.meters(ring[i]), cell)
			if g.places > placesPerCorner*corners {
				return false
			}
		}
	}
	return g.flood() == len(g.seen)
}

// cover is cells that hold some of a boundary, or are connected to the outside.
type cover struct {
	width  int
	seen   []bool
	marked int
	places int // looked at
}

func (g *cover) see(at int) {
	if !g.seen[at] {
		g.seen[at] = true
		g.marked++
	}
}

// mark marks the cells of places along an edge, close enough that it can't pass between the
// middles of two neighbors and mark neither.
func (g *cover) mark(a, b orb.Point, cell float64) {
	steps := math.Floor(3*max(math.Abs(b[0]-a[0]), math.Abs(b[1]-a[1]))/cell) + 1
	if g.places += int(min(steps, math.MaxInt32)); steps > float64(placesPerCorner*len(g.seen)) {
		g.places = math.MaxInt
		return
	}
	for i := range int(steps) + 1 {
		share := float64(i) / steps
		x, y := a[0]+float64(share*(b[0]-a[0])), a[1]+float64(share*(b[1]-a[1]))
		g.see((int(y/cell)+1)*g.width + int(x/cell) + 1)
	}
}

// flood marks what is connected to the outside, and returns how many cells are marked then. The
// last cell of a row and the first of the next are neighbors to it: both are outside.
func (g *cover) flood() int {
	g.see(0)
	for stack := []int{0}; len(stack) > 0; {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, to := range [...]int{at - g.width, at + g.width, at - 1, at + 1} {
			if to < 0 || to >= len(g.seen) || g.seen[to] {
				continue
			}
			g.see(to)
			stack = append(stack, to)
		}
	}
	return g.marked
}
