package invent_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"rxsplit/geo"
)

// ways counts how often each directed edge is used by the rings of a layer.
func ways(s *geo.Shapes) map[[2]orb.Point]int {
	count := map[[2]orb.Point]int{}
	for r := range s.RingEnds {
		ring := s.Ring(r)
		for i := range ring[1:] {
			count[[2]orb.Point{ring[i], ring[i+1]}]++
		}
	}
	return count
}

// outline chains the edges that no neighbor uses the other way to rings. It fails
// the test if an edge is used twice the same way, or if more than one such edge
// leaves a point.
func outline(t *testing.T, s *geo.Shapes) []orb.Ring {
	t.Helper()
	count := ways(s)
	next := map[orb.Point]orb.Point{}
	var starts []orb.Point
	for r := range s.RingEnds {
		ring := s.Ring(r)
		for i := range ring[1:] {
			a, b := ring[i], ring[i+1]
			if n := count[[2]orb.Point{a, b}]; n != 1 {
				t.Fatalf("edge %v %v is used %d times the same way", a, b, n)
			}
			if count[[2]orb.Point{b, a}] > 0 {
				continue
			}
			if _, twice := next[a]; twice {
				t.Fatalf("the outline touches itself at %v", a)
			}
			next[a] = b
			starts = append(starts, a)
		}
	}
	var rings []orb.Ring
	for _, start := range starts {
		if _, ok := next[start]; !ok {
			continue
		}
		ring := orb.Ring{start}
		for at := start; ; {
			to, ok := next[at]
			if !ok {
				break
			}
			delete(next, at)
			ring = append(ring, to)
			at = to
		}
		rings = append(rings, ring)
	}
	return rings
}

// planar returns the signed area of a ring in square units of its coordinates.
func planar(ring orb.Ring) float64 {
	var sum float64
	for i := 1; i < len(ring); i++ {
		a, b, o := ring[i-1], ring[i], ring[0]
		sum += (a[0]-o[0])*(b[1]-o[1]) - (b[0]-o[0])*(a[1]-o[1])
	}
	return sum / 2
}

// planarOf returns the area of a record.
func planarOf(mp orb.MultiPolygon) float64 {
	var sum float64
	for _, polygon := range mp {
		for _, ring := range polygon {
			sum += planar(ring)
		}
	}
	return sum
}

// toGeom turns a polygon into one of simplefeatures, whose Validate follows
// OGC 06-103r4.
func toGeom(polygon orb.Polygon) geom.Polygon {
	var rings []geom.LineString
	for _, ring := range polygon {
		flat := make([]float64, 0, 2*len(ring))
		for _, p := range ring {
			flat = append(flat, p[0], p[1])
		}
		rings = append(rings, geom.NewLineString(geom.NewSequence(flat, geom.DimXY)))
	}
	return geom.NewPolygon(rings)
}

// checkRecords fails the test unless every record is valid, with its shells
// counter-clockwise and its holes clockwise.
func checkRecords(t *testing.T, s *geo.Shapes) {
	t.Helper()
	for i := range s.Len() {
		var parts []geom.Polygon
		for _, polygon := range s.Shape(i) {
			parts = append(parts, toGeom(polygon))
			for r, ring := range polygon {
				if shell := planar(ring) > 0; shell != (r == 0) {
					t.Errorf("record %d, ring %d: runs the wrong way", i, r)
				}
			}
		}
		if err := geom.NewMultiPolygon(parts).Validate(); err != nil {
			t.Errorf("record %d: %v", i, err)
		}
	}
}

// checkOutline fails the test unless the outline is valid and encloses what the
// records do: then they neither overlap nor leave a gap. It returns the outline,
// its shell first.
func checkOutline(t *testing.T, s *geo.Shapes) orb.Polygon {
	t.Helper()
	rings := outline(t, s)
	var polygon orb.Polygon
	var holes []orb.Ring
	var within float64
	for _, ring := range rings {
		within += planar(ring)
		if planar(ring) > 0 {
			polygon = append(polygon, ring)
		} else {
			holes = append(holes, ring)
		}
	}
	if len(polygon) != 1 {
		t.Fatalf("the outline has %d shells, want 1", len(polygon))
	}
	polygon = append(polygon, holes...)
	if err := toGeom(polygon).Validate(); err != nil {
		t.Errorf("outline: %v", err)
	}
	var sum float64
	for i := range s.Len() {
		sum += planarOf(s.Shape(i))
	}
	if d := sum/within - 1; d > 1e-12 || d < -1e-12 {
		t.Errorf("records cover %v, their outline %v", sum, within)
	}
	return polygon
}
