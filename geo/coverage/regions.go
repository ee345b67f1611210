package coverage

import (
	"cmp"
	"errors"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// region is connected ground of one class.
type region struct {
	Class   int32
	Area    float64     // of its runs
	Mean    [2]float64  // of the two values, over its ground
	Polygon orb.Polygon // in the plane: its shell counter-clockwise, then its holes
}

// Classed says what a stretch is: a class, 0 for ground that is left out, and two values
// whose means are wanted.
type Classed func(*State) (class int32, values [2]float64)

// Regions draws the ground of each class, by each of some ways to class it: ground is swept once
// for all of them. Runs that are narrow are given to their neighbors: a receiver does not tell
// them. Where the side of a region moves evenly from line to line, it is drawn straight, which
// keeps its area. Neighbors share their edges, point by point. Where there would be too many runs
// to be of use, the lines are spread out.
func Regions(g *Ground, o Options, by ...Classed) ([][]region, error) {
	s, err := newSweeper(g, o)
	if err != nil {
		return nil, err
	}
	most := int(s.share * float64(freeRuns+eachRuns*(len(g.Pieces)+s.sides)))
	all, err := s.draw(by, most)
	if err != nil {
		return nil, err
	}
	order := make([]int, len(by))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(all[a].count, all[b].count) }) // the largest last, when the others are no more
	regions := make([][]region, len(by))
	for _, i := range order {
		d := all[i]
		all[i] = nil
		for d.over() {
			spacing := d.frame.spacing
			for o.Spacing = 2 * spacing; d.count*d.frame.lines > int(o.Spacing/spacing)*most*d.reached; {
				o.Spacing *= 2 // the lines that are left are likely no better
			}
			if s, err = newSweeper(g, o); err != nil {
				return nil, err
			}
			again, err := s.draw(by[i:i+1], most)
			if err != nil {
				return nil, err
			}
			d = again[0]
		}
		regions[i] = d.regions()
	}
	return regions, nil
}

// How many runs are drawn. Each takes some 500 bytes until its region is drawn, and a field has
// fewer than its pieces and edges.
const (
	freeRuns = 40_000
	eachRuns = 1
)

// draw gathers the runs of all lines, by each of some ways to class ground: for each only until
// there are more than most, and for all only until each has so many.
func (s *sweeper) draw(by []Classed, most int) ([]*drawing, error) {
	all := make([]*drawing, len(by))
	for i := range all {
		all[i] = &drawing{frame: s.frame, most: most, lines: make([][]classRun, s.frame.lines)}
	}
	err := inOrder(s, func(b int) [][]classRun {
		var band runsOfBand
		for i, d := range all {
			c := runRoom.Get().(*classRuns)
			c.classed, c.narrow, c.most, c.full, c.runs = by[i], s.options.Narrow, most, d.over(), c.runs[:0]
			band = append(band, c)
		}
		sweepBand(s, b, band)
		found := make([][]classRun, len(band))
		for i, c := range band {
			found[i] = slices.Clone(c.runs) // no larger than they are
			runRoom.Put(c)
		}
		return found
	}, func(found [][]classRun) error {
		more := false
		for i, runs := range found {
			if !all[i].over() {
				all[i].add(runs)
			}
			more = more || !all[i].over()
		}
		if !more {
			return errRuns
		}
		return nil
	})
	if errors.Is(err, errRuns) {
		err = nil
	}
	return all, err
}

var errRuns = errors.New("too many runs")

// runsOfBand gathers the runs of a band by each way to class ground.
type runsOfBand []*classRuns

func (r runsOfBand) begin(line int) {
	for _, c := range r {
		c.begin(line)
	}
}

func (r runsOfBand) stretch(from, to float64, s *State) {
	for _, c := range r {
		if !c.full {
			c.stretch(from, to, s)
		}
	}
}

func (r runsOfBand) end() (more bool) {
	for _, c := range r {
		if !c.full {
			c.full = !c.end()
		}
		more = more || !c.full
	}
	return more
}

// classRun is a run of one class on a line.
type classRun struct {
	line     int32
	class    int32
	from, to float64
	sum      [2]float64 // of the values, times length
}

// classRuns gathers the runs of a band, up to the line with which they are more than the most.
type classRuns struct {
	classed   Classed
	narrow    float64
	most      int
	full      bool
	line      int32
	now, kept []classRun // of this line
	runs      []classRun
}

var runRoom = sync.Pool{New: func() any { return new(classRuns) }}

func (c *classRuns) begin(line int) { c.line, c.now = int32(line), c.now[:0] }

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
func (c *classRuns) end() bool {
	kept := c.kept[:0]
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
	c.kept = kept
	return len(c.runs) <= c.most
}

// drawing joins the runs of all lines. None are kept where there are more than most.
type drawing struct {
	frame   frame
	most    int
	count   int // of runs so far
	reached int // lines
	lines   [][]classRun
	firsts  []int32 // the number of the first run of each line
	sets    geo.Sets
}

func (d *drawing) over() bool { return d.count > d.most }

func (d *drawing) add(runs []classRun) {
	if d.count += len(runs); d.over() {
		d.reached = int(runs[len(runs)-1].line) + 1
		d.lines = nil
		return
	}
	for from := 0; from < len(runs); {
		line, to := runs[from].line, from+1
		for to < len(runs) && runs[to].line == line {
			to++
		}
		d.lines[line] = runs[from:to]
		from = to
	}
}

// line returns the runs of a line; none beyond the first and the last one.
func (d *drawing) line(k int) []classRun {
	if k < 0 || k >= len(d.lines) {
		return nil
	}
	return d.lines[k]
}

// join joins the runs of one class that lie beside each other on neighboring lines.
func (d *drawing) join() {
	d.sets, d.firsts = geo.NewSets(d.count), make([]int32, len(d.lines))
	for k := 1; k < len(d.lines); k++ {
		a, b := d.lines[k-1], d.lines[k]
		d.firsts[k] = d.firsts[k-1] + int32(len(a))
		for i, j := 0, 0; i < len(a) && j < len(b); {
			x, y := &a[i], &b[j]
			if x.class == y.class && x.from < y.to && y.from < x.to {
				d.sets.Join(d.firsts[k-1]+int32(i), d.firsts[k]+int32(j))
			}
			if x.to < y.to {
				i++
			} else {
				j++
			}
		}
	}
}

// each calls do for all runs in order, with their numbers.
func (d *drawing) each(do func(number int32, r *classRun)) {
	for k, line := range d.lines {
		for i := range line {
			do(d.firsts[k]+int32(i), &line[i])
		}
	}
}

// regions puts the rings around joined runs together.
func (d *drawing) regions() []region {
	d.join()
	index := map[int32]int{}
	var list []region
	d.each(func(number int32, r *classRun) {
		root := d.sets.Find(number)
		at, ok := index[root]
		if !ok {
			at = len(list)
			index[root] = at
			list = append(list, region{Class: r.class})
		}
		area := float64((r.to - r.from) * d.frame.spacing)
		list[at].Area += area
		for v, sum := range r.sum {
			list[at].Mean[v] += float64(sum * d.frame.spacing)
		}
	})
	d.rings(func(run int32, corners []corner) {
		if line := d.frame.smooth(corners); len(line) >= 4 {
			at := index[d.sets.Find(run)]
			list[at].Polygon = append(list[at].Polygon, line)
		}
	})
	for i := range list {
		r := &list[i]
		for v := range r.Mean {
			r.Mean[v] /= r.Area
		}
		slices.SortStableFunc(r.Polygon, func(a, b orb.Ring) int { // the shell encloses most
			return cmp.Compare(geo.TwiceArea(b), geo.TwiceArea(a))
		})
	}
	return slices.DeleteFunc(list, func(r region) bool { return len(r.Polygon) == 0 })
}
