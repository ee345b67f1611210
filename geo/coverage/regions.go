package coverage

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// Region is connected ground of one class.
type Region struct {
	Class   int32
	Area    float64     // of its runs
	Mean    [2]float64  // of the two values, over its ground
	Polygon orb.Polygon // in the plane: its shell counter-clockwise, then its holes
}

// Classed says what a stretch is: a class, 0 for ground that is left out, and two values
// whose means are wanted.
type Classed func(*State) (class int32, values [2]float64)

// Regions draws the ground of each class. Runs that are narrow are given to their neighbors:
// a receiver does not tell them. Where the side of a region moves evenly from line to line,
// it is drawn straight, which keeps its area. Neighbors share their edges, point by point.
func Regions(g *Ground, o Options, classed Classed) ([]Region, error) {
	o = o.filled()
	if err := g.check(); err != nil {
		return nil, err
	}
	s, err := newSweeper(g, o)
	if err != nil {
		return nil, err
	}
	d := &drawing{frame: s.frame}
	err = inOrder(s, func(b int) *classRuns {
		return sweepBand(s, b, &classRuns{classed: classed, narrow: o.Narrow})
	}, d.add)
	if err != nil {
		return nil, err
	}
	return d.regions(), nil
}

// classRun is a run of one class on a line.
type classRun struct {
	line     int
	from, to float64
	class    int32
	sum      [2]float64 // of the values, times length
}

// classRuns gathers the runs of a band.
type classRuns struct {
	classed Classed
	narrow  float64
	line    int
	now     []classRun // of this line
	runs    []classRun
}

func (c *classRuns) begin(line int) { c.line, c.now = line, c.now[:0] }

// leastGap is how wide, in meters, ground without anything is to be between two runs: less
// is drawn as a line that runs out and back on itself.
const leastGap = 0.01

func (c *classRuns) stretch(from, to float64, s *State) {
	class, values := c.classed(s)
	n := len(c.now)
	if n > 0 && from-c.now[n-1].to < leastGap {
		from = c.now[n-1].to
	}
	if n == 0 || c.now[n-1].class != class || c.now[n-1].to != from {
		c.now = append(c.now, classRun{line: c.line, from: from, to: from, class: class})
		n++
	}
	r := &c.now[n-1]
	r.to = to
	for i, v := range values {
		r.sum[i] += float64(v * (to - from))
	}
}

// end gives narrow runs to the run before, if it ends where they begin, or else to the next.
func (c *classRuns) end() {
	var kept []classRun
	for i, r := range c.now {
		n := len(kept)
		switch {
		case n > 0 && kept[n-1].to == r.from && (r.to-r.from < c.narrow || kept[n-1].class == r.class):
			kept[n-1].to = r.to
		case r.to-r.from < c.narrow && i+1 < len(c.now) && c.now[i+1].from == r.to:
			c.now[i+1].from = r.from
			continue
		default:
			kept = append(kept, r)
			continue
		}
		for v := range r.sum {
			kept[n-1].sum[v] += r.sum[v]
		}
	}
	for _, r := range kept {
		if r.class != 0 {
			c.runs = append(c.runs, r)
		}
	}
}

// drawing joins the runs of all lines.
type drawing struct {
	frame  frame
	runs   []classRun
	sets   geo.Sets
	before [2]int // the runs of the line before
	sides  []side
	meets  map[corner]meeting
}

// side is a side of a run, or of what of it has no like beside it on the next line. The
// ground lies to its left.
type side struct {
	from, to corner
	run      int32
}

// corner is a place on the boundary of two lines: level k lies below line k.
type corner struct {
	u     float64
	level int
}

func (d *drawing) add(c *classRuns) {
	for from := 0; from < len(c.runs); {
		to := from + 1
		for to < len(c.runs) && c.runs[to].line == c.runs[from].line {
			to++
		}
		d.line(c.runs[from:to])
		from = to
	}
}

// line adds the runs of one line.
func (d *drawing) line(runs []classRun) {
	first := len(d.runs)
	d.runs = append(d.runs, runs...)
	for i := range runs {
		d.sets = append(d.sets, int32(first+i))
		r, k := &runs[i], runs[i].line
		d.sides = append(d.sides,
			side{corner{r.to, k}, corner{r.to, k + 1}, int32(first + i)},
			side{corner{r.from, k + 1}, corner{r.from, k}, int32(first + i)})
	}
	a := d.before
	if a[1] > a[0] && d.runs[a[0]].line != runs[0].line-1 {
		d.cap(a[0], a[1], 0, 0, 1)
		a = [2]int{}
	}
	d.cap(a[0], a[1], first, len(d.runs), 1)
	d.cap(first, len(d.runs), a[0], a[1], 0)
	for i, k := a[0], first; i < a[1] && k < len(d.runs); {
		x, y := &d.runs[i], &d.runs[k]
		if x.class == y.class && x.from < y.to && y.from < x.to {
			d.sets.Join(int32(i), int32(k))
		}
		if x.to < y.to {
			i++
		} else {
			k++
		}
	}
	d.before = [2]int{first, len(d.runs)}
}

// cap closes the runs from..to, above or below, where no run of theirs among others is
// beside them.
func (d *drawing) cap(from, to, otherFrom, otherTo, above int) {
	k := otherFrom
	for i := from; i < to; i++ {
		r := d.runs[i]
		at := r.from
		for k > otherFrom && d.runs[k-1].to > r.from {
			k--
		}
		for ; k < otherTo && d.runs[k].from < r.to; k++ {
			o := &d.runs[k]
			if o.class != r.class || o.to <= r.from {
				continue
			}
			d.closeGap(i, at, o.from, above)
			at = max(at, o.to)
		}
		d.closeGap(i, at, r.to, above)
	}
}

// closeGap closes a run between two places, above or below.
func (d *drawing) closeGap(run int, from, to float64, above int) {
	if !(from < to) {
		return
	}
	level := d.runs[run].line + above
	if above == 1 {
		from, to = to, from // the ground lies below: to the left of what runs back
	}
	d.sides = append(d.sides, side{corner{from, level}, corner{to, level}, int32(run)})
}

// regions chains the sides to rings and puts the rings together.
func (d *drawing) regions() []Region {
	d.cap(d.before[0], d.before[1], 0, 0, 1)
	d.cut()
	index := map[int32]int{}
	var list []Region
	for i, r := range d.runs {
		root := d.sets.Find(int32(i))
		at, ok := index[root]
		if !ok {
			at = len(list)
			index[root] = at
			list = append(list, Region{Class: r.class})
		}
		area := float64((r.to - r.from) * d.frame.spacing)
		list[at].Area += area
		for v, sum := range r.sum {
			list[at].Mean[v] += float64(sum * d.frame.spacing)
		}
	}
	for _, ring := range d.rings() {
		at := index[d.sets.Find(ring.run)]
		line := d.smooth(ring.corners)
		if len(line) < 4 {
			continue
		}
		list[at].Polygon = append(list[at].Polygon, line)
	}
	for i := range list {
		r := &list[i]
		for v := range r.Mean {
			r.Mean[v] /= r.Area
		}
		slices.SortStableFunc(r.Polygon, func(a, b orb.Ring) int { // the shell encloses most
			switch x, y := ringArea(a), ringArea(b); {
			case x > y:
				return -1
			case x < y:
				return 1
			}
			return 0
		})
	}
	return slices.DeleteFunc(list, func(r Region) bool { return len(r.Polygon) == 0 })
}

// cornerRing is a ring along the boundaries of lines.
type cornerRing struct {
	run     int32
	corners []corner
}

// rings chains the sides. Where two of a class touch in a corner, the one that turns left
// most goes on: rings stay with their own ground.
func (d *drawing) rings() (out []cornerRing) {
	leaving := make(map[corner][]int32, len(d.sides))
	for i := range d.sides {
		leaving[d.sides[i].from] = append(leaving[d.sides[i].from], int32(i))
	}
	used := make([]bool, len(d.sides))
	for i := range d.sides {
		if used[i] {
			continue
		}
		ring := cornerRing{run: d.sides[i].run}
		for at := int32(i); !used[at]; {
			used[at] = true
			ring.corners = append(ring.corners, d.sides[at].from)
			next := d.next(at, leaving[d.sides[at].to], used)
			if next < 0 {
				break
			}
			at = next
		}
		out = append(out, ring)
	}
	return out
}

// next returns the side that goes on from the end of another; -1 if there is none.
func (d *drawing) next(at int32, list []int32, used []bool) int32 {
	best, most := int32(-1), math.Inf(-1)
	ax, ay := d.sides[at].way()
	root := d.sets.Find(d.sides[at].run)
	for _, i := range list {
		if used[i] || d.sets.Find(d.sides[i].run) != root {
			continue
		}
		bx, by := d.sides[i].way()
		if left := float64(ax*by) - float64(ay*bx); left > most {
			best, most = i, left
		}
	}
	return best
}

// way is the direction of a side, each part -1, 0 or 1.
func (s *side) way() (x, y float64) {
	return sign(s.to.u - s.from.u), float64(s.to.level - s.from.level)
}

func sign(v float64) float64 {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// ringArea is above 0 for counter-clockwise.
func ringArea(ring orb.Ring) (sum float64) {
	for i := 1; i < len(ring); i++ {
		sum += float64((float64((ring[i-1][0]-ring[0][0])*(ring[i][1]-ring[0][1])) - float64((ring[i][0]-ring[0][0])*(ring[i-1][1]-ring[0][1]))) / 2)
	}
	return sum
}
