package coverage

import (
	"math"

	"rxsplit/internal/cores"
)

// How often lines may meet pieces and edges before they are spread out: beyond it time, not
// accuracy, is what lacks. The passes of a field come to 20 for each piece and edge. What
// meets far more is few long sides, or swaths that lie on each other a hundred times: a file
// of 100 kB would be dear.
//
// Lines of a quarter of a meter are spread out before those are that are asked for wider: what is
// looked at twenty times over, or drawn, is no worse than the tables.
const (
	mostCrossings = 32e6
	freeCrossings = 2e6 // of lines of freeSpacing or finer; fewer as they are wider
	freeSpacing   = 0.5
	eachCrossings = 24
)

// Where covered ground is covered more than ten times, as no machine does, it is looked at and
// drawn more coarsely in the measure of that, down to an eighth of the work. Little work is
// done as it is.
const (
	thick       = 10
	leastShare  = 1.0 / 8
	littleMeets = 300_000
)

// fit chooses the lines of a sweep.
func (s *sweeper) fit() {
	all := s.frame
	var meets float64
	s.share = 1
	s.frame, meets = all.fit(s.ground.Pieces, s.edges, s.share)
	s.bucket()
	if meets < littleMeets || s.options.Thin {
		return
	}
	if covers := s.covers(); covers > thick {
		s.share = max(thick/covers, leastShare)
		s.frame, _ = all.fit(s.ground.Pieces, s.edges, s.share)
		s.bucket()
	}
}

// fit spaces the lines so that they don't meet too much, and numbers them. It returns how much
// they meet.
func (f frame) fit(pieces []Piece, edges []edge, share float64) (frame, float64) {
	type sum struct {
		all    span
		height float64
	}
	add := func(s sum, t span) sum { return sum{s.all.join(t), s.height + (t.high - t.low)} }
	total := sum{all: noSpan}
	for _, part := range cores.Map(len(pieces), cores.Block, func(from, to int) sum {
		s := sum{all: noSpan}
		for i := from; i < to; i++ {
			s = add(s, f.spanOf(&pieces[i]))
		}
		return s
	}) {
		total = sum{total.all.join(part.all), total.height + part.height}
	}
	sides := 0
	for i := range edges {
		e := &edges[i]
		total = add(total, span{e.low[1], e.high[1]})
		if sides++; e.beside > 0 {
			total.height, sides = total.height+(e.high[1]-e.low[1]), sides+1
		}
	}
	if len(pieces)+sides == 0 {
		return f, 0
	}
	free := min(freeCrossings, float64(freeSpacing*freeCrossings)/f.spacing)
	most := share * min(mostCrossings, free+float64(eachCrossings*float64(len(pieces)+sides)))
	for total.height/f.spacing > most || (total.all.high-total.all.low)/f.spacing > most {
		f.spacing *= 2
	}
	return f.over(total.all), total.height / f.spacing
}

// over numbers the lines over a span.
func (f frame) over(all span) frame {
	f.first = int(math.Floor(all.low / f.spacing))
	f.lines = int(math.Floor(all.high/f.spacing)) - f.first + 1
	return f
}

// covers returns how often covered ground is covered on the mean, by some of the lines, wherever
// zones and keep-outs lie.
func (s *sweeper) covers() float64 {
	some := *s
	some.edges = s.edges[s.patches:]
	all := span{s.frame.at(0), s.frame.at(s.frame.lines - 1)}
	some.frame.spacing *= math.Ceil(float64(s.frame.lines) / bandLines)
	some.frame = some.frame.over(all)
	some.bucket()
	var sum thickness
	for b := range some.bands() {
		sweepBand(&some, b, &sum)
	}
	if sum.ground == 0 {
		return 0
	}
	return sum.covers / sum.ground
}

// thickness adds up lengths of covered ground, once and as often as it is covered.
type thickness struct{ ground, covers float64 }

func (t *thickness) begin(int) {}
func (t *thickness) end() bool { return true }

func (t *thickness) stretch(from, to float64, s *State) {
	n := 0
	for _, c := range s.Covers {
		n += int(c)
	}
	if n > 0 {
		t.ground += to - from
		t.covers += float64(float64(n) * (to - from))
	}
}
