package geo

import (
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// Segments of a ring hang together, so that a few in a row lie in a small box: a
// tree over such runs finds what a tree over segments does, at a fraction of the cost.
const (
	runSegments = 8
	fewRuns     = 4  // up to which each is looked at
	crowd       = 64 // runs in a run's box, beyond which its segments are looked up one by one
)

// ringRun is a few segments of one ring in a row.
type ringRun struct {
	from, to int // in ringChecker.segments
	box      orb.Bound
	ways     ways
}

// ways are those of east, west, north and south that all of some segments go. Segments in a
// row that have one in common do not meet but where they hang together.
type ways uint8

func waysOf(s segment) (w ways) {
	switch {
	case s.b[0] > s.a[0]:
		w = 1
	case s.b[0] < s.a[0]:
		w = 2
	}
	switch {
	case s.b[1] > s.a[1]:
		w |= 4
	case s.b[1] < s.a[1]:
		w |= 8
	}
	return w
}

// makeRuns cuts the rings at hand into runs.
func (c *ringChecker) makeRuns() {
	c.runs, c.tree = c.runs[:0], nil
	for _, ring := range c.rings {
		for from := ring.from; from < ring.to; from += runSegments {
			c.runs = append(c.runs, c.runOf(from, min(from+runSegments, ring.to)))
		}
	}
	if len(c.runs) > fewRuns {
		c.tree = boxtree.New(len(c.runs), func(i int) orb.Bound { return c.runs[i].box })
	}
}

func (c *ringChecker) runOf(from, to int) ringRun {
	box, w := c.segments[from].box(), waysOf(c.segments[from])
	for _, s := range c.segments[from+1 : to] {
		box, w = boxtree.Join(box, s.box()), w&waysOf(s)
	}
	return ringRun{from, to, box, w}
}

// eachIn calls visit with the segments of the runs whose boxes pass hit, until it
// returns false.
func (c *ringChecker) eachIn(hit func(orb.Bound) bool, visit func(segment) bool) {
	all := func(run int32) bool {
		r := c.runs[run]
		for _, s := range c.segments[r.from:r.to] {
			if !visit(s) {
				return false
			}
		}
		return true
	}
	if c.tree != nil {
		c.tree.Search(hit, all)
		return
	}
	for i, r := range c.runs {
		if hit(r.box) && !all(int32(i)) {
			return
		}
	}
}

// nearRun lists the runs from first on that may meet it, in their order, and
// whether there are more of them than can be listed.
func (c *ringChecker) nearRun(first int) (crowded bool) {
	box := c.runs[first].box
	c.near = c.near[:0]
	if c.tree == nil {
		for i := first; i < len(c.runs); i++ {
			c.keepNear(first, int32(i))
		}
		return false
	}
	c.found = c.tree.Collect(box, crowd, c.found[:0])
	if len(c.found) > crowd {
		return true
	}
	for _, run := range c.found {
		c.keepNear(first, run)
	}
	slices.Sort(c.near)
	return false
}

// nearSegment lists the runs from first on that a segment may meet, in their order.
func (c *ringChecker) nearSegment(first int, s segment) {
	c.near = c.near[:0]
	c.tree.Search(boxtree.Along(s.a, s.b, 0), func(run int32) bool {
		c.keepNear(first, run)
		return true
	})
	slices.Sort(c.near)
}

// keepNear lists a run, unless it came before or goes on the way of the first.
func (c *ringChecker) keepNear(first int, run int32) {
	a, b := c.runs[first], c.runs[run]
	onward := int(run)-first <= 1 && a.ways&b.ways != 0 && c.segments[a.from].ring == c.segments[b.from].ring
	if int(run) >= first && !onward {
		c.near = append(c.near, run)
	}
}

// ringKey is the same for rings with the same points.
type ringKey struct {
	low  orb.Point
	size int
}

// repeatedRings reports the rings of a record that came before in it, wherever
// they start and whichever way they go, and returns their numbers in the record.
func (c *ringChecker) repeatedRings(s *Shapes, first, end int) []int {
	if end-first < 2 {
		return nil
	}
	var repeated []int
	seen := make(map[ringKey][]int, end-first)
	for r := first; r < end; r++ {
		ring := s.Ring(r)
		if len(ring) <= fewestCorners {
			continue
		}
		key := ringKey{ring[lowest(ring)], len(ring)}
		for _, other := range seen[key] {
			if sameRing(ring, s.Ring(other)) {
				c.report(r-first, RepeatedRing, key.low)
				repeated = append(repeated, r-first)
				break
			}
		}
		seen[key] = append(seen[key], r)
	}
	return repeated
}

func lowest(ring orb.Ring) int {
	low := 0
	for i, p := range ring {
		if q := ring[low]; p[1] < q[1] || p[1] == q[1] && p[0] < q[0] {
			low = i
		}
	}
	return low
}

// sameRing compares closed rings from their lowest points, both ways around.
func sameRing(x, y orb.Ring) bool {
	n := len(x) - 1
	i, k := lowest(x), lowest(y)
	same, opposite := true, true
	for d := range n {
		p := x[(i+d)%n]
		same = same && p == y[(k+d)%n]
		opposite = opposite && p == y[(k-d+n)%n]
	}
	return same || opposite
}
