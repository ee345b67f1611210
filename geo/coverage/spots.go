package coverage

import (
	"cmp"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// stretchRun is a run of one mark on a line.
type stretchRun struct {
	mark     int
	from, to float64
	spot     int32
}

// grown is a spot in the making.
type grown struct {
	mark   int
	length float64   // of its runs
	best   float64   // of its longest
	at     orb.Point // u in its middle, and its line
	open   bool      // it reaches the first or the last line of the band
}

// spotFinder joins the runs of a mark that overlap on neighboring lines of a band.
type spotFinder struct {
	line        int
	before, now []stretchRun // of the line before, and of this one
	found       []grown
	sets        geo.Sets
	first       []stretchRun // of the first line
	started     bool
}

// spotRoom keeps the room of what was found.
var spotRoom = sync.Pool{New: func() any { return new(spotFinder) }}

func (f *spotFinder) begin(line int) {
	f.line = line
	f.now = f.now[:0]
}

func (f *spotFinder) run(mark int, from, to float64) {
	id := int32(len(f.found))
	f.found = append(f.found, grown{mark: mark, length: to - from, best: to - from, at: orb.Point{(from + to) / 2, float64(f.line)}})
	f.sets = append(f.sets, id)
	f.now = append(f.now, stretchRun{mark, from, to, id})
}

func (f *spotFinder) end() {
	slices.SortFunc(f.now, byMark)
	if f.started {
		overlapping(f.before, f.now, func(a, b *stretchRun) { f.sets.Join(a.spot, b.spot) })
	} else {
		f.first, f.started = slices.Clone(f.now), true
	}
	f.before, f.now = f.now, f.before
}

func byMark(a, b stretchRun) int {
	return cmp.Or(cmp.Compare(a.mark, b.mark), cmp.Compare(a.from, b.from))
}

// overlapping calls join for runs of one mark on two lines that overlap. Both are sorted.
func overlapping(a, b []stretchRun, join func(a, b *stretchRun)) {
	for i, k := 0, 0; i < len(a) && k < len(b); {
		x, y := &a[i], &b[k]
		if x.mark == y.mark && x.from < y.to && y.from < x.to {
			join(x, y)
		}
		if x.mark < y.mark || x.mark == y.mark && x.to < y.to {
			i++
		} else {
			k++
		}
	}
}

// gather leaves each spot of the band once, and has the runs on its outer lines name it by its new number.
func (f *spotFinder) gather() {
	var list []grown
	number := make([]int32, len(f.found))
	for i := range f.found {
		root := f.sets.Find(int32(i))
		if root == int32(i) {
			number[i] = int32(len(list))
			list = append(list, f.found[i])
		}
	}
	for i := range f.found {
		root := f.sets.Find(int32(i))
		number[i] = number[root]
		if root != int32(i) {
			list[number[i]].take(f.found[i])
		}
	}
	for _, runs := range [][]stretchRun{f.first, f.before} {
		for i := range runs {
			runs[i].spot = number[runs[i].spot]
		}
	}
	f.found, f.sets = list, nil
}

// take adds what another part of the same spot has.
func (g *grown) take(o grown) {
	g.length += o.length
	if o.best > g.best {
		g.best, g.at = o.best, o.at
	}
	g.open = g.open || o.open
}

// spotJoiner joins the spots of one band after the other. They are gathered.
type spotJoiner struct {
	frame    frame
	smallest float64
	small    []int
	list     []grown
	sets     geo.Sets
	edge     []stretchRun // on the last line so far
}

func (j *spotJoiner) add(f *spotFinder) {
	for _, runs := range [][]stretchRun{f.first, f.before} {
		for _, r := range runs {
			f.found[r.spot].open = true
		}
	}
	place := make([]int32, len(f.found))
	for i, g := range f.found {
		if !g.open && float64(g.length*j.frame.spacing) < j.smallest {
			j.small[g.mark]++
			place[i] = -1
			continue
		}
		place[i] = int32(len(j.list))
		j.list, j.sets = append(j.list, g), append(j.sets, int32(len(j.list)))
	}
	for _, runs := range [][]stretchRun{f.first, f.before} {
		for i := range runs {
			runs[i].spot = place[runs[i].spot]
		}
	}
	overlapping(j.edge, f.first, func(a, b *stretchRun) { j.sets.Join(a.spot, b.spot) })
	j.edge = f.before
}

// spots returns what is large enough, by mark, the largest first.
func (j *spotJoiner) spots() []spot {
	f := spotFinder{found: j.list, sets: j.sets}
	f.gather()
	var out []spot
	for _, g := range f.found {
		area := float64(g.length * j.frame.spacing)
		if area < j.smallest {
			j.small[g.mark]++
			continue
		}
		out = append(out, spot{g.mark, area, j.frame.back(orb.Point{g.at[0], j.frame.at(int(g.at[1]))})})
	}
	slices.SortStableFunc(out, func(a, b spot) int {
		return cmp.Or(cmp.Compare(a.Mark, b.Mark), cmp.Compare(b.Area, a.Area))
	})
	return out
}
