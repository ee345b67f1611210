package geo

import (
	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
)

// manyPairs is how many pairs a segment are too many to look at each, as the spikes of
// a star and the teeth of a slanting comb have.
const manyPairs = 256

// checkPairs looks at the segments that meet, in the polygon at hand, and returns
// how often different rings touch. Problems are found by their first segment; where
// they are crowded, those that one goes west to east are found by their place, and
// nothing after the first crossing.
func (c *ringChecker) checkPairs() (touches int) {
	budget := manyPairs * (len(c.segments) + cores.Block)
	for run, r := range c.runs {
		crowded := c.nearRun(run)
		for i := r.from; i < r.to; i++ {
			if crowded {
				c.nearSegment(run, c.segments[i])
			}
			if budget -= runSegments * len(c.near); budget < 0 {
				return c.sweepPairs()
			}
			touches += c.checkNear(i)
		}
	}
	return touches
}

// sweepPairs does what checkPairs does for crowded segments.
func (c *ringChecker) sweepPairs() (touches int) {
	var s sweep
	for _, g := range c.segments {
		s.add(g.a, g.b)
	}
	crossed := false
	check := func(i, k int32) {
		if i < 0 || k < 0 {
			return
		}
		before := len(c.problems)
		touches += c.checkPair(int(min(i, k)), int(max(i, k)))
		crossed = crossed || len(c.problems) > before && c.problems[before].Rule != SelfTouching
	}
	last := int32(-1) // that started or ended
	meet := func(edge int32, at orb.Point) {
		if last >= 0 && last != edge && (s.from[last] == at || s.to[last] == at) {
			check(last, edge)
		}
		last = edge
	}
	ok := s.run(func(edge, below, above int32, starts bool) bool {
		if starts {
			meet(edge, s.from[edge])
			check(below, edge)
			check(edge, above)
		} else {
			meet(edge, s.to[edge])
			check(below, above)
		}
		return !crossed
	})
	if !ok && !crossed {
		c.report(c.rings[0].number, SelfCrossing, c.segments[0].a) // order was lost: edges cross nearby
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

// checkHoles reports holes outside their shell and holes inside one another. Rings
// that cross are reported already; of the others one point decides.
func (c *ringChecker) checkHoles() {
	if len(c.rings) < 2 {
		return
	}
	around := make([]int, len(c.rings)) // per ring: edges above the point, odd if it is inside
	for h := 1; h < len(c.rings); h++ {
		hole := c.rings[h]
		if c.has(hole.number, HoleOutside) || c.has(hole.number, HolesOverlap) {
			continue
		}
		p, ok := c.inner(h)
		if !ok {
			continue
		}
		var hit []int
		c.above(p, func(s segment) {
			around[s.ring]++
			hit = append(hit, s.ring)
		})
		inShell := around[0]%2 == 1
		for _, r := range hit {
			if r > 0 && r != h && around[r]%2 == 1 {
				c.report(c.rings[max(r, h)].number, HolesOverlap, p)
			}
			around[r] = 0
		}
		if !inShell {
			c.report(hole.number, HoleOutside, p)
		}
	}
}

// inner returns a point of a hole's ring that no other ring passes through.
func (c *ringChecker) inner(h int) (orb.Point, bool) {
	for _, s := range c.segments[c.rings[h].from:c.rings[h].to] {
		for _, p := range []orb.Point{s.a, {(s.a[0] + s.b[0]) / 2, (s.a[1] + s.b[1]) / 2}} {
			if !c.onOther(p, h) {
				return p, true
			}
		}
	}
	return orb.Point{}, false
}

func (c *ringChecker) onOther(p orb.Point, h int) (on bool) {
	c.eachIn(boxtree.In(orb.Bound{Min: p, Max: p}), func(s segment) bool {
		on = s.ring != h && s.passes(p)
		return !on
	})
	return on
}

// above calls visit with the segments that a ray straight up from p crosses.
func (c *ringChecker) above(p orb.Point, visit func(segment)) {
	c.eachIn(func(b orb.Bound) bool {
		return b.Min[0] <= p[0] && p[0] <= b.Max[0] && b.Max[1] >= p[1]
	}, func(s segment) bool {
		a, b := s.a, s.b
		if a[0] > b[0] {
			a, b = b, a
		}
		if a[0] <= p[0] && p[0] < b[0] && orient(a, b, p) < 0 {
			visit(s)
		}
		return true
	})
}
