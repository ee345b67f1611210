package boxtree

import "github.com/paulmach/orb"

// A run is up to runLength edges one after the other. As neighbors in a file lie
// together, a run is small, and one descent of the tree serves all of it. Where its
// joint box holds more than runItems others, as that of long slanting edges does,
// each edge is looked up along itself.
const (
	runLength = 16
	runItems  = 16 * runLength
)

// Lookup finds what is near each of many edges. One goroutine uses it at a time.
type Lookup struct {
	Tree  *Tree
	Ends  func(i int) (a, b orb.Point) // of an edge
	Reach float64                      // how far off a box may be

	found []int32 // positions in the tree's lowest level
	near  []int32
	boxes [runLength]orb.Bound
}

// Each calls visit for the edges from to to, the end excluded, with the items
// whose boxes are within reach of the edge's box. It stops when visit returns
// false. near is valid during the call.
func (l *Lookup) Each(from, to int, visit func(i int, near []int32) bool) {
	for start := from; start < to; start += runLength {
		end := min(start+runLength, to)
		if !l.run(start, end, visit) {
			return
		}
	}
}

func (l *Lookup) run(start, end int, visit func(i int, near []int32) bool) bool {
	l.found = l.Tree.positions(l.measure(start, end), runItems, l.found[:0])
	if len(l.found) > runItems {
		return l.oneByOne(start, end, visit)
	}
	lowest := l.Tree.levels[0]
	for i := start; i < end; i++ {
		l.near = l.near[:0]
		for _, at := range l.found {
			if Meet(l.boxes[i-start], lowest[at]) {
				l.near = append(l.near, l.Tree.items[at])
			}
		}
		if !visit(i, l.near) {
			return false
		}
	}
	return true
}

// measure returns the box around a run, and keeps those of its edges.
func (l *Lookup) measure(start, end int) (joint orb.Bound) {
	for i := start; i < end; i++ {
		b := Segment(l.Ends(i)).Pad(l.Reach)
		l.boxes[i-start] = b
		if i == start {
			joint = b
		}
		joint = Join(joint, b)
	}
	return joint
}

func (l *Lookup) oneByOne(start, end int, visit func(i int, near []int32) bool) bool {
	for i := start; i < end; i++ {
		a, b := l.Ends(i)
		l.near = l.near[:0]
		l.Tree.Search(Along(a, b, l.Reach), func(item int32) bool {
			l.near = append(l.near, item)
			return true
		})
		if !visit(i, l.near) {
			return false
		}
	}
	return true
}
