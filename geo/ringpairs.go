package geo

import (
	"slices"

	"github.com/paulmach/orb"
)

// fewSegments is up to where all pairs are tried; beyond, a tree finds those that
// are near.
const fewSegments = 32

// checkPairs looks at the segments that meet, in the polygon at hand, and returns
// how often different rings touch.
func (c *ringChecker) checkPairs() (touches int) {
	if len(c.segments) <= fewSegments {
		for i := range c.segments {
			for k := i + 1; k < len(c.segments); k++ {
				touches += c.checkPair(i, k)
			}
		}
		return touches
	}
	look := edgeLookup{tree: c.tree(), ends: func(i int) (a, b orb.Point) { return c.segments[i].a, c.segments[i].b }}
	look.each(0, len(c.segments), func(i int, near []int32) bool {
		slices.Sort(near) // problems are listed by their first place
		for _, k := range near {
			if int(k) > i {
				touches += c.checkPair(i, int(k))
			}
		}
		return true
	})
	return touches
}

func (c *ringChecker) tree() *tree {
	return newTree(len(c.segments), func(i int) orb.Bound { return segmentBox(c.segments[i].a, c.segments[i].b) })
}

// checkPair reports how segments i < k break a rule, and returns 1 if rings touch.
func (c *ringChecker) checkPair(i, k int) int {
	s, u := c.segments[i], c.segments[k]
	how := meetSegments(s.a, s.b, u.a, u.b)
	if how == apart {
		return 0
	}
	if s.ring != u.ring {
		return c.checkRings(s, u, how)
	}
	ring := c.rings[s.ring]
	adjacent := k == i+1 || i == ring.from && k == ring.to-1
	switch {
	case adjacent || c.has(ring.number, Spike) && how != cross: // a spike lies on itself anyway
	case how == touch:
		c.report(ring.number, SelfTouching, common(s, u))
	default:
		c.report(ring.number, SelfCrossing, crossing(s.a, s.b, u.a, u.b))
	}
	return 0
}

func (c *ringChecker) checkRings(s, u segment, how meeting) int {
	if how == touch {
		return 1
	}
	rule := HolesOverlap
	if min(s.ring, u.ring) == 0 && c.hasShell {
		rule = HoleOutside
	}
	c.report(c.rings[max(s.ring, u.ring)].number, rule, crossing(s.a, s.b, u.a, u.b))
	return 0
}

// common returns the end of one of two segments that lies on the other.
func common(s, u segment) orb.Point {
	for _, p := range []orb.Point{s.a, s.b} {
		if u.passes(p) {
			return p
		}
	}
	if s.passes(u.a) {
		return u.a
	}
	return u.b
}

// passes reports whether a segment passes through a point, or ends there.
func (s segment) passes(p orb.Point) bool {
	return meet(segmentBox(s.a, s.b), orb.Bound{Min: p, Max: p}) && orient(s.a, s.b, p) == 0
}
