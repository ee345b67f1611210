package ground

import (
	"math"
	"sort"

	"github.com/paulmach/orb"

	"rxsplit/geo"
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
		l.far[i] = l.far[i-1] + samebits.Hypot(ring[i][0]-ring[i-1][0], ring[i][1]-ring[i-1][1])
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

// lap lays a lap, as a log of it would be.
func (w *way) lap(laid *swath.Laid, ring orb.Ring, zones zoneFinder, targets []float64) {
	l := newLapWay(ring)
	log := &track.Log{Width: w.width, Machines: []string{""}}
	var places []orb.Point
	place := func(at, rate float64) {
		p, _ := l.at(at)
		r := track.NewRow(p, 0)
		if r.Rate = rate; rate == 0 {
			r.Open = 0
		}
		log.Rows, places = append(log.Rows, r), append(places, p)
	}
	place(0, 0)
	last := 0.0
	w.run(w.lapLegs(l, zones, targets), func(g leg) {
		if g.from > last {
			place(g.from, 0)
		}
		n := math.Ceil((g.to - g.from) / (2 * rampStep))
		for i := 1.0; i <= n; i++ {
			place(g.from+float64((g.to-g.from)*i/n), g.target)
		}
		last = g.to
	})
	lap := swath.Lay(log, places, swath.Options{})
	laid.Pieces = append(laid.Pieces, lap.Pieces...)
	laid.Driven += lap.Driven
	laid.Ledger.Pieces += lap.Ledger.Pieces
	laid.Ledger.Standing += lap.Ledger.Standing
}

// lapLegs cuts a lap where the target changes, to the length of a step.
func (w *way) lapLegs(l lapWay, zones zoneFinder, targets []float64) (legs []leg) {
	n := math.Ceil(l.length() / rampStep)
	for i := range int(n) {
		from, to := float64(l.length()*float64(i))/n, float64(l.length()*float64(i+1))/n
		p, ahead := l.at((from + to) / 2)
		target := 0.0
		for _, part := range sides {
			beside := float64(part * w.width)
			if z := zones.at(orb.Point{p[0] + float64(beside*ahead[1]), p[1] - float64(beside*ahead[0])}); z >= 0 {
				target = targets[z]
				break
			}
		}
		if k := len(legs); k > 0 && legs[k-1].target == target {
			legs[k-1].to = to
		} else {
			legs = append(legs, leg{from, to, target})
		}
	}
	return legs
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
		box := zones.Shape(z).Bound()
		low, high := squareOf(box.Min), squareOf(box.Max)
		for x := low[0]; x <= high[0]; x++ {
			for y := low[1]; y <= high[1]; y++ {
				f.squares[[2]int{x, y}] = append(f.squares[[2]int{x, y}], int32(z))
			}
		}
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
