package geo

// mostTouching bounds how many records one place is looked at for: at the hub of a fan
// pairs grow with the square of them.
const mostTouching = 64

// Touching calls yield for the pairs of records that have a corner in common, welded as
// the mesh welds them; a pair comes once for each such corner.
func (m *Mesh) Touching(yield func(a, b int)) {
	starts := make([]int32, len(m.first)+1)
	for _, v := range m.vertex {
		starts[v+1]++
	}
	for v := range m.first {
		starts[v+1] += starts[v]
	}
	next := append([]int32(nil), starts...)
	records := make([]int32, len(m.vertex))
	for point, v := range m.vertex {
		records[next[v]] = int32(m.recordOfPoint(int32(point)))
		next[v]++
	}
	for v := range m.first {
		at := records[starts[v]:starts[v+1]]
		at = at[:min(len(at), mostTouching)]
		for i, a := range at {
			for _, b := range at[:i] {
				if a != b {
					yield(int(a), int(b))
				}
			}
		}
	}
}
