package geo

import (
	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

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
