package geo

import "sort"

// searchEnds returns the first span whose end is beyond i.
func searchEnds(ends []int32, i int) int {
	return sort.Search(len(ends), func(k int) bool { return int(ends[k]) > i })
}

func (m *Mesh) recordOfRing(ring int) int {
	return searchEnds(m.drawn.ShapeEnds, searchEnds(m.drawn.PolyEnds, ring))
}

// recordOfPoint returns the record that a point of the layer belongs to.
func (m *Mesh) recordOfPoint(point int32) int {
	return m.recordOfRing(searchEnds(m.drawn.RingEnds, int(point)))
}
