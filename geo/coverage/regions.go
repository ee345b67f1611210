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

// Regions draws the ground of each class. Runs that are narrow are given to their neighbors:
// a receiver does not tell them. Where the side of a region moves evenly from line to line,
// it is drawn straight, which keeps its area. Neighbors share their edges, point by point.
// Where there would be too many runs to be of use, the lines are spread out.
func Regions(g *Ground, o Options, classed Classed) ([]region, error) {
	s, err := newSweeper(g, o)
	if err != nil {
		return nil, err
	}
	most := int(s.share * float64(freeRuns+eachRuns*(len(g.Pieces)+len(s.edges))))
	for {
		d, err := s.draw(classed, most)
		if err == nil {
			return d.regions(), nil
		}
		if !errors.Is(err, errRuns) {
			return nil, err
		}
		reached := int(d.runs[len(d.runs)-1].line) + 1
		for o.Spacing = 2 * s.frame.spacing; len(d.runs)*s.frame.lines > int(o.Spacing/s.frame.spacing)*most*reached; {
			o.Spacing *= 2 // the lines that are left are likely no better
		}
		if s, err = newSweeper(g, o); err != nil {
			return nil, err
		}
	}
}

// How many runs are drawn. Each takes some 500 bytes until its region is drawn, and a field has
// fewer than its pieces and edges.
const (
	freeRuns = 40_000
	eachRuns = 1
)

var errRuns = errors.New("too many runs")

// draw gathers the runs of all lines; the error is errRuns where there are more than most.
func (s *sweeper) draw(classed Classed, most int) (*drawing, error) {
	d := &drawing{frame: s.frame, ends: make([]int32, s.frame.lines+1)}
	err := inOrder(s, func(b int) *classRuns {
		c := runRoom.Get().(*classRuns)
		c.classed, c.narrow, c.most, c.runs = classed, s.options.Narrow, most, c.runs[:0]
		return sweepBand(s, b, c)
	}, func(c *classRuns) error {
		defer runRoom.Put(c)
		d.add(c.runs)
		if len(d.runs) > most {
			return errRuns
		}
		return nil
	})
	return d, err
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

// drawing joins the runs of all lines.
type drawing struct {
	frame frame
	runs  []classRun
	ends  []int32 // line k has the runs from ends[k] to ends[k+1]
	sets  geo.Sets
}

func (d *drawing) add(runs []classRun) {
	for i := range runs {
		d.sets = append(d.sets, int32(len(d.runs)+i))
		d.ends[runs[i].line+1]++
	}
	d.runs = append(d.runs, runs...)
}

// line returns the runs of a line; none beyond the first and the last one.
func (d *drawing) line(k int) []classRun {
	if k < 0 || k >= d.frame.lines {
		return nil
	}
	return d.runs[d.ends[k]:d.ends[k+1]]
}

// join joins the runs of one class that lie beside each other on neighboring lines.
func (d *drawing) join() {
	for k := range d.frame.lines {
		d.ends[k+1] += d.ends[k]
	}
	for k := 1; k < d.frame.lines; k++ {
		a, b := d.line(k-1), d.line(k)
		for i, j := 0, 0; i < len(a) && j < len(b); {
			x, y := &a[i], &b[j]
			if x.class == y.class && x.from < y.to && y.from < x.to {
				d.sets.Join(d.ends[k-1]+int32(i), d.ends[k]+int32(j))
			}
			if x.to < y.to {
				i++
			} else {
				j++
			}
		}
	}
}

// regions puts the rings around joined runs together.
func (d *drawing) regions() []region {
	d.join()
	index := map[int32]int{}
	var list []region
	for i, r := range d.runs {
		root := d.sets.Find(int32(i))
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
	}
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
