package lane

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// Ground is where strips may lie.
type Ground struct {
	Outline  orb.MultiPolygon // all that gets dry
	KeepOuts orb.MultiPolygon // may overlap each other
	Zones    *geo.Shapes
	Rates    []float64 // of each zone; only those above 0 count
}

// Plot is what is asked of a place: one lane without the treatment, with its neighbors.
type Plot struct {
	Length   float64 // of the strip, its ends included
	Ends     float64 // of it at each end, that is not read
	Headland float64 // that is kept around the three lanes, to the edge of the outline
	Spare    float64 // likewise, to keep-outs
	Unlike   float64 // how far the strip's mean rate may be from that of its neighbors, as a share of it
}

// Place is where a strip may lie: the lane has one on each side.
type Place struct {
	Lane     int
	From, To float64 // ahead, in the frame
	Rate     float64 // mean in the strip, its ends left out
	Beside   float64 // mean of the two lanes beside it, as far as the strip is read
}

// unlike is by how much of the neighbors' mean rate the strip's own is more or less.
func (p Place) unlike() float64 { return p.Rate/p.Beside - 1 }

// step is how far starts in a lane lie apart: 50 ft.
const step = 50 * 0.3048

// mostBins bounds the work of ground that is huge, or of lanes that are tiny.
const mostBins = 2_000_000

// errLarge says that the ground has too many lanes.
var errLarge = errors.New("the field is too many lanes across")

// touching is what rounding may make of sides that meet, in meters.
const touching = 1e-6

// Places lists the places for strips, by lane and then by start. The three lanes, with the
// headland around them, lie inside the outline and clear of keep-outs; all of them gets dry, and
// the strip about as much of it as its neighbors.
func (l Lanes) Places(g Ground, plot Plot) ([]Place, error) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, polygon := range g.Outline {
		for _, p := range polygon[0] {
			y := l.Turn(p)[1]
			low, high = min(low, y), max(high, y)
		}
	}
	starts := max(0, int((high-low-plot.Length)/step)+1)
	if starts == 0 || l.Count < 3 {
		return nil, nil
	}
	if l.Count*2*(starts+1) > mostBins {
		return nil, errLarge
	}
	outline, kept := l.lines(g.Outline, plot.Headland), l.lines(g.KeepOuts, plot.Spare)
	start := func(k int) float64 { return low + float64(float64(k)*step) }
	means := l.means(g, readBreaks(starts, start, plot))
	var places []Place
	for lane := 1; lane+1 < l.Count; lane++ {
		for k := range starts {
			p := Place{Lane: lane, From: start(k), To: start(k) + plot.Length}
			if !outline[lane].holds(p.From, p.To, true) || !kept[lane].holds(p.From, p.To, false) {
				continue
			}
			from, to := p.From+plot.Ends, p.To-plot.Ends
			p.Rate = means.mean(from, to, lane)
			p.Beside = means.mean(from, to, lane-1, lane+1)
			if math.Abs(p.unlike()) <= plot.Unlike {
				places = append(places, p)
			}
		}
	}
	return places, nil
}

// readBreaks lists where what is read of any strip begins or ends.
func readBreaks(starts int, start func(int) float64, plot Plot) (breaks []float64) {
	for k := range starts {
		breaks = append(breaks, start(k)+plot.Ends, start(k)+plot.Length-plot.Ends)
	}
	slices.Sort(breaks)
	return slices.Compact(breaks)
}

// line is what three lanes meet of some ground.
type line struct {
	near     []span     // where an edge of it is too near, in order
	crossing []crossing // of the middle of the lanes
}

type span struct{ from, to float64 }

type crossing struct {
	at float64
	in int // 1 where it leads into the ground, -1 out of it
}

// lines lays ground along the lanes. room is what is kept to its edges on all four sides.
func (l Lanes) lines(mp orb.MultiPolygon, room float64) []line {
	lines := make([]line, l.Count)
	for _, polygon := range mp {
		for k, ring := range polygon {
			turned := make(orb.Ring, len(ring))
			for i, p := range ring {
				turned[i] = l.Turn(p)
			}
			if (geo.TwiceArea(turned) > 0) != (k == 0) {
				slices.Reverse(turned)
			}
			for i := 1; i < len(turned); i++ {
				l.edge(lines, turned[i-1], turned[i], room)
			}
		}
	}
	for i := range lines {
		lines[i].near = joined(lines[i].near)
		slices.SortFunc(lines[i].crossing, func(a, b crossing) int { return cmp.Compare(a.at, b.at) })
	}
	return lines
}

// joined puts spans in order, and makes one of those that meet.
func joined(spans []span) (out []span) {
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	for _, s := range spans {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// edge tells each lane where an edge is too near to its three, and where it crosses its middle.
func (l Lanes) edge(lines []line, a, b orb.Point, room float64) {
	reach := float64(1.5*l.Width) + room - touching
	left, right := min(a[0], b[0]), max(a[0], b[0])
	first := max(0, int(math.Floor((left-reach-l.Left)/l.Width))-1)
	last := min(l.Count-1, int(math.Floor((right+reach-l.Left)/l.Width))+1)
	for lane := first; lane <= last; lane++ {
		middle := l.Side(lane) + float64(l.Width/2)
		if low, high, some := within(a, b, middle-reach, middle+reach); some {
			lines[lane].near = append(lines[lane].near, span{low - room + touching, high + room - touching})
		}
		if (a[0] <= middle) != (b[0] <= middle) {
			in := 1
			if a[0] > b[0] {
				in = -1
			}
			lines[lane].crossing = append(lines[lane].crossing, crossing{height(a, b, middle), in})
		}
	}
}

// within returns how far ahead an edge reaches between two sides; some is false where it does
// not come between them.
func within(a, b orb.Point, left, right float64) (low, high float64, some bool) {
	if a[0] > b[0] {
		a, b = b, a
	}
	if b[0] < left || a[0] > right {
		return 0, 0, false
	}
	from, to := a[1], b[1]
	if a[0] < left {
		from = height(a, b, left)
	}
	if b[0] > right {
		to = height(a, b, right)
	}
	return min(from, to), max(from, to), true
}

// height returns how far ahead an edge, which is not straight ahead, is at a distance across.
func height(a, b orb.Point, x float64) float64 {
	return a[1] + float64((b[1]-a[1])*((x-a[0])/(b[0]-a[0])))
}

// holds reports whether a stretch of the three lanes keeps clear of all edges, and lies inside the
// ground or outside of it.
func (l line) holds(from, to float64, inside bool) bool {
	for _, s := range l.near {
		if s.from < to && s.to > from {
			return false
		}
	}
	depth := 0
	for _, c := range l.crossing {
		if c.at > (from+to)/2 {
			break
		}
		depth += c.in
	}
	return (depth > 0) == inside
}
