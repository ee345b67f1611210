package geo

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// How far the circle of [InscribedCircle] may be from the largest one.
const (
	circleShare = 0.005 // of its radius
	circleLeast = 0.01  // meters
	circleSide  = 1e-5  // of the polygon's longer side, which bounds the work on slivers
)

// InscribedCircle returns a circle that fits into a polygon in lon/lat, about the
// largest one: twice its radius is how wide the polygon is where it is widest. No
// circle has a radius that is larger by more than the largest of 0.5 %, 1 cm and a
// hundred-thousandth of the polygon's longer side. Rings may wind either way.
//
// Distances are those of a plane that is scaled at the middle of the polygon: over
// a field 2 km high at 60° of latitude they are off by 0.03 %. Without ground the
// radius is 0.
//
// Squares that may hold a better center than the best one so far are quartered, the
// most promising first: a center within a square of half-diagonal h is farther from
// the boundary than the square's middle by h at most.
func InscribedCircle(polygon orb.Polygon) (center orb.Point, radius unit.Length) {
	return inscribedCircle(polygon, 0, math.Inf(1))
}

// InscribedCircleFor asks whether there is room for a circle, which is quicker than
// to find the largest: it returns the first circle that it finds whose radius is
// enough; else one that is too small, and not always the largest.
func InscribedCircleFor(polygon orb.Polygon, enough unit.Length) (center orb.Point, radius unit.Length) {
	return inscribedCircle(polygon, unit.Meters(enough), unit.Meters(enough))
}

func inscribedCircle(polygon orb.Polygon, least, enough float64) (center orb.Point, radius unit.Length) {
	if len(polygon) == 0 || len(polygon[0]) == 0 {
		return orb.Point{}, 0
	}
	if size := sizeOf(polygon); min(size[0], size[1])/2 < least {
		return polygon[0][0], 0
	}
	b := newBoundary(polygon)
	best := b.widest(least, enough)
	if best.room <= 0 {
		return polygon[0][0], 0
	}
	return b.plane.degrees(best.middle), unit.Length(best.room) * unit.Meter
}

// quad is a square part of the plane that is searched.
type quad struct {
	middle orb.Point
	half   float64 // of its side
	room   float64 // from the middle to the boundary; negative outside the polygon
	number int     // in the order of making
}

// most is the most room that a point of the square can have.
func (q quad) most() float64 { return q.room + q.half*math.Sqrt2 }

// widest returns the square whose middle is the center of the largest circle; it is
// content with a radius that is enough, and gives up where none can reach the least.
func (b *boundary) widest(least, enough float64) quad {
	size := b.plane.meters(b.box.Max)
	long := max(size[0], size[1])
	root := quad{middle: orb.Point{size[0] / 2, size[1] / 2}, half: long / 2}
	root.room = b.room(root.middle, math.Inf(1))
	best := root
	slack := max(circleLeast, circleSide*long)
	for queue := (quads{root}); len(queue) > 0 && best.room < enough; {
		q := heap.Pop(&queue).(quad)
		if q.most() < least || q.most() <= best.room+max(slack, circleShare*best.room) {
			break
		}
		for i, child := range b.quarters(q) {
			child.number = 4*q.number + i + 1
			if child.room > best.room {
				best = child
			}
			if child.most() > best.room {
				heap.Push(&queue, child)
			}
		}
	}
	return best
}

// quarters returns the four quarters of a square, measured. What is known of the
// square bounds the search around each quarter's middle, and a quarter whose middle
// is no farther than the boundary lies on the same side of it.
func (b *boundary) quarters(q quad) [4]quad {
	var out [4]quad
	half := q.half / 2
	step := half * math.Sqrt2
	for i := range out {
		p := orb.Point{q.middle[0] + half*float64(2*(i%2)-1), q.middle[1] + half*float64(2*(i/2)-1)}
		out[i] = quad{middle: p, half: half}
		switch {
		case q.room > step:
			out[i].room = b.distance(p, q.room+step)
		case q.room < -step:
			out[i].room = -b.distance(p, step-q.room)
		default:
			out[i].room = b.room(p, math.Abs(q.room)+step)
		}
	}
	return out
}

// quads is a queue, the most promising square first.
type quads []quad

func (s quads) Len() int      { return len(s) }
func (s quads) Swap(i, j int) { s[i], s[j] = s[j], s[i] }
func (s quads) Less(i, j int) bool {
	if a, b := s[i].most(), s[j].most(); a != b {
		return a > b
	}
	return s[i].number < s[j].number
}

func (s *quads) Push(q any) { *s = append(*s, q.(quad)) }

func (s *quads) Pop() any {
	last := len(*s) - 1
	q := (*s)[last]
	*s = (*s)[:last]
	return q
}

// boundary is the rings of a polygon in lon/lat, laid out in meters from the lower
// left corner of its box. It tells how far away it is.
type boundary struct {
	plane plane
	box   orb.Bound // degrees
	sides *sides    // meters
}

func newBoundary(polygon orb.Polygon) *boundary {
	box := bound(polygon[0])
	b := &boundary{plane: plane{box.Min, LonLatScale(box)}, box: box}
	b.sides = newSides(orb.MultiPolygon{polygon}, b.plane.meters)
	return b
}

// sizeOf returns the sides of a polygon's box in meters.
func sizeOf(polygon orb.Polygon) orb.Point {
	box := bound(polygon[0])
	return plane{box.Min, LonLatScale(box)}.meters(box.Max)
}

// room returns how far a point is from the boundary, which must be within the given
// distance: negative outside the polygon.
func (b *boundary) room(p orb.Point, within float64) float64 {
	if b.sides.around(p) {
		return b.distance(p, within)
	}
	return -b.distance(p, within)
}

// distance returns how far a point is from the boundary, which must be within the
// given distance.
func (b *boundary) distance(p orb.Point, within float64) float64 {
	least := within * within * (1 + 1e-12)
	b.sides.boxes.Search(
		func(o orb.Bound) bool { return toBox2(p, o) <= least },
		func(i int32) bool {
			least = min(least, toSegment2(p, b.sides.list[i].a, b.sides.list[i].b))
			return true
		})
	return math.Sqrt(least)
}

// toBox2 returns the square of the distance from a point to a box.
func toBox2(p orb.Point, o orb.Bound) float64 {
	dx := max(o.Min[0]-p[0], p[0]-o.Max[0], 0)
	dy := max(o.Min[1]-p[1], p[1]-o.Max[1], 0)
	return dx*dx + dy*dy
}
