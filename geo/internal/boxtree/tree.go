// Package boxtree finds boxes in the plane by where they are.
package boxtree

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// fan is how many children a node of a tree has.
const fan = 8

// Tree finds boxes by where they are. It is packed: items stand in the order of
// a space-filling curve, and each level above holds the bounds of the runs of fan
// below it. Building it sorts once; searching is near-logarithmic, however
// unevenly the items lie. It is read only once it is made.
type Tree struct {
	items  []int32       // in curve order
	levels [][]orb.Bound // levels[0][i] is the box of items[i]
}

// New packs the items 0 to n, the end excluded.
func New(n int, box func(item int) orb.Bound) *Tree {
	boxes := make([]orb.Bound, n)
	for i := range boxes {
		boxes[i] = box(i)
	}
	t := &Tree{items: curveOrder(boxes)}
	level := make([]orb.Bound, n)
	for i, item := range t.items {
		level[i] = boxes[item]
	}
	t.levels = append(t.levels, level)
	for len(level) > 1 {
		above := make([]orb.Bound, (len(level)+fan-1)/fan)
		for i := range above {
			above[i] = level[i*fan]
			for _, b := range level[i*fan+1 : min((i+1)*fan, len(level))] {
				above[i] = Join(above[i], b)
			}
		}
		level = above
		t.levels = append(t.levels, level)
	}
	return t
}

// Search calls visit with each item whose box, as all boxes around it, passes
// hit; it stops when visit returns false. The order is that of the curve.
func (t *Tree) Search(hit func(orb.Bound) bool, visit func(item int32) bool) {
	if len(t.items) > 0 {
		t.descend(len(t.levels)-1, 0, hit, visit)
	}
}

func (t *Tree) descend(level, i int, hit func(orb.Bound) bool, visit func(item int32) bool) bool {
	if !hit(t.levels[level][i]) {
		return true
	}
	if level == 0 {
		return visit(t.items[i])
	}
	for k := i * fan; k < min((i+1)*fan, len(t.levels[level-1])); k++ {
		if !t.descend(level-1, k, hit, visit) {
			return false
		}
	}
	return true
}

// Nearest calls visit with the items whose boxes are nearer than a distance, which
// visit returns anew, the near ones early. The distance from a box must not be less
// than that from a box around it.
func (t *Tree) Nearest(distance func(orb.Bound) float64, within float64, visit func(item int32) float64) {
	if len(t.items) > 0 && distance(t.levels[len(t.levels)-1][0]) < within {
		t.nearest(len(t.levels)-1, 0, distance, within, visit)
	}
}

func (t *Tree) nearest(level, i int, distance func(orb.Bound) float64, within float64, visit func(item int32) float64) float64 {
	if level == 0 {
		return visit(t.items[i])
	}
	below := t.levels[level-1]
	from, to := i*fan, min((i+1)*fan, len(below))
	var far [fan]float64
	for k := from; k < to; k++ {
		far[k-from] = distance(below[k])
	}
	for range to - from {
		next := 0
		for k := range to - from {
			if far[k] < far[next] {
				next = k
			}
		}
		if far[next] >= within {
			break
		}
		within = t.nearest(level-1, from+next, distance, within, visit)
		far[next] = math.Inf(1)
	}
	return within
}

// Collect appends the items, in the order of the curve, whose boxes share a point
// with b; it stops soon after there are more than most.
func (t *Tree) Collect(b orb.Bound, most int, to []int32) []int32 {
	start := len(to)
	to = t.positions(b, most, to)
	for i, at := range to[start:] {
		to[start+i] = t.items[at]
	}
	return to
}

// positions is [Tree.Collect] for places in t.items.
func (t *Tree) positions(b orb.Bound, most int, to []int32) []int32 {
	if len(t.items) == 0 {
		return to
	}
	return t.collectUnder(len(t.levels)-1, 0, 1, b, most, to)
}

func (t *Tree) collectUnder(level, from, end int, b orb.Bound, most int, to []int32) []int32 {
	for i, o := range t.levels[level][from:end] {
		if !Meet(b, o) {
			continue
		}
		if level == 0 {
			to = append(to, int32(from+i))
			continue
		}
		to = t.collectUnder(level-1, (from+i)*fan, min((from+i+1)*fan, len(t.levels[level-1])), b, most, to)
		if len(to) > most {
			return to
		}
	}
	return to
}

// In is a hit function for [Tree.Search]: boxes that share a point with b.
func In(b orb.Bound) func(orb.Bound) bool {
	return func(o orb.Bound) bool { return Meet(b, o) }
}

// Meet reports whether two boxes share a point.
func Meet(a, b orb.Bound) bool {
	return a.Min[0] <= b.Max[0] && b.Min[0] <= a.Max[0] && a.Min[1] <= b.Max[1] && b.Min[1] <= a.Max[1]
}

// Join returns the smallest box around two.
func Join(a, b orb.Bound) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(a.Min[0], b.Min[0]), min(a.Min[1], b.Min[1])},
		Max: orb.Point{max(a.Max[0], b.Max[0]), max(a.Max[1], b.Max[1])},
	}
}

// Segment returns the box of the segment from a to b.
func Segment(a, b orb.Point) orb.Bound {
	return orb.Bound{
		Min: orb.Point{min(a[0], b[0]), min(a[1], b[1])},
		Max: orb.Point{max(a[0], b[0]), max(a[1], b[1])},
	}
}

// Along is a hit function for [Tree.Search]: boxes within reach of a segment. A long
// slanting one doesn't visit all of its box.
func Along(a, b orb.Point, reach float64) func(orb.Bound) bool {
	box := Segment(a, b).Pad(reach)
	dx, dy := b[0]-a[0], b[1]-a[1]
	slack := reach * samebits.Hypot(dx, dy)
	return func(o orb.Bound) bool {
		if !Meet(box, o) {
			return false
		}
		// The box's corner that is farthest to either side of the segment's line.
		mx, my := float64((o.Min[0]+o.Max[0])/2)-a[0], float64((o.Min[1]+o.Max[1])/2)-a[1]
		hx, hy := (o.Max[0]-o.Min[0])/2, (o.Max[1]-o.Min[1])/2
		spread := float64(hx*math.Abs(dy)) + float64(hy*math.Abs(dx)) + slack
		rounding := float64(1e-14 * (math.Abs(dx*my) + math.Abs(dy*mx)))
		return math.Abs(float64(dx*my)-float64(dy*mx)) <= spread+rounding
	}
}

// curveOrder returns the boxes' numbers in the order of a Z-curve (G. M. Morton,
// 1966) through their middles, equal ones in their own order.
func curveOrder(boxes []orb.Bound) []int32 {
	if len(boxes) == 0 {
		return nil
	}
	all := boxes[0]
	for _, b := range boxes[1:] {
		all = Join(all, b)
	}
	perX, perY := perUnit(all.Max[0]-all.Min[0]), perUnit(all.Max[1]-all.Min[1])
	keys := make([]uint64, len(boxes))
	for i, b := range boxes {
		x := step((float64(b.Min[0]/2) + float64(b.Max[0]/2) - all.Min[0]) * perX)
		y := step((float64(b.Min[1]/2) + float64(b.Max[1]/2) - all.Min[1]) * perY)
		keys[i] = uint64(spread(x)|spread(y)<<1)<<32 | uint64(i)
	}
	keys = sortByHigh(keys)
	order := make([]int32, len(keys))
	for i, k := range keys {
		order[i] = int32(uint32(k))
	}
	return order
}

// perUnit returns how many of 65536 steps a unit of a size is.
func perUnit(size float64) float64 {
	if size <= 0 {
		return 0
	}
	return 65535 / size
}

// step rounds down to one of 65536 steps. Boxes that reach too far to be told apart,
// so that sums overflow, go to either end.
func step(at float64) uint32 {
	if !(at > 0) {
		return 0
	}
	return uint32(min(at, 65535))
}

// spread puts a zero bit above each of the low 16 bits.
func spread(v uint32) uint32 {
	v = (v | v<<8) & 0x00ff00ff
	v = (v | v<<4) & 0x0f0f0f0f
	v = (v | v<<2) & 0x33333333
	return (v | v<<1) & 0x55555555
}

// sortByHigh sorts by the high 32 bits, stably: a radix sort by bytes.
func sortByHigh(keys []uint64) []uint64 {
	other := make([]uint64, len(keys))
	for shift := 32; shift < 64; shift += 8 {
		var ends [257]int
		for _, k := range keys {
			ends[int(byte(k>>shift))+1]++
		}
		for i := 1; i < 257; i++ {
			ends[i] += ends[i-1]
		}
		for _, k := range keys {
			b := byte(k >> shift)
			other[ends[b]] = k
			ends[b]++
		}
		keys, other = other, keys
	}
	return keys
}

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
