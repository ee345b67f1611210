package shapefile

import (
	"math"

	"github.com/paulmach/orb"
)

// place is where a point stands to a ring.
type place int

const (
	outside place = iota
	inside
	border
)

// Rings with more points than askedOften are worth an index of their edges once
// they have been asked for more than askedOften points.
const askedOften = 32

// liesIn reports whether the ring of one rank lies in that of another. The points
// that are off the other's border vote; where they are divided or all on the border,
// the middles of the edges do. Where rings don't cross all votes agree, and where
// they do the vote is the same whichever way a ring winds. A ring that is on the
// border throughout fills the other and lies in it.
func (n *nester) liesIn(rank, other int) bool {
	ring := n.sorted[rank].points
	vote := 0
	for _, p := range ring[1:] {
		vote += n.locate(p, other).vote()
	}
	if vote != 0 || n.work < 0 {
		return vote > 0
	}
	for i, p := range ring[1:] {
		middle := orb.Point{float64(ring[i][0]/2) + float64(p[0]/2), float64(ring[i][1]/2) + float64(p[1]/2)}
		vote += n.locate(middle, other).vote()
	}
	return vote >= 0
}

// vote is 1 inside, -1 outside, 0 on the border.
func (p place) vote() int {
	switch p {
	case inside:
		return 1
	case outside:
		return -1
	}
	return 0
}

func (n *nester) locate(p orb.Point, rank int) place {
	if n.work < 0 {
		return border // the record is given up
	}
	ring := n.sorted[rank].points
	if len(ring) <= askedOften {
		n.work -= len(ring)
		return locateAmong(p, ring)
	}
	if n.asked == nil {
		n.asked, n.edges = map[int]int{}, map[int]*edgeIndex{}
	}
	if n.asked[rank]++; n.asked[rank] <= askedOften && len(ring) < 16*askedOften || n.asked[rank] < 3 {
		n.work -= len(ring)
		return locateAmong(p, ring)
	}
	x := n.edges[rank]
	if x == nil {
		x = newEdgeIndex(ring)
		n.edges[rank] = x
	}
	at, steps := x.locate(p)
	n.work -= steps
	return at
}

// locateAmong tells where a point stands to a closed ring by the parity of the
// edges that a ray to the right of it crosses.
func locateAmong(p orb.Point, ring []orb.Point) place {
	odd := false
	for i := range ring[1:] {
		crosses, on := crossing(p, ring[i], ring[i+1])
		if on {
			return border
		}
		odd = odd != crosses
	}
	return parity(odd)
}

func parity(odd bool) place {
	if odd {
		return inside
	}
	return outside
}

// crossing reports whether the ray from p to the right crosses the edge ab, and
// whether p is on the edge: within the rounding of the coordinates, so that a
// vertex in the middle of a neighbor's edge counts as on it. It is the same for ba.
func crossing(p, a, b orb.Point) (crosses, on bool) {
	if a[1] > b[1] || a[1] == b[1] && a[0] > b[0] {
		a, b = b, a
	}
	if p[1] < a[1] || p[1] > b[1] || p[0] > max(a[0], b[0]) {
		return false, false
	}
	dx, dy := b[0]-a[0], b[1]-a[1]
	side := float64(dx*(p[1]-a[1])) - float64(dy*(p[0]-a[0]))
	if p[0] >= min(a[0], b[0]) && math.Abs(side) <= rounding(p)*(math.Abs(dx)+dy) {
		return false, true
	}
	return p[1] < b[1] && side > 0, false // the lower end counts, the upper does not
}

// rounding is four units in the last place of the larger coordinate.
func rounding(p orb.Point) float64 {
	return 0x1p-50 * max(math.Abs(p[0]), math.Abs(p[1]))
}

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
