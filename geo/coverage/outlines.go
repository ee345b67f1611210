package coverage

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// evenSteps is how many spacings the side of a region may move from line to line and still
// be drawn straight.
const evenSteps = 24

// drawn is a point of a ring.
type drawn struct {
	orb.Point
	node bool
}

// smooth draws a ring: a side that moves evenly goes through the middles of the lines.
// It is empty if the ring has no ground left.
//
// Neighbors share the very same edge, as each place of it is drawn, or left out, by what
// meets there, and not by the ring that passes. Nodes, where more than two sides meet,
// are drawn; a chain between two nodes is thinned once, whichever way a ring goes along it.
func (f frame) smooth(corners []corner) orb.Ring {
	h, n := f.spacing, len(corners)
	level := func(k int32) float64 { return float64((float64(f.first + int(k))) * h) }
	// even reports whether a side along a level joins two that go on the same way.
	even := func(i int) bool {
		before, c, next, after := corners[(i+n-1)%n], corners[i], corners[(i+1)%n], corners[(i+2)%n]
		rise := c.level - before.level
		return rise != 0 && c.level == next.level && after.level-next.level == rise &&
			!c.node && !next.node && math.Abs(next.u-c.u) <= evenSteps*h
	}
	var points []drawn
	for i, c := range corners {
		before, next := corners[(i+n-1)%n], corners[(i+1)%n]
		straight := before.u == c.u && c.u == next.u
		if c.node || !straight && !even(i) && !even((i+n-1)%n) {
			points = append(points, drawn{orb.Point{c.u, level(c.level)}, c.node})
		}
		if c.level != next.level { // up or down a line
			points = append(points, drawn{orb.Point{c.u, (level(c.level) + level(next.level)) / 2}, false})
		}
	}
	ring := thinned(points)
	if len(ring) < 3 {
		return nil
	}
	for i, p := range ring {
		ring[i] = f.back(p)
	}
	return append(ring, ring[0])
}

// thinned thins a ring chain by chain. The ring stays open.
func thinned(points []drawn) (ring orb.Ring) {
	start := slices.IndexFunc(points, func(p drawn) bool { return p.node })
	if start < 0 { // a ring of its own: its chain begins at its first point, as all rings see it
		start = 0
		for i, p := range points {
			if less(p.Point, points[start].Point) {
				start = i
			}
		}
	}
	n := len(points)
	for from := 0; from < n; {
		chain := []orb.Point{points[(start+from)%n].Point}
		for from++; ; from++ {
			p := points[(start+from)%n]
			chain = append(chain, p.Point)
			if from == n || p.node {
				break
			}
		}
		thin := thinnedChain(chain)
		ring = append(ring, thin[:len(thin)-1]...)
	}
	return ring
}

func less(a, b orb.Point) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// thinnedChain thins a chain from its lesser end, whichever way it is given.
func thinnedChain(chain []orb.Point) []orb.Point {
	a, b := 0, len(chain)-1
	for a < b && chain[a] == chain[b] { // closed: it begins with the lesser neighbor
		a, b = a+1, b-1
	}
	turned := less(chain[b], chain[a])
	if turned {
		slices.Reverse(chain)
	}
	out := straightened(chain)
	if turned {
		slices.Reverse(out)
	}
	return out
}

// straightened drops points that lie, to two millimeters, on the straight line from the
// point before that is kept to the next one.
func straightened(chain []orb.Point) []orb.Point {
	const off = 0.002
	out := []orb.Point{chain[0]}
	var right, left orb.Point // the line to the next point goes between these two ways
	some, far := false, 0.0   // far is how far the points since the last one kept have come
	for i := 1; i < len(chain); i++ {
		a := out[len(out)-1]
		x, y := chain[i][0]-a[0], chain[i][1]-a[1]
		length := math.Sqrt(float64(x*x) + float64(y*y))
		way := orb.Point{x, y}
		if some && (length < far || cross(right, way) < 0 || cross(way, left) < 0) {
			out = append(out, chain[i-1])
			some, far = false, 0
			i--
			continue
		}
		far = length
		if length <= off {
			continue
		}
		aside := orb.Point{-float64(y*off) / length, float64(x*off) / length}
		r, l := orb.Point{x - aside[0], y - aside[1]}, orb.Point{x + aside[0], y + aside[1]}
		if !some || cross(right, r) > 0 {
			right = r
		}
		if !some || cross(l, left) > 0 {
			left = l
		}
		some = true
	}
	return append(out, chain[len(chain)-1])
}

func cross(a, b orb.Point) float64 { return float64(a[0]*b[1]) - float64(a[1]*b[0]) }
