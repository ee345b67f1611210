package swath

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/geo/track"
)

// sort puts the rows in the order of machines and times, drops those that are there
// twice, and spreads those of one whole second over it.
func (l *layer) sort() {
	rows := l.log.Rows
	timed := slices.ContainsFunc(rows, func(r track.Row) bool { return !math.IsNaN(r.Time) })
	l.laid.Odd.Untimed = !timed
	last := map[int32]float64{}
	l.order = make([]int32, 0, len(rows))
	for i := range rows {
		r := &rows[i]
		if timed && math.IsNaN(r.Time) {
			l.laid.Odd.NoTime++
			continue
		}
		if before, seen := last[r.Machine]; seen && r.Time < before {
			l.laid.Odd.Disorder++
		}
		last[r.Machine] = r.Time
		l.order = append(l.order, int32(i))
	}
	slices.SortStableFunc(l.order, func(a, b int32) int {
		x, y := &rows[a], &rows[b]
		if c := cmp.Compare(x.Machine, y.Machine); c != 0 || !timed {
			return c
		}
		return cmp.Compare(x.Time, y.Time)
	})
	l.dropTwice()
	l.time = make([]float64, len(l.order))
	for i := range l.order {
		l.time[i] = l.row(i).Time
	}
	if timed {
		l.spread()
	}
}

// dropTwice drops rows at the place and time of another. Without times it is the row before
// that counts: a machine that comes back to a place is no repetition.
func (l *layer) dropTwice() {
	kept := l.order[:0]
	for _, i := range l.order {
		r := &l.log.Rows[i]
		twice := false
		for k := len(kept) - 1; k >= 0 && !twice; k-- {
			o := &l.log.Rows[kept[k]]
			if o.Machine != r.Machine || !l.laid.Odd.Untimed && o.Time != r.Time {
				break
			}
			twice = o.At == r.At && (!l.laid.Odd.Untimed || o.Rate == r.Rate && o.Open == r.Open)
			if l.laid.Odd.Untimed || len(kept)-k > mostInSecond {
				break
			}
		}
		if twice {
			l.laid.Odd.Twice++
		} else {
			kept = append(kept, i)
		}
	}
	l.order = kept
}

// mostInSecond is how many rows of one time are held against each other.
const mostInSecond = 64

// spread gives rows of one and the same time, as whole seconds at 5 Hz make them, times
// evenly up to the next one, at most a second later.
func (l *layer) spread() {
	for from := 0; from < len(l.order); {
		to := from + 1
		for to < len(l.order) && l.time[to] == l.time[from] && l.row(to).Machine == l.row(from).Machine {
			to++
		}
		if n := to - from; n > 1 {
			room := 1.0
			if to < len(l.order) && l.row(to).Machine == l.row(from).Machine {
				room = min(room, l.time[to]-l.time[from])
			}
			for i := from + 1; i < to; i++ {
				l.time[i] += float64(float64(i-from) / float64(n) * room)
			}
			l.laid.Odd.Spread += n
		}
		from = to
	}
}

// measure finds the usual time and way from row to row, and how much rows zigzag.
func (l *layer) measure() {
	times, ways, noise := make([]float64, 0, len(l.order)), make([]float64, 0, len(l.order)), make([]float64, 0, len(l.order))
	for i := 1; i < len(l.order); i++ {
		if l.row(i).Machine != l.row(i-1).Machine || !l.row(i).On() {
			continue
		}
		if way := distance(l.at(i), l.at(i-1)); way > 0 {
			ways = append(ways, way)
			if t := l.time[i] - l.time[i-1]; t > 0 {
				times = append(times, t)
			}
		}
		if i+1 < len(l.order) && l.row(i+1).Machine == l.row(i).Machine {
			noise = append(noise, l.zigzag(i))
		}
	}
	l.median.time, l.median.way = median(times), median(ways)
	l.laid.Step = l.median.way
	// The median of what is normal is 0.6745 deviations; three places make it √1.5 as large.
	l.laid.Noise = median(noise) / 0.6745 / math.Sqrt(1.5)
	l.laid.Odd.Mixed = l.median.way >= noiseWay && l.winds() > mostWinding
}

// Rows whose way is usually so many times what they get ahead by, and longer than the noise of
// a receiver makes it, are those of several machines, or of sections, one after the other: a
// circle as wide as a boom is far below.
const (
	mostWinding = 3
	noiseWay    = 1 // m
)

// winds returns by how much the way over ten rows, or over twice as many as share a time, is
// usually longer than from its first row to its last.
func (l *layer) winds() float64 {
	over := 1
	for i := 1; i < len(l.order); i++ {
		if l.row(i).Time != l.row(i-1).Time {
			over++
		}
	}
	if l.laid.Odd.Untimed {
		over = len(l.order)
	}
	window := min(max(10, 2*((len(l.order)+over-1)/over)), farKnots)
	var ratios []float64
	way, since := 0.0, 0 // since the window began, or the machine, or rows that are on
	for i := 1; i < len(l.order); i++ {
		way += distance(l.at(i), l.at(i-1))
		switch {
		case l.row(i).Machine != l.row(i-1).Machine || !l.row(i).On():
			way, since = 0, i
		case i-since == window:
			ratios = append(ratios, way/max(distance(l.at(i), l.at(since)), 1e-3))
			way, since = 0, i
		}
	}
	return median(ratios)
}

// zigzag returns how far a row lies beside the middle of its neighbors.
func (l *layer) zigzag(i int) float64 {
	a, b := l.at(i-1), l.at(i+1)
	chord := minus(b, a)
	off := minus(l.at(i), a)
	if length := norm(chord); length > 0 {
		return math.Abs(float64(chord[0]*off[1])-float64(chord[1]*off[0])) / length
	}
	return norm(off)
}
