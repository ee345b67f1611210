package geo

import (
	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// checkPairs looks at the segments that meet, in the polygon at hand, and returns
// how often different rings touch. Problems are found by their first segment.
func (c *ringChecker) checkPairs() (touches int) {
	for run, r := range c.runs {
		crowded := c.nearRun(run)
		for i := r.from; i < r.to; i++ {
			if crowded {
				c.nearSegment(run, c.segments[i])
			}
			touches += c.checkNear(i)
		}
	}
	return touches
}

// checkNear looks at the pairs of a segment and those behind it in the runs near.
func (c *ringChecker) checkNear(i int) (touches int) {
	box := c.segments[i].box()
	for _, run := range c.near {
		r := c.runs[run]
		if !boxtree.Meet(box, r.box) {
			continue
		}
		for k := max(r.from, i+1); k < r.to; k++ {
			touches += c.checkPair(i, k)
		}
	}
	return touches
}

// checkPair reports how segments i < k break a rule, and returns 1 if rings touch.
func (c *ringChecker) checkPair(i, k int) int {
	s, u := c.segments[i], c.segments[k]
	ring := c.rings[s.ring]
	if s.ring == u.ring && (k == i+1 || i == ring.from && k == ring.to-1) {
		return 0 // they hang together
	}
	how := meetSegments(s.a, s.b, u.a, u.b)
	if how == apart {
		return 0
	}
	if s.ring != u.ring {
		return c.checkRings(s, u, how)
	}
	switch {
	case how != cross && c.has(ring.number, Spike): // a spike lies on itself anyway
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
	return boxtree.Meet(s.box(), orb.Bound{Min: p, Max: p}) && orient(s.a, s.b, p) == 0
}
