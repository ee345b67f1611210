// Package lane lays a field out in lanes, as a machine drives it, and finds places in them for
// strips that are to be held against the lanes on both their sides.
//
// All is in meters of one plane.
package lane

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// Lanes are passes of one width, side by side from one edge of the ground to the other, in a
// frame whose passes run along its second axis.
type Lanes struct {
	Along orb.Point // unit vector
	Width float64
	Left  float64 // of the first
	Count int
}

// Over lays lanes over the points of some ground. They run at an azimuth, in degrees clockwise
// from north; the first begins outside the ground's edge by an offset.
func Over(points []orb.Point, azimuth, width, offset float64) Lanes {
	sin, cos := samebits.Sincos(azimuth * math.Pi / 180)
	l := Lanes{Along: orb.Point{sin, cos}, Width: width}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		x := l.Turn(p)[0]
		low, high = min(low, x), max(high, x)
	}
	l.Left = low - offset
	l.Count = max(0, int(math.Ceil((high-l.Left)/width-1e-6)))
	return l
}

// Turn brings a place into the frame: across to the right, and ahead.
func (l Lanes) Turn(p orb.Point) orb.Point {
	return orb.Point{float64(p[0]*l.Along[1]) - float64(p[1]*l.Along[0]), float64(p[0]*l.Along[0]) + float64(p[1]*l.Along[1])}
}

// Back undoes [Lanes.Turn].
func (l Lanes) Back(q orb.Point) orb.Point {
	return orb.Point{float64(q[0]*l.Along[1]) + float64(q[1]*l.Along[0]), float64(q[1]*l.Along[1]) - float64(q[0]*l.Along[0])}
}

// Box returns the ground between two sides and two ends of the frame, counter-clockwise.
func (l Lanes) Box(left, right, from, to float64) orb.Polygon {
	return orb.Polygon{{
		l.Back(orb.Point{left, from}), l.Back(orb.Point{right, from}), l.Back(orb.Point{right, to}),
		l.Back(orb.Point{left, to}), l.Back(orb.Point{left, from}),
	}}
}

// Side returns the left side of a lane.
func (l Lanes) Side(lane int) float64 { return l.Left + float64(float64(lane)*l.Width) }

// bend is how far an edge may turn off the one before and still go on with it, in degrees.
const bend = 1

// LongestEdge returns the azimuth, in degrees clockwise from north from 0 up to 180 and in tenths,
// of the longest straight edge of ground: along that machines drive. It is 0 of no ground.
func LongestEdge(mp orb.MultiPolygon) float64 {
	azimuth, longest := 0.0, 0.0
	for _, polygon := range mp {
		ring := polygon[0]
		for from := 0; from+1 < len(ring); {
			to := from + 1
			for to+1 < len(ring) && turn(ring[from], ring[from+1], ring[to], ring[to+1]) <= bend {
				to++
			}
			x, y := ring[to][0]-ring[from][0], ring[to][1]-ring[from][1]
			if way := samebits.Hypot(x, y); way > float64(longest*(1+1e-6)) {
				azimuth, longest = samebits.Atan2(x, y)*180/math.Pi, way
			}
			from = to
		}
	}
	return math.Mod(math.Round(azimuth*10)/10+180, 180)
}

// turn is by how many degrees the way from c to d is off that from a to b.
func turn(a, b, c, d orb.Point) float64 {
	x, y, u, v := b[0]-a[0], b[1]-a[1], d[0]-c[0], d[1]-c[1]
	cross, along := float64(x*v)-float64(y*u), float64(x*u)+float64(y*v)
	return math.Abs(samebits.Atan2(cross, along)) * 180 / math.Pi
}

// apart reports whether two places, each with the lanes beside it, share no ground.
func (p Place) apart(q Place) bool {
	lanes := p.Lane - q.Lane
	return lanes >= 3 || lanes <= -3 || p.From >= q.To-touching || q.From >= p.To-touching
}

func clear(p Place, taken []Place) bool {
	return !slices.ContainsFunc(taken, func(q Place) bool { return !p.apart(q) })
}

// Packed returns places that share no ground, as many as go in when they are taken from one side
// of the field to the other. More can't be drawn.
func Packed(places []Place) (packed []Place) {
	near := 0 // of those before, none reaches as far as the lane
	for _, p := range places {
		for near < len(packed) && packed[near].Lane <= p.Lane-3 {
			near++
		}
		if clear(p, packed[near:]) {
			packed = append(packed, p)
		}
	}
	return packed
}

// tries is how often a whole design is drawn anew where one of its blocks has no place left.
const tries = 50

// Draw draws n places that share no ground, one at random from each of n blocks of lanes that
// have equally many places; places are those of [Lanes.Places]. The same seed draws the same ones.
// Where no draw succeeds, the blocks are those of [Packed], from which one can always be drawn;
// where fewer than n are packed, nil is returned.
func Draw(places []Place, n int, seed uint64) []Place {
	packed := Packed(places)
	if n < 1 || len(packed) < n {
		return nil
	}
	source := rand.NewPCG(seed, 0)
	for range tries {
		if list := drawOnce(places, n, source); list != nil {
			return list
		}
	}
	return drawOnce(packed, n, source)
}

// drawOnce draws one place of each block; nil where one has none that is clear of the others.
func drawOnce(places []Place, n int, source *rand.PCG) (list []Place) {
	for i := range n {
		block := places[len(places)*i/n : len(places)*(i+1)/n]
		var open []Place
		for _, p := range block {
			if clear(p, list) {
				open = append(open, p)
			}
		}
		if len(open) == 0 {
			return nil
		}
		list = append(list, open[below(source, len(open))])
	}
	return list
}

// below draws a number from 0 to n, excluded. It goes by the generator's own numbers alone, which
// are laid down, so that a seed draws the same by every compiler.
func below(source *rand.PCG, n int) int {
	high, _ := bits.Mul64(source.Uint64(), uint64(n))
	return int(high)
}
