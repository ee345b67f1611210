package swath

import (
	"math"
	"sort"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/internal/samebits"
)

// Where the heading turns so much that ends of the boom would be more than 5 % faster or
// slower than its middle, the boom is cut into slices of 2 % each; the inner ones then get
// more, as they do in the field. Below that, noise of the headings would be all that is seen.
const (
	turnSeen   = 0.05
	turnSlice  = 0.02
	mostSlices = 32
)

// pivotCore is how far, in meters, from what a boom turns around its ground is one slice. The
// rate has no bound there, nobody knows the place better, and lines a quarter of a meter apart
// would miss amounts that lie on less. Half a line more than eight across, so that what lines
// miss at one edge of it they do not miss at the other.
const pivotCore = 1.0625

// piece lays the ground from one knot to the next: in a turn, along an arc in steps.
func (l *layer) piece(a, b knot, k link) {
	if !k.lays() {
		if k.open != 0 {
			l.laid.Odd.Zero++
		}
		return
	}
	if k.width == 0 {
		l.laid.Odd.NoWidth++
		return
	}
	l.laid.Widest = max(l.laid.Widest, k.width)
	if math.IsNaN(k.rate) {
		l.laid.Odd.NoRate++
	}
	from, to := boom{l.middle(a), a.along}, boom{l.middle(b), b.along}
	turned := from.turned(to)
	n := int(min(max(1, math.Ceil(math.Abs(turned)/turnStep)), mostSteps))
	if n > 1 && l.full() {
		n = 1
		l.laid.Odd.Rough++
	}
	for i := range n {
		next := to
		if i+1 < n {
			next = arc(boom{l.middle(a), a.along}, to, turned, float64(i+1)/float64(n))
		}
		l.strip(from, next, k)
		from = next
	}
}

// A step along an arc turns by a tenth of a radian: the chords of its outer end then leave
// out a sixth of a percent.
const (
	turnStep  = 0.1
	mostSteps = 32
)

// Turns are laid in steps and slices up to so many pieces. A machine stays far below; rows
// that turn wildly would make a thousand pieces each.
const (
	freePieces = 20_000
	eachPieces = 8 // of a row
)

// full reports whether turns are laid in one piece from here on, as those of rows that go to and
// fro are from the start.
func (l *layer) full() bool {
	return l.laid.Odd.Mixed || len(l.laid.Pieces) > freePieces+eachPieces*len(l.order)
}

// turned returns by how much the heading turns to the left from one place to another.
func (b boom) turned(to boom) float64 {
	return samebits.Atan2(float64(b.along[0]*to.along[1])-float64(b.along[1]*to.along[0]), dot(b.along, to.along))
}

// arc returns the boom on the way from one place to another, which turns evenly: a cubic
// that leaves and arrives in the direction of the headings.
func arc(from, to boom, turned, t float64) boom {
	length := distance(from.at, to.at)
	if half := turned / 2; half != 0 {
		length *= half / samebits.Sin(half)
	}
	p, q, u, v := from.at, to.at, from.along, to.along
	t2 := float64(t * t)
	t3 := float64(t2 * t)
	hp, hu, hv := 1+float64(2*t3)-float64(3*t2), t3-float64(2*t2)+t, t3-t2
	sin, cos := samebits.Sincos(float64(turned * t))
	b := boom{along: orb.Point{float64(u[0]*cos) - float64(u[1]*sin), float64(u[1]*cos) + float64(u[0]*sin)}}
	for i := range b.at {
		b.at[i] = float64(hp*p[i]) + float64((1-hp)*q[i]) + float64(length*hu*u[i]) + float64(length*hv*v[i])
	}
	return b
}

// strip lays the ground between two places of the boom.
func (l *layer) strip(from, to boom, k link) {
	way := distance(from.at, to.at)
	if way == 0 {
		return
	}
	for _, s := range l.openRuns(k) {
		area := float64((s.left - s.right) * way)
		if math.IsNaN(k.rate) {
			l.laid.Odd.NoRateOn += area
			continue
		}
		l.laid.Driven += area
		l.slices(from, to, s, way, k)
	}
}

// middle returns where the middle of the boom is.
func (l *layer) middle(k knot) orb.Point {
	back, left := l.log.Back, l.log.Left
	return orb.Point{
		k.at[0] - float64(back*k.along[0]) + float64(left*k.along[1]),
		k.at[1] - float64(back*k.along[1]) - float64(left*k.along[0]),
	}
}

// boom is a place of the boom and the way that it moves.
type boom struct{ at, along orb.Point }

// ahead returns how far the boom comes square to itself: what a receiver's noise moves it along
// itself covers no ground.
func (b boom) ahead(to boom) float64 {
	square := direction(orb.Point{}, orb.Point{b.along[0] + to.along[0], b.along[1] + to.along[1]})
	return math.Abs(dot(minus(to.at, b.at), square))
}

// point returns the place of the boom at a distance left of its middle.
func (b boom) point(left float64) orb.Point {
	return orb.Point{b.at[0] - float64(left*b.along[1]), b.at[1] + float64(left*b.along[0])}
}

// run is a part of the boom, by distances left of its middle.
type run struct{ left, right float64 }

// openRuns returns the parts of the boom that are open, neighbors joined.
func (l *layer) openRuns(k link) (runs []run) {
	if len(l.log.Sections) == 0 {
		return []run{{k.width / 2, -k.width / 2}}
	}
	whole := 0.0
	for _, s := range l.log.Sections {
		whole += s
	}
	at := k.width / 2
	for i, s := range l.log.Sections {
		next := at - float64(s*(k.width/whole))
		if k.open&(1<<i) != 0 {
			if n := len(runs); n > 0 && runs[n-1].right == at {
				runs[n-1].right = next
			} else {
				runs = append(runs, run{at, next})
			}
		}
		at = next
	}
	return runs
}

// slices lays a part of the boom, in one piece or, in a turn, in slices that each get the
// same amount over their own ground.
func (l *layer) slices(from, to boom, s run, way float64, k link) {
	width := s.left - s.right
	unequal := math.Abs(from.turned(to)) * max(math.Abs(s.left), math.Abs(s.right)) / way
	straight := unequal <= turnSeen && !l.full()
	amount := float64(k.rate * width * way)
	if straight {
		amount = float64(k.rate * width * from.ahead(to))
	}
	l.laid.Ledger.Pieces += amount
	if straight {
		l.laid.Pieces = append(l.laid.Pieces, coverage.Piece{Ring: quad(from, to, s), Density: k.rate, Product: l.options.Product})
		return
	}
	parts := []run{s}
	if !l.full() {
		parts = sliced(s, from.turned(to)/way, width/min(math.Ceil(unequal/turnSlice), mostSlices))
	}
	rest := 0.0 // of slices that swept nothing
	for _, slice := range parts {
		piece := coverage.Piece{Ring: quad(from, to, slice), Product: l.options.Product}
		share := float64(amount*((slice.left-slice.right)/width)) + rest
		area := swept(piece.Ring)
		if area < 1e-6 {
			rest = share
			continue
		}
		rest, piece.Density = 0, share/area
		l.laid.Pieces = append(l.laid.Pieces, piece)
	}
	l.laid.Ledger.Pieces -= rest
	l.laid.Ledger.Standing += rest
}

// sliced cuts a part of the boom where a turn has its ground get a tenth less or more than the
// rate, as that is where it begins to miss its target, and in between into slices that are
// no wider than asked for, but for the core around the pivot. At a distance s left of the middle
// that is r/|1-κs|, with the curvature κ of a turn to the left.
func sliced(s run, curvature, widest float64) (slices []run) {
	cuts := []float64{s.left}
	for _, tenth := range [...]float64{1 - 1/1.1, 1 - 1/0.9, 1 + 1/1.1, 1 + 1/0.9} {
		if at := tenth / curvature; s.right < at && at < s.left {
			cuts = append(cuts, at)
		}
	}
	pivot := 1 / curvature
	core := min(pivotCore, math.Abs(pivot)/2)
	for _, at := range [...]float64{pivot - core, pivot + core} {
		if s.right < at && at < s.left {
			cuts = append(cuts, at)
		}
	}
	cuts = append(cuts, s.right)
	sort.Sort(sort.Reverse(sort.Float64Slice(cuts)))
	for i, left := range cuts[:len(cuts)-1] {
		width := left - cuts[i+1]
		n := math.Ceil(width/widest - 1e-9)
		if math.Abs(float64((left+cuts[i+1])/2)-pivot) < core {
			n = 1
		}
		for k := range int(n) {
			slices = append(slices, run{left - float64(float64(k)/n*width), left - float64(float64(k+1)/n*width)})
		}
	}
	return slices
}

func quad(from, to boom, s run) [4]orb.Point {
	return [4]orb.Point{from.point(s.left), from.point(s.right), to.point(s.right), to.point(s.left)}
}

// swept returns the ground of a piece, both lobes of a bow tie.
func swept(r [4]orb.Point) float64 {
	// The sides that may cross are those that the ends of the boom ran along.
	if x, ok := crossing(r[0], r[3], r[1], r[2]); ok {
		return math.Abs(triangle(r[0], r[1], x)) + math.Abs(triangle(r[2], r[3], x))
	}
	if x, ok := crossing(r[0], r[1], r[2], r[3]); ok {
		return math.Abs(triangle(r[0], r[3], x)) + math.Abs(triangle(r[1], r[2], x))
	}
	return math.Abs(triangle(r[0], r[1], r[2]) + triangle(r[0], r[2], r[3]))
}

func triangle(a, b, c orb.Point) float64 {
	return float64((float64((b[0]-a[0])*(c[1]-a[1])) - float64((c[0]-a[0])*(b[1]-a[1]))) / 2)
}

// crossing returns where two segments cross, if they do.
func crossing(a, b, c, d orb.Point) (orb.Point, bool) {
	t, u := triangle(a, b, c), triangle(a, b, d)
	v, w := triangle(c, d, a), triangle(c, d, b)
	if !(t*u < 0 && v*w < 0) {
		return orb.Point{}, false
	}
	s := v / (v - w)
	return orb.Point{a[0] + float64(s*(b[0]-a[0])), a[1] + float64(s*(b[1]-a[1]))}, true
}
