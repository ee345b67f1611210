package invent

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// polygons returns the polygon of each region, by its number: its shell first,
// then its holes. No two lines of a [mesh] cross at a point where a region would
// touch itself, so each point begins at most one edge of a region's boundary.
func (r *regions) polygons(m *mesh, twins map[edge]int32) []orb.Polygon {
	next := make([]map[int32]int32, len(r.area))
	starts := make([][]int32, len(r.area)) // in file order: maps have none
	for i, c := range m.cells {
		region := r.of[i]
		if region < 0 {
			continue
		}
		for e := range c.edges() {
			if across, ok := twins[e.reversed()]; ok && r.of[across] == region {
				continue
			}
			if next[region] == nil {
				next[region] = map[int32]int32{}
			}
			next[region][e[0]] = e[1]
			starts[region] = append(starts[region], e[0])
		}
	}
	polygons := make([]orb.Polygon, len(r.area))
	for region := range polygons {
		polygons[region] = m.chain(starts[region], next[region])
	}
	return polygons
}

// chain puts edges together to rings and puts the shell, which alone runs
// counter-clockwise, first. Points that were rounded onto each other become one.
func (m *mesh) chain(starts []int32, next map[int32]int32) orb.Polygon {
	var polygon orb.Polygon
	for _, start := range starts {
		if _, ok := next[start]; !ok {
			continue // walked already
		}
		ring := orb.Ring{m.points[start]}
		for at := start; ; {
			to, ok := next[at]
			if !ok {
				break
			}
			delete(next, at)
			if m.points[to] != ring[len(ring)-1] {
				ring = append(ring, m.points[to])
			}
			at = to
		}
		polygon = append(polygon, ring)
	}
	slices.SortStableFunc(polygon, func(a, b orb.Ring) int {
		return cmp.Compare(b.Orientation(), a.Orientation())
	})
	return polygon
}
