package ground

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/swath"
)

// shutting is where a boom, or sections of it, are shut on laps, as ground is covered already.
type shutting struct {
	laps   [][]opening
	steady map[steadyLap]*swath.Laid
}

// steadyLap is a lap with one target all along.
type steadyLap struct {
	lap    int
	target float64
}

// shutBy is what a shutting depends on: ground that is to get nothing is not covered.
type shutBy struct {
	sections int
	wanted   string // a byte of each zone
}

// opening is which sections are open from the opening before to a way along a lap, from the left,
// bit 0 first.
type opening struct {
	to   float64
	open uint64
}

// shutting finds where laps are shut, as they follow each other.
func (l *headland) shutting(width float64, sections int, targets []float64) *shutting {
	wanted := make([]byte, len(targets))
	for z, target := range targets {
		if target > 0 {
			wanted[z] = 1
		}
	}
	by := shutBy{sections, string(wanted)}
	if s := l.shut[by]; s != nil {
		return s
	}
	s := &shutting{steady: map[steadyLap]*swath.Laid{}}
	c := covered{width: width, sections: max(sections, 1), squares: map[[2]int][]int32{}}
	for _, lap := range l.laps {
		from, runs := 0.0, []opening(nil)
		stops := lap.corners
		if len(stops) == 0 {
			stops = []float64{lap.length()}
		}
		for _, stop := range stops {
			runs = c.side(runs, lap, wanted, from, stop)
			from = stop
		}
		s.laps = append(s.laps, runs)
	}
	l.shut[by] = s
	return s
}

// covered is ground that laps have covered so far.
type covered struct {
	width    float64
	sections int
	strips   []strip
	listed   int // of them, by square
	squares  map[[2]int][]int32
	near     []int32 // strips near the boom
}

// strip is what a boom covers on a straight way: its left and right end, then the right and the left
// one, counter-clockwise.
type strip struct {
	ends [4]orb.Point
	box  orb.Bound
}

// side drives from one corner of a lap to the next. A section is open while any side of it is over
// ground that is not covered yet.
func (c *covered) side(runs []opening, of lap, wanted []byte, from, to float64) []opening {
	n := int(max(1, math.Ceil((to-from)/rampStep)))
	at := func(i int) float64 { return from + float64((to-from)*float64(i))/float64(n) }
	before, goesOn := of.boom(c.width, at(0), at(0), at(1)), false
	for i := range n {
		after := of.boom(c.width, at(i+1), at(i), at(min(i+2, n)))
		step := [4]orb.Point{before[0], before[1], after[1], after[0]}
		before = after
		runs = c.step(runs, step, at(i), at(i+1))
		z := of.zones[min(int((at(i)+at(i+1))/2/of.length()*float64(len(of.zones))), len(of.zones)-1)]
		if z < 0 || wanted[z] == 0 {
			goesOn = false
			continue
		}
		if last := len(c.strips) - 1; !goesOn || !straightOn(&c.strips[last].ends, step, 1e-3) {
			c.list()
			c.strips = append(c.strips, strip{ends: step})
		}
		goesOn = true
	}
	c.list()
	return runs
}

// straightOn has ground that a boom covers go on over a step, if its sides stay as straight as wanted,
// in meters.
func straightOn(ends *[4]orb.Point, step [4]orb.Point, most float64) bool {
	for _, side := range [...][2]int{{0, 3}, {1, 2}} {
		from, end, next := ends[side[0]], ends[side[1]], step[side[1]]
		x, y, length := end[0]-from[0], end[1]-from[1], away(from, end)
		if off := float64(x*(next[1]-from[1])) - float64(y*(next[0]-from[0])); !(math.Abs(off) < most*length) {
			return false
		}
	}
	ends[2], ends[3] = step[2], step[3]
	return true
}

// list lists strips that are whole by the squares that they reach.
func (c *covered) list() {
	for ; c.listed < len(c.strips); c.listed++ {
		s := &c.strips[c.listed]
		s.box = orb.Ring(s.ends[:]).Bound()
		overSquares(s.box, func(at [2]int) { c.squares[at] = append(c.squares[at], int32(c.listed)) })
	}
}

// boom returns the left and the right end of a boom on a lap, across the way from one place to
// another.
func (l lapWay) boom(width, at, from, to float64) [2]orb.Point {
	a, _ := l.at(from)
	b, _ := l.at(to)
	p, ahead := l.at(at)
	if length := away(a, b); length > 0 {
		ahead = orb.Point{(b[0] - a[0]) / length, (b[1] - a[1]) / length}
	}
	x, y := float64(width/2*ahead[1]), float64(width/2*ahead[0])
	return [2]orb.Point{{p[0] - x, p[1] + y}, {p[0] + x, p[1] - y}}
}

// overSquares calls do for each square of a grid that a box reaches.
func overSquares(box orb.Bound, do func(square [2]int)) {
	low, high := squareOf(box.Min), squareOf(box.Max)
	for x := low[0]; x <= high[0]; x++ {
		for y := low[1]; y <= high[1]; y++ {
			do([2]int{x, y})
		}
	}
}

// inStep is into how many parts a step is cut on which sections open or shut.
const inStep = 4

// step tells what is open on a step: a section is shut on a part of it at both ends of which it may be.
func (c *covered) step(runs []opening, ends [4]orb.Point, from, to float64) []opening {
	c.near = c.near[:0]
	box := orb.Ring(ends[:]).Bound()
	overSquares(box, func(at [2]int) {
		for _, i := range c.squares[at] {
			if c.strips[i].box.Intersects(box) {
				c.near = append(c.near, i)
			}
		}
	})
	first, last := c.open(ends[0], ends[1]), c.open(ends[3], ends[2])
	parts := inStep
	if first == last {
		parts = 1
	}
	for i := 1; i <= parts; i++ {
		t, open := float64(i)/float64(parts), last
		if i < parts {
			open = c.open(between(ends[0], ends[3], t), between(ends[1], ends[2], t))
		}
		both := first | open
		first = open
		if n := len(runs); n == 0 || runs[n-1].open != both {
			runs = append(runs, opening{open: both})
		}
		runs[len(runs)-1].to = from + float64(t*(to-from))
	}
	return runs
}

// open returns the sections any side of which is over ground that is not covered, with the boom's
// left and right end at two places.
func (c *covered) open(left, right orb.Point) (open uint64) {
	if len(c.near) == 0 {
		return 1<<c.sections - 1
	}
	for k := range c.sections {
		for _, part := range sides {
			if !c.holds(between(left, right, (float64(k)+0.5+part)/float64(c.sections))) {
				open |= 1 << k
				break
			}
		}
	}
	return open
}

func between(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + float64(t*(b[0]-a[0])), a[1] + float64(t*(b[1]-a[1]))}
}

// holds reports whether any strip that is near holds a place, to the thickness of a line between
// two of them.
func (c *covered) holds(p orb.Point) bool {
	return slices.ContainsFunc(c.near, func(i int32) bool {
		s := &c.strips[i].ends
		for k := range s {
			a, b := s[k], s[(k+1)%4]
			if float64((b[0]-a[0])*(p[1]-a[1]))-float64((b[1]-a[1])*(p[0]-a[0])) < -1e-6 {
				return false
			}
		}
		return true
	})
}

// openLegs returns where any section is open.
func openLegs(runs []opening) (legs []leg) {
	from := 0.0
	for _, r := range runs {
		if n := len(legs); r.open != 0 && n > 0 && legs[n-1].to == from {
			legs[n-1].to = r.to
		} else if r.open != 0 {
			legs = append(legs, leg{from, r.to, 1})
		}
		from = r.to
	}
	return legs
}
