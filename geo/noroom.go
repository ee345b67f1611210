package geo

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// How [noRoom] works: polygons of fewer corners are searched at once, and it gives up where
// it would have more cells or places than some a corner, or more hollows.
const (
	manyCorners     = 1000
	cellsPerCorner  = 2
	placesPerCorner = 40
	mostHollows     = 32
)

// noRoom reports whether a polygon of many corners has no room for a circle of a radius in
// meters, where a look at each corner shows it: teeth of a comb, say. Such a circle holds a
// whole cell of a grid whose cells are as wide as the largest square in its quarters, and no
// place of the boundary. Cells without boundary that are connected are all ground, or none of
// them is: where none of all these is, there is no circle.
func noRoom(polygon orb.Polygon, radius float64, scale func(orb.Bound) Scale) bool {
	corners := 0
	for _, ring := range polygon {
		corners += len(ring)
	}
	if corners < manyCorners {
		return false
	}
	box := bound(polygon[0])
	flat := plane{box.Min, scale(box)}
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
	g.flood(0)
	for at, hollows := 0, 0; g.marked < len(g.seen); at++ {
		if g.seen[at] {
			continue
		}
		x, y := float64(at%g.width)-0.5, float64(at/g.width)-0.5
		if hollows++; hollows > mostHollows || planar.PolygonContains(polygon, flat.degrees(orb.Point{x * cell, y * cell})) {
			return false
		}
		g.flood(at)
	}
	return true
}

// cover is cells that hold some of a boundary, or are known to be no ground.
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

// flood marks what is connected to a cell. The last cell of a row and the first of the next are
// neighbors to it: both are outside.
func (g *cover) flood(from int) {
	g.see(from)
	for stack := []int{from}; len(stack) > 0; {
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
}
