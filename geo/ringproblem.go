package geo

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
	"rxsplit/internal/cores"
)

// RingRule is a rule of valid polygons (OGC 06-103r4, 6.1.11) that rings can break.
type RingRule string

// The rules, in the order in which a ring is checked.
const (
	TooFewPoints  RingRule = "too-few-points" // fewer than three distinct ones
	OpenRing      RingRule = "open-ring"      // the first point doesn't stand at the end
	NotFinite     RingRule = "not-finite"     // a coordinate is no number
	RepeatedRing  RingRule = "repeated-ring"  // the same ring came before in the record
	ZeroArea      RingRule = "zero-area"      // all points on one line
	Spike         RingRule = "spike"          // goes out along a line and back on it
	SelfCrossing  RingRule = "self-crossing"  // crosses itself, or runs along itself
	SelfTouching  RingRule = "self-touching"  // meets itself at a point
	HoleOutside   RingRule = "hole-outside"   // a hole not inside its shell
	HolesOverlap  RingRule = "holes-overlap"  // two holes of a polygon share ground
	CutThrough    RingRule = "cut-through"    // holes that touch cut the ground in pieces
	fewestCorners          = 3
)

// RingProblem is a ring that breaks a rule.
type RingProblem struct {
	Record int       // from 0
	Ring   int       // of the record, from 0, counted over all its polygons
	Rule   RingRule  //
	Place  orb.Point // in the coordinates that were checked
}

// RingProblems checks the rings of each record and returns the first max problems
// in file order and how many more there are. A ring that breaks a rule in several
// places is listed once, with the first of them. Coordinates are taken as plane,
// and decisions are exact. Points that repeat one right before are no problem.
// Polygons of one record that overlap are found by [Mesh.Overlaps].
//
// A million quadrangles take a fraction of a second; rings of a hundred thousand
// vertices and polygons of ten thousand holes are searched by place.
func RingProblems(s *Shapes, max int) (list []RingProblem, more int) {
	size := min(s.Len()/64+1, 1024) // a few large records spread over the cores as well
	checkers := sync.Pool{New: func() any { return new(ringChecker) }}
	found := cores.Collect(s.Len(), size, func(from, to int) []RingProblem {
		c := checkers.Get().(*ringChecker)
		defer checkers.Put(c)
		c.problems = nil
		for record := from; record < to; record++ {
			c.checkRecord(s, record)
		}
		return c.problems
	})
	listed := min(len(found), max)
	return slices.Clone(found[:listed]), len(found) - listed
}

// ringChecker checks records one after the other and keeps its arrays.
type ringChecker struct {
	problems []RingProblem
	record   int
	start    int // of the record's rings

	rings    []checkedRing // of the polygon at hand; the shell first
	segments []segment
	hasShell bool // rings[0] is the shell
	runs     []ringRun
	tree     *boxtree.Tree // of runs; nil for few
	near     []int32       // runs
	found    []int32       // runs
}

// checkedRing is a ring that has an area.
type checkedRing struct {
	number   int // in the record
	from, to int // segments
}

// segment is an edge of a ring; ring counts in ringChecker.rings.
type segment struct {
	a, b orb.Point
	ring int
}

func (s segment) box() orb.Bound { return boxtree.Segment(s.a, s.b) }

func (c *ringChecker) checkRecord(s *Shapes, record int) {
	c.record = record
	first, end := s.ShapeRings(record)
	c.start = first
	before := len(c.problems)
	repeated := c.repeatedRings(s, first, end)
	for p, last := s.PolySpan(record); p < last; p++ {
		from, to := s.RingSpan(p)
		if to-from == 1 && len(repeated) == 0 && convexRing(s.Ring(from)) {
			continue
		}
		c.checkPolygon(s, p, repeated)
	}
	slices.SortStableFunc(c.problems[before:], func(x, y RingProblem) int { return cmp.Compare(x.Ring, y.Ring) })
}

// report adds a problem unless the ring has one of that rule.
func (c *ringChecker) report(ring int, rule RingRule, place orb.Point) {
	if !c.has(ring, rule) {
		c.problems = append(c.problems, RingProblem{Record: c.record, Ring: ring, Rule: rule, Place: place})
	}
}

func (c *ringChecker) has(ring int, rule RingRule) bool {
	for i := len(c.problems) - 1; i >= 0 && c.problems[i].Record == c.record; i-- {
		if p := c.problems[i]; p.Ring == ring && p.Rule == rule {
			return true
		}
	}
	return false
}

// convexRing is the quick way out for cells: closed, finite, turning one way all
// around, once.
func convexRing(ring orb.Ring) bool {
	n := len(ring) - 1
	if n < fewestCorners || n > 8 || ring[0] != ring[n] {
		return false
	}
	if !finite(ring) {
		return false
	}
	var left, right bool
	rises := 0
	for i := range n {
		a, b, d := ring[i], ring[i+1], ring[(i+1)%n+1]
		switch turn := orient(a, b, d); {
		case turn > 0:
			left = true
		case turn < 0:
			right = true
		case a == b || b == d:
			return false // the long way knows repeated points
		}
		if goesUp(a, b) && !goesUp(b, d) {
			rises++
		}
	}
	return left != right && rises == 1
}

func (c *ringChecker) checkPolygon(s *Shapes, p int, repeated []int) {
	from, to := s.RingSpan(p)
	c.rings, c.segments = c.rings[:0], c.segments[:0]
	c.hasShell = false
	c.segments = slices.Grow(c.segments, pointsOf(s, from, to))
	for r := from; r < to; r++ {
		if slices.Contains(repeated, r-c.start) {
			continue
		}
		if c.addRing(s.Ring(r), r-c.start) && r == from {
			c.hasShell = true
		}
	}
	if len(c.rings) == 0 {
		return
	}
	before := len(c.problems)
	c.makeRuns()
	touches := c.checkPairs()
	if c.hasShell {
		c.checkHoles()
	}
	if touches > 1 && len(c.problems) == before {
		c.checkConnected(s, p)
	}
}

func pointsOf(s *Shapes, from, to int) int {
	n := 0
	for r := from; r < to; r++ {
		n += len(s.Ring(r))
	}
	return n
}

// addRing checks what a ring shows by itself and appends its segments, unless it
// has no area. It reports whether it was appended.
func (c *ringChecker) addRing(ring orb.Ring, number int) bool {
	if len(ring) == 0 {
		c.report(number, TooFewPoints, orb.Point{})
		return false
	}
	if !finite(ring) {
		c.report(number, NotFinite, ring[0])
		return false
	}
	if ring[0] != ring[len(ring)-1] {
		c.report(number, OpenRing, ring[len(ring)-1])
	}
	from := len(c.segments)
	index := len(c.rings)
	for i, p := range ring {
		if q := ring[(i+1)%len(ring)]; p != q {
			c.segments = append(c.segments, segment{p, q, index})
		}
	}
	own := c.segments[from:]
	switch {
	case distinctCorners(own) < fewestCorners:
		c.report(number, TooFewPoints, ring[0])
	case onOneLine(own):
		c.report(number, ZeroArea, ring[0])
	default:
		c.checkSpikes(own, number)
		c.rings = append(c.rings, checkedRing{number, from, len(c.segments)})
		return true
	}
	c.segments = c.segments[:from]
	return false
}

func finite(ring orb.Ring) bool {
	for _, p := range ring {
		if math.IsNaN(p[0]*0) || math.IsNaN(p[1]*0) { // infinity times 0 is no number either
			return false
		}
	}
	return true
}

// checkSpikes reports where a ring turns back on itself.
func (c *ringChecker) checkSpikes(own []segment, number int) {
	last := own[len(own)-1]
	for _, s := range own {
		if orient(last.a, last.b, s.b) == 0 && meetSegments(last.a, last.b, s.a, s.b) == overlay {
			c.report(number, Spike, s.a)
		}
		last = s
	}
}

// distinctCorners counts distinct points, up to three.
func distinctCorners(segments []segment) int {
	if len(segments) == 0 {
		return 1
	}
	a, b := segments[0].a, segments[0].b
	for _, s := range segments {
		if s.a != a && s.a != b {
			return 3
		}
	}
	return 2
}

func onOneLine(segments []segment) bool {
	a, b := segments[0].a, segments[0].b
	for _, s := range segments[1:] {
		if orient(a, b, s.b) != 0 {
			return false
		}
	}
	return true
}

// checkConnected asks for the rule that needs the polygon as a whole; rings that
// touch once can't break it.
func (c *ringChecker) checkConnected(s *Shapes, p int) {
	from, _ := s.RingSpan(p)
	if err, bad := Valid(orb.MultiPolygon{s.polygon(p)}).(*invalidError); bad {
		c.report(from-c.start, CutThrough, err.Place)
	}
}
