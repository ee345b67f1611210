package shapefile

import (
	"math"

	"github.com/paulmach/orb"
)

// edgeIndex sorts a ring's edges into bands of y, so that a point is held against
// the edges of its own band only. There are as many bands as keep the entries
// below three an edge, so building it is linear and a point costs about as many
// steps as a horizontal line crosses edges.
type edgeIndex struct {
	ring   []orb.Point
	low    float64
	bands  float64 // how many
	height float64 // of one
	starts []int32
	edges  []int32
}

func newEdgeIndex(ring []orb.Point) *edgeIndex {
	low, high, climb := ring[0][1], ring[0][1], 0.0
	for i, p := range ring[1:] {
		low, high = min(low, p[1]), max(high, p[1])
		climb += math.Abs(p[1] - ring[i][1])
	}
	edges := float64(len(ring) - 1)
	bands := math.Floor(edges * (high - low) / climb) // climb is at least 2(high-low)
	if !(bands >= 1) || math.IsInf(bands, 0) {
		bands = 1 // a flat ring, or heights that overflow
	}
	x := &edgeIndex{ring: ring, low: low, bands: bands, height: (high - low) / bands}
	x.fill()
	return x
}

func (x *edgeIndex) fill() {
	x.starts = make([]int32, int(x.bands)+1)
	x.eachEntry(func(band, _ int) { x.starts[band+1]++ })
	for i := range x.starts[1:] {
		x.starts[i+1] += x.starts[i]
	}
	x.edges = make([]int32, x.starts[len(x.starts)-1])
	next := append([]int32(nil), x.starts...)
	x.eachEntry(func(band, edge int) {
		x.edges[next[band]] = int32(edge)
		next[band]++
	})
}

func (x *edgeIndex) eachEntry(do func(band, edge int)) {
	for i := range x.ring[1:] {
		a, b := x.band(x.ring[i][1]), x.band(x.ring[i+1][1])
		for band := min(a, b); band <= max(a, b); band++ {
			do(band, i)
		}
	}
}

// band never falls as y rises, so an edge's bands include that of each of its points.
func (x *edgeIndex) band(y float64) int {
	b := (y - x.low) / x.height
	if !(b > 0) {
		return 0
	}
	return int(min(b, x.bands-1))
}

func (x *edgeIndex) locate(p orb.Point) (at place, steps int) {
	band := x.band(p[1])
	edges := x.edges[x.starts[band]:x.starts[band+1]]
	odd := false
	for _, e := range edges {
		crosses, on := crossing(p, x.ring[e], x.ring[e+1])
		if on {
			return border, len(edges)
		}
		odd = odd != crosses
	}
	return parity(odd), len(edges)
}
