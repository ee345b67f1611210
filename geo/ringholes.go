package geo

import "github.com/paulmach/orb"

// checkHoles reports holes outside their shell and holes inside one another. Rings
// that cross are reported already; of the others one point decides.
func (c *ringChecker) checkHoles() {
	if len(c.rings) < 2 {
		return
	}
	var t *tree
	if len(c.segments) > fewSegments {
		t = c.tree()
	}
	around := make([]int, len(c.rings)) // per ring: edges above the point, odd if it is inside
	for h := 1; h < len(c.rings); h++ {
		hole := c.rings[h]
		if c.has(hole.number, HoleOutside) || c.has(hole.number, HolesOverlap) {
			continue
		}
		p, ok := c.inner(t, h)
		if !ok {
			continue
		}
		var hit []int
		c.above(t, p, func(s segment) {
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
func (c *ringChecker) inner(t *tree, h int) (orb.Point, bool) {
	for _, s := range c.segments[c.rings[h].from:c.rings[h].to] {
		for _, p := range []orb.Point{s.a, {(s.a[0] + s.b[0]) / 2, (s.a[1] + s.b[1]) / 2}} {
			if !c.onOther(t, p, h) {
				return p, true
			}
		}
	}
	return orb.Point{}, false
}

func (c *ringChecker) onOther(t *tree, p orb.Point, h int) (on bool) {
	test := func(s segment) bool {
		on = on || s.ring != h && s.passes(p)
		return !on
	}
	if t == nil {
		for _, s := range c.segments {
			test(s)
		}
		return on
	}
	t.search(inBox(orb.Bound{Min: p, Max: p}), func(i int32) bool { return test(c.segments[i]) })
	return on
}

// above calls visit with the segments that a ray straight up from p crosses.
func (c *ringChecker) above(t *tree, p orb.Point, visit func(segment)) {
	test := func(s segment) bool {
		a, b := s.a, s.b
		if a[0] > b[0] {
			a, b = b, a
		}
		if a[0] <= p[0] && p[0] < b[0] && orient(a, b, p) < 0 {
			visit(s)
		}
		return true
	}
	if t == nil {
		for _, s := range c.segments {
			test(s)
		}
		return
	}
	t.search(func(b orb.Bound) bool {
		return b.Min[0] <= p[0] && p[0] <= b.Max[0] && b.Max[1] >= p[1]
	}, func(i int32) bool { return test(c.segments[i]) })
}
