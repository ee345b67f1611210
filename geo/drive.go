package geo

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// DrivePath is a way over ground: parallel swaths, the turns from one to the next, and
// what is run over empty. The zero value is that over none.
type DrivePath struct {
	Swaths int         // that are driven
	Length unit.Length // of the swaths and of the runs between them, without the turns
	Turns  int         // from one swath to the next
}

// Driven returns the ground that the machine covers on the path with swaths of a width:
// what it treats, what it runs over empty, and what it covers twice.
func (p DrivePath) Driven(swath unit.Length) unit.Area {
	return meters2(float64(p.Length/unit.Meter) * float64(swath/unit.Meter))
}

// Time returns how long the path takes at a speed, above 0, with a time for each turn.
func (p DrivePath) Time(speed unit.Speed, turn unit.Time) unit.Time {
	hours := float64(p.Length/unit.Foot) / feetPerMile / float64(speed/unit.MilePerHour)
	return unit.Time(unit.Time(hours)*unit.Hour) + unit.Time(unit.Time(p.Turns)*turn)
}

const feetPerMile = 5280

// Machine is what decides a path.
type Machine struct {
	Swath unit.Length // above 0
	Turn  unit.Length // how far the machine would drive in the time of one turn, 0 or more
}

// Why a path can't be worked out.
var (
	errSwath      = errors.New("the swath is not above 0")
	errManySwaths = errors.New("the ground is more than 20 000 swaths across")
)

// mostSwaths bounds the work of ground that is huge, or of a swath that is tiny.
const mostSwaths = 20_000

// Drive returns the path of a machine over the records of a lon/lat layer for which
// keep is true, all if it is nil.
//
// Swaths lie side by side from one edge of the ground to the other. Each is driven from
// the first to the last point of the ground that lies in it, so that a gap or a hole in
// between is run over empty; one without ground is left out. From the end of a swath
// the machine goes to an end of the next, so that these runs are least in all; what
// they are farther than the width of a swath is driven too. A strip of less than a
// hundredth of a swath is no swath of its own. Of the directions along the sides of the
// ground's convex hull the four with the fewest swaths are tried, of equals those along
// longer sides, and the one is taken that takes the least time. On ground of many parts
// or of a jagged outline another side may take less. Distances are those of a plane that is scaled at the middle of the layer,
// true to a thousandth over 10 km.
func (m Machine) Drive(shapes *Shapes, keep func(record int) bool) (DrivePath, error) {
	if !(m.Swath > 0) {
		return DrivePath{}, errSwath
	}
	g := newDriven(shapes, keep)
	if len(g.hull) < 3 {
		return DrivePath{}, nil
	}
	ways := directions(g.hull, float64(m.Swath/unit.Meter))
	for _, w := range ways {
		if w.swaths > mostSwaths {
			return DrivePath{}, errManySwaths
		}
	}
	best, least := DrivePath{}, math.Inf(1)
	for _, strips := range g.along(ways, float64(m.Swath/unit.Meter)) {
		p := join(strips, float64(m.Swath/unit.Meter))
		if c := float64(p.Length) + float64(float64(p.Turns)*float64(m.Turn)); c < least*(1-1e-9) {
			best, least = p, c
		}
	}
	return best, nil
}

// driven is the ground that a machine goes over, ring by ring.
type driven struct {
	shapes *Shapes
	rings  []int32
	plane  plane
	hull   []orb.Point // meters, counter-clockwise
}

func newDriven(shapes *Shapes, keep func(record int) bool) driven {
	box := shapes.Extent()
	g := driven{shapes: shapes, plane: plane{box.Center(), LonLatScale(box)}}
	for i := range shapes.Len() {
		if keep != nil && !keep(i) {
			continue
		}
		for r, end := shapes.ShapeRings(i); r < end; r++ {
			g.rings = append(g.rings, int32(r))
		}
	}
	inner := g.octagon()
	outer := cores.Collect(len(g.rings), cores.Block, func(from, to int) []orb.Point {
		var out []orb.Point
		for _, r := range g.rings[from:to] {
			ring := shapes.Ring(int(r))
			for _, p := range ring[min(1, len(ring)):] { // the first stands at the end again
				if !within(inner, p) {
					out = append(out, p)
				}
			}
		}
		return convexHull(out)
	})
	g.hull = convexHull(append(outer, inner...))
	for i, p := range g.hull {
		g.hull[i] = g.plane.meters(p)
	}
	g.hull = firm(g.hull)
	return g
}

// octagon returns the convex ring of the points that are farthest out in eight
// directions, of some rings, in degrees. Most points lie in it: to sort them all for
// the hull would cost more than the rest.
func (g driven) octagon() []orb.Point {
	var far octagon
	every := max(1, min(stride, len(g.rings)/stride)) // of few rings, all
	for i := 0; i < len(g.rings); i += every {
		for _, p := range g.shapes.Ring(int(g.rings[i])) {
			far.widen(p)
		}
	}
	if !far.some {
		return nil
	}
	return convexHull(slices.Concat(far.low[:], far.high[:]))
}

// octagon is the points that are farthest out to the west, south, southwest and
// northwest, and opposite.
type octagon struct {
	least, most [4]float64
	low, high   [4]orb.Point
	some        bool
}

func (o *octagon) widen(p orb.Point) {
	for i, at := range [4]float64{p[0], p[1], p[0] + p[1], p[0] - p[1]} {
		if !o.some || at < o.least[i] {
			o.least[i], o.low[i] = at, p
		}
		if !o.some || at > o.most[i] {
			o.most[i], o.high[i] = at, p
		}
	}
	o.some = true
}

// within reports whether a point is in a convex ring or on it, nearly.
func within(hull []orb.Point, p orb.Point) bool {
	if len(hull) < 3 {
		return false
	}
	a := hull[len(hull)-1]
	for _, b := range hull {
		if off(a, b, p) < 0 {
			return false
		}
		a = b
	}
	return true
}

// direction is a way to drive.
type direction struct {
	along  orb.Point // of length 1
	low    float64   // how far the right edge of the ground lies to the left of the origin
	swaths float64   // that it takes
	side   float64   // meters that it goes along the hull
}

// across is how far a point lies to the left of a direction, ahead how far along it.
func (d direction) across(p orb.Point) float64 {
	return float64(d.along[0]*p[1]) - float64(d.along[1]*p[0])
}

func (d direction) ahead(p orb.Point) float64 {
	return float64(d.along[0]*p[0]) + float64(d.along[1]*p[1])
}

const (
	mostDirections = 4    // that are driven in the mind
	leastStrip     = 0.01 // of a swath's width that is a swath of its own
)

// directions lists those along the sides of a hull, the ones first whose hull is
// narrowest across and whose side is longest: of many, those that promise the least.
func directions(hull []orb.Point, width float64) []direction {
	var list []direction
	far := 1 // the corner farthest to the left only goes forward
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		side := samebits.Hypot(b[0]-a[0], b[1]-a[1])
		d := direction{along: orb.Point{(b[0] - a[0]) / side, (b[1] - a[1]) / side}, side: side}
		for n := 0; n < len(hull) && d.across(hull[(far+1)%len(hull)]) > d.across(hull[far]); n++ {
			far = (far + 1) % len(hull)
		}
		d.low = d.across(a)
		d.swaths = max(1, math.Ceil((d.across(hull[far])-d.low)/width-leastStrip))
		list = append(list, d)
	}
	slices.SortStableFunc(list, func(a, b direction) int {
		return cmp.Or(cmp.Compare(a.swaths, b.swaths), cmp.Compare(b.side, a.side))
	})
	var some []direction
	for _, d := range list {
		same := func(o direction) bool { return math.Abs(o.across(d.along)) < 1e-3 }
		if len(some) == mostDirections {
			break
		}
		if !slices.ContainsFunc(some, same) {
			some = append(some, d)
		}
	}
	return some
}

// swath is how far the ground in a strip reaches along the direction.
type swath struct{ first, last float64 }

func (s *swath) widen(u float64) {
	if u < s.first {
		s.first = u
	}
	if u > s.last {
		s.last = u
	}
}

// shares is how many parts the rings are dealt to: strips are kept for each.
const shares = 8

// stride says which rings are taken first: once a few have shown how far things reach,
// most of the others are seen to lie within.
const stride = 32

// along returns the strips of each direction.
func (g driven) along(ways []direction, width float64) [][]swath {
	parts := cores.Map(len(g.rings), max(1, (len(g.rings)+shares-1)/shares), func(from, to int) [][]swath {
		strips := make([][]swath, len(ways))
		for i, d := range ways {
			strips[i] = make([]swath, int(d.swaths))
			for k := range strips[i] {
				strips[i][k] = swath{math.Inf(1), math.Inf(-1)}
			}
		}
		m := marker{driven: g, ways: ways, strips: strips, width: width}
		for i := from; i < to; i += stride {
			m.mark(g.rings[i])
		}
		for i := from; i < to; i++ {
			if (i-from)%stride != 0 {
				m.mark(g.rings[i])
			}
		}
		return strips
	})
	for _, part := range parts[1:] {
		for w := range ways {
			for k, s := range part[w] {
				all := &parts[0][w][k]
				all.first, all.last = min(all.first, s.first), max(all.last, s.last)
			}
		}
	}
	return parts[0]
}

// marker widens the strips of some directions, ring by ring.
type marker struct {
	driven
	ways   []direction
	strips [][]swath // of each direction
	width  float64   // of a strip, in meters
	ring   []orb.Point
}

func (m *marker) mark(r int32) {
	m.ring = m.ring[:0]
	for _, p := range m.shapes.Ring(int(r)) {
		m.ring = append(m.ring, m.plane.meters(p))
	}
	box := bound(m.ring)
	for i, d := range m.ways {
		if !d.marked(m.strips[i], box, m.width) {
			d.mark(m.strips[i], m.ring, m.width)
		}
	}
}

// marked reports whether strips reach beyond a box already.
func (d direction) marked(strips []swath, box orb.Bound, width float64) bool {
	hx, hy := float64((box.Max[0]-box.Min[0])/2), float64((box.Max[1]-box.Min[1])/2)
	mid := orb.Point{box.Min[0] + hx, box.Min[1] + hy}
	u, v := d.ahead(mid), (d.across(mid)-d.low)/width
	far := float64(math.Abs(d.along[0])*hx) + float64(math.Abs(d.along[1])*hy)
	wide := (float64(math.Abs(d.along[0])*hy) + float64(math.Abs(d.along[1])*hx)) / width
	to := min(int(v+wide), len(strips)-1)
	for i := max(0, int(v-wide)); i <= to; i++ {
		if s := strips[i]; s.first > u-far || s.last < u+far {
			return false
		}
	}
	return true
}

// mark widens the strips that the edges of a ring run through by their part in each.
func (d direction) mark(strips []swath, ring []orb.Point, width float64) {
	var last orb.Point
	for i, p := range ring {
		q := orb.Point{d.ahead(p), (d.across(p) - d.low) / width}
		if i > 0 {
			markEdge(strips, last, q)
		}
		last = q
	}
}

// markEdge takes the ends of an edge as meters ahead and as strips across. What lies
// less than [leastStrip] inside a strip is not in it: another edge of the same ring
// leads farther in, or the ring is not there either.
func markEdge(strips []swath, a, b orb.Point) {
	if a[1] > b[1] {
		a, b = b, a
	}
	from, to := int(a[1]+leastStrip), int(math.Floor(b[1]-leastStrip))
	switch {
	case from > to:
		return
	case from == to && from < len(strips):
		strips[from].widen(a[0])
		strips[from].widen(b[0])
		return
	}
	ahead := (b[0] - a[0]) / (b[1] - a[1])
	for i := from; i <= min(to, len(strips)-1); i++ {
		strips[i].widen(a[0] + float64(ahead*(max(a[1], float64(i))-a[1])))
		strips[i].widen(a[0] + float64(ahead*(min(b[1], float64(i+1))-a[1])))
	}
}

// join drives strips in their order, each from the end that makes the runs between them the least
// in all: where an end is as near as the other, noise of the ground decides nothing.
func join(strips []swath, width float64) DrivePath {
	p := DrivePath{}
	length, last := 0.0, 0
	var at, runs [2]float64 // where the machine may stand, at the first or the last point of its swath; the least of the runs that lead there
	for i, s := range strips {
		if s.last < s.first {
			continue
		}
		if p.Swaths > 0 {
			side := float64(i-last-1) * width
			to := func(end float64) float64 {
				return min(runs[0]+samebits.Hypot(end-at[0], side), runs[1]+samebits.Hypot(end-at[1], side))
			}
			runs = [2]float64{to(s.last), to(s.first)}
		}
		length, at, last = length+(s.last-s.first), [2]float64{s.first, s.last}, i
		p.Swaths++
	}
	p.Turns = max(0, p.Swaths-1)
	p.Length = unit.Length(length+min(runs[0], runs[1])) * unit.Meter
	return p
}
