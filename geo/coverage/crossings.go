package coverage

import (
	"context"
	"math"
	"runtime"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// edge is a side of a zone or a keep-out in the turned plane, its lower end first.
type edge struct {
	low, high orb.Point
	of        int32 // zone z is z; keep-outs follow, then patches
	beside    int32 // 1 more than the same of a neighbor that shares the side; 0 for none
}

// event is where a scan line enters or leaves something.
type event struct {
	u    float64
	what int32 // a piece, or below 0 an edge's owner: -1-of
	step int32 // 1 into a piece, -1 out of it; of an edge what is beside it
}

// bandLines is how many lines are swept at a time.
const bandLines = 64

// sweeper holds what all bands share.
type sweeper struct {
	ground  *Ground
	options Options
	frame   frame
	edges   []edge
	sides   int     // of all shapes: one that neighbors share is two
	patches int     // the number of their first edge
	zones   int     // how many there are
	beyond  int     // of zones and keep-outs: the number of the first patch
	pieceIn buckets // pieces that reach each band
	edgeIn  buckets
	share   float64 // of the usual work that is done
}

// newSweeper begins each kind of work on ground. Its options are filled.
func newSweeper(g *Ground, o Options) (*sweeper, error) {
	o = o.filled()
	if err := g.check(); err != nil {
		return nil, err
	}
	s := &sweeper{ground: g, options: o, frame: across(axis(g.Pieces), tilt(g.Pieces, o.Spacing), o.Spacing)}
	if g.Zones != nil {
		s.zones = g.Zones.Len()
		s.addEdges(g.Zones, 0, new(shared))
	}
	if g.KeepOuts != nil {
		s.addEdges(g.KeepOuts, s.zones, new(shared))
		s.beyond = g.KeepOuts.Len()
	}
	s.beyond, s.patches = s.beyond+s.zones, len(s.edges)
	if g.Patches != nil {
		s.addEdges(g.Patches, s.beyond, nil) // what lies on them is added up in their order
	}
	if max(s.sides, len(g.Pieces)) > math.MaxInt32-1 {
		return nil, errMany
	}
	s.fit()
	return s, nil
}

// bucket lists what reaches each band.
func (s *sweeper) bucket() {
	bands := s.bands()
	s.pieceIn = newBuckets(len(s.ground.Pieces), bands, func(i int) (int, int) {
		at := s.frame.spanOf(&s.ground.Pieces[i])
		return s.bandsOf(at.low, at.high)
	})
	s.edgeIn = newBuckets(len(s.edges), bands, func(i int) (int, int) {
		return s.bandsOf(s.edges[i].low[1], s.edges[i].high[1])
	})
}

func (s *sweeper) bands() int { return cores.Count(s.frame.lines, bandLines) }

// bandsOf returns the bands, the end excluded, that reach between two values of v.
func (s *sweeper) bandsOf(low, high float64) (from, to int) {
	from, to = s.frame.reach(low, high)
	if from >= to {
		return 0, 0
	}
	return from / bandLines, (to-1)/bandLines + 1
}

// addEdges adds the sides of all rings. One along the scan lines is met by none.
func (s *sweeper) addEdges(shapes *geo.Shapes, base int, met *shared) {
	s.edges = slices.Grow(s.edges, len(shapes.Points)/2)
	for i := range shapes.Len() {
		for r, end := shapes.ShapeRings(i); r < end; r++ {
			ring := shapes.Ring(r)
			for k := 1; k < len(ring); k++ {
				a, b := s.frame.turn(ring[k-1]), s.frame.turn(ring[k])
				if a[1] > b[1] {
					a, b = b, a
				}
				if e := (edge{a, b, int32(base + i), 0}); a[1] < b[1] {
					if s.sides++; !met.before(s.edges, &e) {
						s.edges = append(s.edges, e)
					}
				}
			}
		}
	}
}

// sharedSlots is how many edges are remembered, as a power of two: two rows of cells or more.
const sharedSlots = 14

// shared remembers edges, each by a hash of its bits: neighbors in the file share them.
type shared [1 << sharedSlots]int32 // the last edge there, from 1

// before reports whether an edge is there already, and gives that one its neighbor.
func (m *shared) before(edges []edge, e *edge) bool {
	if m == nil {
		return false
	}
	bits := math.Float64bits
	hash := (bits(e.low[0])*0x9e3779b97f4a7c15+bits(e.low[1]))*0xbf58476d1ce4e5b9 + bits(e.high[0])*0x94d049bb133111eb + bits(e.high[1])
	at := &m[hash*0x9e3779b97f4a7c15>>(64-sharedSlots)] // odd and arbitrary
	if k := int(*at) - 1; k >= 0 && edges[k].beside == 0 && edges[k].low == e.low && edges[k].high == e.high {
		edges[k].beside = 1 + e.of
		return true
	}
	*at = int32(len(edges) + 1)
	return false
}

// buckets lists items by the buckets that they reach: bucket b holds
// items[ends[b-1]:ends[b]], in order.
type buckets struct{ ends, items []int32 }

func newBuckets(n, count int, reach func(i int) (from, to int)) buckets {
	b := buckets{ends: make([]int32, count+1)}
	for i := range n {
		from, to := reach(i)
		for k := from; k < to; k++ {
			b.ends[k+1]++
		}
	}
	for k := range count {
		b.ends[k+1] += b.ends[k]
	}
	b.items = make([]int32, b.ends[count])
	next := slices.Clone(b.ends)
	for i := range n {
		from, to := reach(i)
		for k := from; k < to; k++ {
			b.items[next[k]] = int32(i)
			next[k]++
		}
	}
	return b
}

func (b buckets) of(k int) []int32 { return b.items[b.ends[k]:b.ends[k+1]] }

// crossing returns where a line crosses an edge whose lower end is given first. It is the
// same, to the bit, for all pieces and zones that share the edge.
func crossing(low, high orb.Point, v float64) float64 {
	return low[0] + float64((high[0]-low[0])*((v-low[1])/(high[1]-low[1])))
}

// crossPiece adds the events of a piece to the lines of a band.
func (s *sweeper) crossPiece(lines [][]event, first int, piece int32) {
	var ring [4]orb.Point
	at := noSpan
	for i, q := range s.ground.Pieces[piece].Ring {
		ring[i] = s.frame.turn(q)
		at = at.with(ring[i][1])
	}
	from, to := s.frame.reach(at.low, at.high)
	for k := max(from, first); k < min(to, first+len(lines)); k++ {
		v := s.frame.at(k)
		var met [4]float64
		n := 0
		for i := range ring {
			a, b := ring[i], ring[(i+1)%4]
			if (a[1] <= v) == (b[1] <= v) {
				continue
			}
			if a[1] > b[1] {
				a, b = b, a
			}
			met[n] = crossing(a, b, v)
			n++
		}
		if n == 4 {
			slices.Sort(met[:])
		} else if n == 2 && met[1] < met[0] {
			met[0], met[1] = met[1], met[0]
		}
		for i := range n {
			lines[k-first] = append(lines[k-first], event{met[i], piece, int32(1 - i%2*2)})
		}
	}
}

// crossEdge adds the events of an edge to the lines of a band.
func (s *sweeper) crossEdge(lines [][]event, first int, e *edge) {
	from, to := s.frame.reach(e.low[1], e.high[1])
	for k := max(from, first); k < min(to, first+len(lines)); k++ {
		if v := s.frame.at(k); e.low[1] <= v && v < e.high[1] {
			lines[k-first] = append(lines[k-first], event{crossing(e.low, e.high, v), -1 - e.of, e.beside})
		}
	}
}

// sorted returns the events of each line of a band, in order.
func (s *sweeper) sorted(b int, lines [][]event) [][]event {
	first := b * bandLines
	lines = lines[:min(bandLines, s.frame.lines-first)]
	for i := range lines {
		lines[i] = lines[i][:0]
	}
	for _, met := range s.fromLeft(b) {
		if what := met.what(); what < 0 {
			s.crossEdge(lines, first, &s.edges[-1-what])
		} else {
			s.crossPiece(lines, first, what)
		}
	}
	for _, events := range lines {
		sortEvents(events)
	}
	return lines
}

// met is a piece, or below 0 an edge (-1 less its number), behind where about lines meet it: a
// plain number, which is sorted several times as fast as a struct.
type met uint64

func metAt(u float64, what int32) met {
	at := math.Float32bits(float32(u))
	if at>>31 != 0 { // below 0 bits run the other way
		at = ^at
	} else {
		at |= 1 << 31
	}
	return met(at)<<32 | met(uint32(what))
}

func (m met) what() int32 { return int32(uint32(m)) }

// fromLeft returns what reaches into a band about in the order in which its lines meet it:
// one sort for all of them, which leaves little to do on each.
func (s *sweeper) fromLeft(b int) []met {
	edges, pieces := s.edgeIn.of(b), s.pieceIn.of(b)
	list := make([]met, 0, len(edges)+len(pieces))
	middle := s.frame.at(b*bandLines + bandLines/2)
	for _, i := range edges {
		e := &s.edges[i]
		list = append(list, metAt(crossing(e.low, e.high, min(max(middle, e.low[1]), e.high[1])), -1-i))
	}
	for _, i := range pieces {
		r := &s.ground.Pieces[i].Ring
		list = append(list, metAt(s.frame.turn(orb.Point{(r[0][0] + r[2][0]) / 2, (r[0][1] + r[2][1]) / 2})[0], i))
	}
	slices.Sort(list)
	return list
}

// mostMoves is how far events are moved, each on average, before sorting begins anew.
const mostMoves = 16

// sortEvents sorts events that are nearly in order. What is equal in all is one and the same.
func sortEvents(events []event) {
	left := mostMoves * len(events)
	for i := 1; i < len(events); i++ {
		e := events[i]
		k := i
		for ; k > 0 && e.before(&events[k-1]); k-- {
			events[k] = events[k-1]
		}
		events[k] = e
		if left -= i - k; left < 0 {
			slices.SortFunc(events, func(a, b event) int {
				switch {
				case a.before(&b):
					return -1
				case b.before(&a):
					return 1
				}
				return 0
			})
			return
		}
	}
}

func (e *event) before(o *event) bool {
	if e.u != o.u {
		return e.u < o.u
	}
	if e.what != o.what {
		return e.what < o.what
	}
	return e.step > o.step
}

// inOrder has all bands swept on all cores, and what they yield added in their order, until
// that fails.
func inOrder[T any](s *sweeper, sweep func(b int) T, add func(T) error) error {
	ctx := s.options.Context
	if ctx == nil {
		ctx = context.Background()
	}
	bands, most := s.bands(), 8*runtime.GOMAXPROCS(0)
	for from, batch := 0, runtime.GOMAXPROCS(0); from < bands; from, batch = from+batch, min(2*batch, most) { // what fails mostly fails at once
		if err := ctx.Err(); err != nil {
			return err
		}
		if s.options.Progress != nil {
			s.options.Progress(from, bands)
		}
		for _, t := range cores.Map(min(batch, bands-from), 1, func(i, _ int) T { return sweep(from + i) }) {
			if err := add(t); err != nil {
				return err
			}
		}
	}
	return nil
}
