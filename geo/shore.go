package geo

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// shore is the boundary of a polygon in lon/lat, laid out in meters from the lower
// left corner of its box, to be asked how far away it is.
type shore struct {
	plane plane
	box   orb.Bound // degrees
	sides []side
	boxes *boxtree.Tree // of the sides
}

type side struct{ a, b orb.Point }

func newShore(polygon orb.Polygon) *shore {
	box := bound(polygon[0])
	s := &shore{plane: plane{box.Min, LonLatScale(box)}, box: box}
	for _, ring := range polygon {
		for i := 1; i < len(ring); i++ {
			s.sides = append(s.sides, side{s.plane.meters(ring[i-1]), s.plane.meters(ring[i])})
		}
	}
	s.boxes = boxtree.New(len(s.sides), func(i int) orb.Bound { return boxtree.Segment(s.sides[i].a, s.sides[i].b) })
	return s
}

// sizeOf returns the sides of a polygon's box in meters.
func sizeOf(polygon orb.Polygon) orb.Point {
	box := bound(polygon[0])
	return plane{box.Min, LonLatScale(box)}.meters(box.Max)
}

// room returns how far a point is from the boundary, which must be within the given
// distance: negative outside the polygon.
func (s *shore) room(p orb.Point, within float64) float64 {
	if s.inside(p) {
		return s.distance(p, within)
	}
	return -s.distance(p, within)
}

// distance returns how far a point is from the boundary, which must be within the
// given distance.
func (s *shore) distance(p orb.Point, within float64) float64 {
	least := within * within * (1 + 1e-12)
	s.boxes.Search(
		func(o orb.Bound) bool { return toBox2(p, o) <= least },
		func(i int32) bool {
			least = min(least, toSegment2(p, s.sides[i].a, s.sides[i].b))
			return true
		})
	return math.Sqrt(least)
}

// inside reports whether a point is in the polygon.
func (s *shore) inside(p orb.Point) bool { return oddAbove(s.sides, s.boxes, p) }

// oddAbove reports whether an odd number of the sides, which are in a tree of boxes,
// is above a point: whether it is inside the rings that they make.
func oddAbove(sides []side, boxes *boxtree.Tree, p orb.Point) bool {
	odd := false
	boxes.Search(
		func(o orb.Bound) bool { return o.Min[0] <= p[0] && p[0] <= o.Max[0] && p[1] <= o.Max[1] },
		func(i int32) bool {
			if y, ok := heightAt(sides[i].a, sides[i].b, p[0]); ok && y > p[1] {
				odd = !odd
			}
			return true
		})
	return odd
}

// heightAt returns where the segment ab crosses the vertical line at x; of its ends
// it holds the right one only, so that a ring crosses the line an even number of
// times.
func heightAt(a, b orb.Point, x float64) (y float64, ok bool) {
	if (a[0] < x) == (b[0] < x) {
		return 0, false
	}
	return a[1] + (x-a[0])/(b[0]-a[0])*(b[1]-a[1]), true
}

// toBox2 returns the square of the distance from a point to a box.
func toBox2(p orb.Point, o orb.Bound) float64 {
	dx := max(o.Min[0]-p[0], p[0]-o.Max[0], 0)
	dy := max(o.Min[1]-p[1], p[1]-o.Max[1], 0)
	return dx*dx + dy*dy
}

// degrees undoes meters.
func (p plane) degrees(q orb.Point) orb.Point {
	return orb.Point{q[0]/p.scale.X + p.origin[0], q[1]/p.scale.Y + p.origin[1]}
}
