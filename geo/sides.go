package geo

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// side is an edge of a polygon's ring.
type side struct {
	a, b    orb.Point
	polygon int32
}

// sides are the edges of polygons. They are found by place.
type sides struct {
	list  []side
	boxes *boxtree.Tree
}

// newSides lists the sides of polygons, with each point as place lays it out.
func newSides(polygons orb.MultiPolygon, place func(orb.Point) orb.Point) *sides {
	s := &sides{}
	for i, polygon := range polygons {
		for _, ring := range polygon {
			for k := 1; k < len(ring); k++ {
				s.list = append(s.list, side{place(ring[k-1]), place(ring[k]), int32(i)})
			}
		}
	}
	s.boxes = boxtree.New(len(s.list), func(i int) orb.Bound { return boxtree.Segment(s.list[i].a, s.list[i].b) })
	return s
}

func asDrawn(p orb.Point) orb.Point { return p }

// around reports whether a point is inside the rings: whether an odd number of
// sides is above it.
func (s *sides) around(p orb.Point) bool {
	odd := false
	s.boxes.Search(
		func(o orb.Bound) bool { return o.Min[0] <= p[0] && p[0] <= o.Max[0] && p[1] <= o.Max[1] },
		func(i int32) bool {
			if y, ok := heightAt(s.list[i].a, s.list[i].b, p[0]); ok && y > p[1] {
				odd = !odd
			}
			return true
		})
	return odd
}

// holder returns the polygon that a point is in, of polygons that share no ground:
// that of the first side above the point. It is -1 if there is none.
func (s *sides) holder(p orb.Point) int32 {
	lowest, polygon := math.Inf(1), int32(-1)
	s.boxes.Search(
		func(o orb.Bound) bool {
			return o.Min[0] <= p[0] && p[0] <= o.Max[0] && p[1] <= o.Max[1] && o.Min[1] <= lowest
		},
		func(i int32) bool {
			if y, ok := heightAt(s.list[i].a, s.list[i].b, p[0]); ok && y >= p[1] && y < lowest {
				lowest, polygon = y, s.list[i].polygon
			}
			return true
		})
	return polygon
}

// meet reports whether a side may pass through a box.
func (s *sides) meet(box orb.Bound) (hit bool) {
	s.boxes.Search(boxtree.In(box), func(int32) bool {
		hit = true
		return false
	})
	return hit
}

// heightAt returns where the segment ab crosses the vertical line at x; of its ends
// it holds the right one only, so that a ring crosses the line an even number of
// times.
func heightAt(a, b orb.Point, x float64) (y float64, ok bool) {
	if (a[0] < x) == (b[0] < x) {
		return 0, false
	}
	return a[1] + float64((x-a[0])/(b[0]-a[0])*(b[1]-a[1])), true
}
