package readout

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// ground is what a strip covers, in a plane. Polygons of many edges have these sorted into
// columns, so that a point is held against those of its own column alone.
type ground []piece

// piece is a polygon, or its columns.
type piece struct {
	polygon orb.Polygon
	columns *columns // nil where it has few edges
}

func (g ground) holds(p orb.Point) bool {
	for _, one := range g {
		if one.columns == nil && planar.PolygonContains(one.polygon, p) || one.columns != nil && one.columns.holds(p) {
			return true
		}
	}
	return false
}

// How many edges make columns worth while, how many columns there are at most, and how many
// of them an edge may reach through on average.
const (
	manyEdges   = 200
	mostColumns = 4096
	mostReach   = 16
)

// columns are edges by which part of the polygon's width they reach through.
type columns struct {
	bound orb.Bound
	wide  float64
	edges [][][2]orb.Point
}

// newColumns sorts the edges of a polygon; nil where it has few. Where edges reach far there
// are fewer columns.
func newColumns(polygon orb.Polygon) *columns {
	var edges [][2]orb.Point
	for _, ring := range polygon {
		for i := 1; i < len(ring); i++ {
			edges = append(edges, [2]orb.Point{ring[i-1], ring[i]})
		}
	}
	if len(edges) < manyEdges {
		return nil
	}
	c := &columns{bound: polygon.Bound()}
	for n := min(len(edges), mostColumns); ; n = (n + 1) / 2 {
		c.wide = (c.bound.Max[0] - c.bound.Min[0]) / float64(n)
		c.edges = make([][][2]orb.Point, n)
		reach := 0
		for _, e := range edges {
			reach += c.column(max(e[0][0], e[1][0])) - c.column(min(e[0][0], e[1][0])) + 1
		}
		if n == 1 || reach <= mostReach*len(edges) {
			break
		}
	}
	for _, e := range edges {
		for k, last := c.column(min(e[0][0], e[1][0])), c.column(max(e[0][0], e[1][0])); k <= last; k++ {
			c.edges[k] = append(c.edges[k], e)
		}
	}
	return c
}

func (c *columns) column(x float64) int {
	k := math.Floor((x - c.bound.Min[0]) / c.wide)
	if !(k > 0) {
		return 0
	}
	return int(min(k, float64(len(c.edges)-1)))
}

// holds reports whether an odd number of edges is above a point; on an edge, it is held.
func (c *columns) holds(p orb.Point) (odd bool) {
	if !c.bound.Contains(p) {
		return false
	}
	for _, e := range c.edges[c.column(p[0])] {
		a, b := e[0], e[1]
		if (a[0] < p[0]) == (b[0] < p[0]) || max(a[1], b[1]) < p[1] {
			continue
		}
		if min(a[1], b[1]) > p[1] {
			odd = !odd
			continue
		}
		switch y := a[1] + float64((p[0]-a[0])/(b[0]-a[0])*(b[1]-a[1])); {
		case y == p[1]:
			return true
		case y > p[1]:
			odd = !odd
		}
	}
	return odd
}
