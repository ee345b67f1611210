package ground

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/swath"
	"rxsplit/geo/track"
	"rxsplit/internal/samebits"
)

// lapWay is the way of the boom's middle around a field.
type lapWay struct {
	ring orb.Ring
	far  []float64 // of each point from the first, along the ring
}

func newLapWay(ring orb.Ring) lapWay {
	l := lapWay{ring, make([]float64, len(ring))}
	for i := 1; i < len(ring); i++ {
		l.far[i] = l.far[i-1] + away(ring[i-1], ring[i])
	}
	return l
}

func (l lapWay) length() float64 { return l.far[len(l.far)-1] }

// at returns the place a way from the first point, and the direction there.
func (l lapWay) at(way float64) (at, ahead orb.Point) {
	i := min(max(sort.SearchFloat64s(l.far, way), 1), len(l.ring)-1)
	a, b := l.ring[i-1], l.ring[i]
	if length := l.far[i] - l.far[i-1]; length > 0 {
		ahead = orb.Point{(b[0] - a[0]) / length, (b[1] - a[1]) / length}
	}
	way -= l.far[i-1]
	return orb.Point{a[0] + float64(way*ahead[0]), a[1] + float64(way*ahead[1])}, ahead
}

// A corner of a lap is a point where it turns by more than 30° between straight ways of half a
// boom: there the machine drives to the edge, turns with its boom off, and begins anew.
// Elsewhere it is steered around.
const (
	cornerCosine = 0.8660254037844386 // of 30°
	straight     = 0.99               // of a way is its chord
)

// corner reports whether a point of the ring is a corner for a boom of a width.
func (l lapWay) corner(i int, width float64) bool {
	n := len(l.ring) - 1
	if turn(l.ring[(i+n-1)%n], l.ring[i], l.ring[(i+1)%n]) > cornerCosine {
		return false
	}
	around := func(way float64) orb.Point {
		at, _ := l.at(math.Mod(l.far[i]+way+l.length(), l.length()))
		return at
	}
	half := float64(width / 2)
	before, after := around(-half), around(half)
	least := float64(straight * width / 2)
	return away(before, l.ring[i]) >= least && away(l.ring[i], after) >= least && turn(before, l.ring[i], after) <= cornerCosine
}

func away(a, b orb.Point) float64 { return samebits.Hypot(b[0]-a[0], b[1]-a[1]) }

// turn returns the cosine of the turn at b on the way from a to c.
func turn(a, b, c orb.Point) float64 {
	return (float64((b[0]-a[0])*(c[0]-b[0])) + float64((b[1]-a[1])*(c[1]-b[1]))) / float64(away(a, b)*away(b, c))
}

// corners returns the lap begun at its first corner, and how far along it the corners are:
// the end is one, if there is any.
func (l lapWay) corners(width float64) (lapWay, []float64) {
	n := len(l.ring) - 1
	var found []int
	for i := range n {
		if l.corner(i, width) {
			found = append(found, i)
		}
	}
	if len(found) == 0 {
		return l, nil
	}
	first := found[0]
	begun := newLapWay(append(append(orb.Ring{}, l.ring[first:n]...), l.ring[:first+1]...))
	var at []float64
	for _, i := range found[1:] {
		at = append(at, begun.far[i-first])
	}
	return begun, append(at, begun.length())
}

// smoothed returns the lap with its corners, and between them as a driver goes who does not
// follow what is smaller than the boom: the mean of the way from half a boom behind to half a
// boom ahead, less near a corner. Outlines that are drawn from cells have steps.
func (l lapWay) smoothed(corners []float64, width float64) (lapWay, []float64) {
	stops := corners
	if len(stops) == 0 {
		stops = []float64{l.length()}
	}
	ring, at, from := orb.Ring{l.ring[0]}, []int{}, 0.0
	for _, stop := range stops {
		n := int(math.Ceil((stop - from) / rampStep))
		sums := make([]orb.Point, n+2) // of the points before each
		for i := range n + 1 {
			p, _ := l.at(from + float64((stop-from)*float64(i))/float64(n))
			sums[i+1] = orb.Point{sums[i][0] + p[0], sums[i][1] + p[1]}
		}
		for i := 1; i <= n; i++ {
			beside := min(int(width/2/rampStep), i, n-i)
			a, b, count := sums[i-beside], sums[i+beside+1], float64(2*beside+1)
			ring = append(ring, orb.Point{(b[0] - a[0]) / count, (b[1] - a[1]) / count})
		}
		at, from = append(at, len(ring)-1), stop
	}
	out := newLapWay(ring)
	corners = slices.Clone(corners)
	for i := range corners {
		corners[i] = out.far[at[i]]
	}
	return out, corners
}

// lap is a lap with its corners, and with the zone under the boom on each of as many equal steps
// as there are zones; -1 for none.
type lap struct {
	lapWay
	corners []float64
	zones   []int32
}

func newLap(ring orb.Ring, width float64, zones zoneFinder) lap {
	way, corners := newLapWay(ring).corners(width)
	way, corners = way.smoothed(corners, width)
	l := lap{way, corners, make([]int32, int(math.Ceil(way.length()/rampStep)))}
	for i := range l.zones {
		from, to := l.step(i)
		p, ahead := l.at((from + to) / 2)
		l.zones[i] = -1
		for _, part := range sides {
			beside := float64(part * width)
			if z := zones.at(orb.Point{p[0] + float64(beside*ahead[1]), p[1] - float64(beside*ahead[0])}); z >= 0 {
				l.zones[i] = z
				break
			}
		}
	}
	return l
}

// step returns from where to where a step goes.
func (l lap) step(i int) (from, to float64) {
	n := float64(len(l.zones))
	return float64(l.length()*float64(i)) / n, float64(l.length()*float64(i+1)) / n
}

// legs cuts a lap where the target changes, to the length of a step.
func (l lap) legs(targets []float64) (legs []leg) {
	for i, z := range l.zones {
		from, to := l.step(i)
		target := 0.0
		if z >= 0 {
			target = targets[z]
		}
		if k := len(legs); k > 0 && legs[k-1].target == target {
			legs[k-1].to = to
		} else {
			legs = append(legs, leg{from, to, target})
		}
	}
	return legs
}

// lapLayer lays a lap, as a log of it would be.
type lapLayer struct {
	way    *way
	lap    lapWay
	laid   *swath.Laid
	log    track.Log
	places []orb.Point
}

// laps lays the laps of a headland.
func (w *way) laps(laid *swath.Laid, land headland, targets []float64) {
	if len(land.laps) == 0 {
		return
	}
	shut := land.shutting(w.width, w.sections, targets)
	for i, lap := range land.laps {
		legs := within(lap.legs(targets), openLegs(shut.laps[i]))
		at, steady := steadyLap{lap: i}, true
		for _, l := range legs {
			if l.target > 0 {
				steady = steady && (at.target == 0 || at.target == l.target)
				at.target = l.target
			}
		}
		one := shut.steady[at]
		if one == nil || !steady {
			one = w.lap(lap, legs, shut.laps[i])
		}
		if steady { // however early changes are called for, there are none
			shut.steady[at] = one
		}
		laid.Pieces = append(laid.Pieces, one.Pieces...)
		laid.Driven += one.Driven
		laid.Ledger.Pieces += one.Ledger.Pieces
		laid.Ledger.Standing += one.Ledger.Standing
	}
}

// lap lays a lap.
func (w *way) lap(of lap, legs []leg, runs []opening) *swath.Laid {
	corners := of.corners
	l := &lapLayer{way: w, lap: of.lapWay, laid: &swath.Laid{}, log: track.Log{Width: w.width, Machines: []string{""}}}
	if w.sections > 1 {
		l.log.Sections = slices.Repeat([]float64{w.width / float64(w.sections)}, w.sections)
	}
	l.place(0, 0, 0)
	last := 0.0
	w.run(legs, func(g leg) {
		for len(corners) > 0 && corners[0] <= g.from { // in ground that gets nothing
			l.stop(corners[0], 0)
			corners = corners[1:]
		}
		if g.from > last {
			l.place(g.from, 0, 0)
		}
		for last = g.from; last < g.to; {
			for runs[0].to <= last {
				runs = runs[1:]
			}
			to := min(g.to, runs[0].to)
			atCorner := len(corners) > 0 && corners[0] <= to
			if atCorner {
				to = corners[0]
			}
			n := math.Ceil((to - last) / (2 * rampStep))
			for i := 1.0; i <= n; i++ {
				l.place(last+float64((to-last)*i/n), g.target, runs[0].open)
			}
			if last = to; atCorner {
				l.stop(to, g.target)
				corners = corners[1:]
			}
		}
	})
	l.lay()
	return l.laid
}

// place adds a row a way along the lap, with the sections that are open; a rate of 0 is off.
func (l *lapLayer) place(at, rate float64, open uint64) {
	p, _ := l.lap.at(at)
	r := track.NewRow(p, 0)
	if r.Rate, r.Open = rate, open; rate == 0 {
		r.Open = 0
	}
	l.log.Rows, l.places = append(l.log.Rows, r), append(l.places, p)
}

// lay lays the rows so far.
func (l *lapLayer) lay() {
	laid := swath.Lay(&l.log, l.places, swath.Options{})
	l.laid.Pieces = append(l.laid.Pieces, laid.Pieces...)
	l.laid.Driven += laid.Driven
	l.laid.Ledger.Pieces += laid.Ledger.Pieces
	l.laid.Ledger.Standing += laid.Ledger.Standing
	l.log.Rows, l.places = l.log.Rows[:0], l.places[:0]
}

// stop ends a way in a corner, drives on to where the edges of its strip and of the next one
// meet, and begins the next one. Inside of the corner both lie on one another.
func (l *lapLayer) stop(at, rate float64) {
	l.lay()
	defer l.place(at, 0, 0)
	corner, in := l.lap.at(at)
	after := at
	if after >= l.lap.length() {
		after = 0
	}
	_, out := l.lap.at(after + 1e-6)
	// To the right: corners turn to the left, as a lap goes around what is in its way in arcs.
	side := l.way.width / 2
	half := math.Sqrt((1 + float64(in[0]*out[0]) + float64(in[1]*out[1])) / 2) // cosine of half the turn
	if rate == 0 || half < 0.35 {
		return
	}
	beside := func(x, y, far float64) orb.Point {
		return orb.Point{corner[0] + float64(far*y), corner[1] - float64(far*x)}
	}
	ring := [4]orb.Point{corner, beside(in[0], in[1], side), beside((in[0]+out[0])/(2*half), (in[1]+out[1])/(2*half), side/half), beside(out[0], out[1], side)}
	area := float64(side*side) * math.Sqrt(1-float64(half*half)) / half
	l.laid.Pieces = append(l.laid.Pieces, coverage.Piece{Ring: ring, Density: rate})
	l.laid.Driven += area
	l.laid.Ledger.Pieces += float64(rate * area)
}

// zoneFinder finds zones by place: those that reach into each square of a grid.
type zoneFinder struct {
	zones   *geo.Shapes
	squares map[[2]int][]int32
}

// squareSide is the side of the grid's squares, in meters.
const squareSide = 100

func squareOf(p orb.Point) [2]int {
	return [2]int{int(math.Floor(p[0] / squareSide)), int(math.Floor(p[1] / squareSide))}
}

func newZoneFinder(zones *geo.Shapes) zoneFinder {
	f := zoneFinder{zones, map[[2]int][]int32{}}
	for z := range zones.Len() {
		overSquares(zones.Shape(z).Bound(), func(at [2]int) { f.squares[at] = append(f.squares[at], int32(z)) })
	}
	return f
}

// at returns the first zone that holds a place; -1 for none.
func (f zoneFinder) at(p orb.Point) int32 {
	for _, z := range f.squares[squareOf(p)] {
		in := false
		for r, end := f.zones.ShapeRings(int(z)); r < end; r++ {
			ring := f.zones.Ring(r)
			for i := 1; i < len(ring); i++ {
				a, b := ring[i-1], ring[i]
				if (a[1] <= p[1]) != (b[1] <= p[1]) && p[0] < a[0]+float64((b[0]-a[0])*((p[1]-a[1])/(b[1]-a[1]))) {
					in = !in
				}
			}
		}
		if in {
			return z
		}
	}
	return -1
}
