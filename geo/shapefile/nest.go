package shapefile

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// verdict is what nesting says of a record's windings.
type verdict int

const (
	asWound      verdict = iota // shells clockwise, holes counter-clockwise
	otherWinding                // some ring winds the other way
	holeOutside                 // a ring wound as a hole lies in no ring
	tangled                     // too much work to tell
)

// nestedRing is a ring and its place among the other rings of its record.
type nestedRing struct {
	points  []orb.Point
	box     orb.Bound
	extent  float64 // area of the box
	area    float64 // of the ring, times four
	size    int     // points
	winding int
	file    int // its place in the record
	parent  int // the smallest ring that it lies in, by rank; -1 if none
	depth   int // how many rings it lies in
	shell   int // the place in the record of the shell it belongs to
}

// isShell reports whether the ring is a shell: by depth, as winding can lie.
func (r *nestedRing) isShell() bool { return r.depth%2 == 0 }

// nester tells the shells among a record's rings from the holes, and which hole
// lies in which shell. Rings of a valid record don't cross, so a ring lies in
// another if one of its points that is not on the other's border does. Rings at
// even depth are shells, those at odd depth holes of the ring around them; where
// windings are as the format wants this is what they say, and where they are not
// it is what the picture shows.
//
// Each ring looks at the rings whose box contains its own, smallest first, found
// in a tree of boxes. With n rings of N points together that takes O(N log N)
// for holes side by side or parts side by side, as a ring that is asked often
// gets an index of its edges. Boxes nested hundreds deep and combs of long teeth
// cost more; the work is capped at workPerPoint steps a point, beyond which the
// record is tangled. Memory is O(N). All of it is used again for the next record.
type nester struct {
	sorted []nestedRing  // in rank order while nesting: large first; then as the slab wants them
	boxes  *boxtree.Tree // of the rings by rank, where they are many
	edges  map[int]*edgeIndex
	asked  map[int]int
	found  []int
	spare  []orb.Point
	work   int
}

const (
	workPerPoint = 1000
	fewRings     = 16 // up to here a tree costs more than it saves
)

func (n *nester) reset() {
	n.sorted = n.sorted[:0]
	clear(n.edges)
	clear(n.asked)
}

// add takes a closed ring; its points must stay until [nester.arrange] is done.
func (n *nester) add(points []orb.Point, winding int) {
	box := orb.Bound{Min: points[0], Max: points[0]}
	for _, p := range points[1:] {
		box.Min[0], box.Max[0] = math.Min(box.Min[0], p[0]), math.Max(box.Max[0], p[0])
		box.Min[1], box.Max[1] = math.Min(box.Min[1], p[1]), math.Max(box.Max[1], p[1])
	}
	n.sorted = append(n.sorted, nestedRing{
		points: points, box: box, size: len(points), winding: winding, file: len(n.sorted),
		extent: (box.Max[0] - box.Min[0]) * (box.Max[1] - box.Min[1]), area: math.Abs(evenDoubleArea(points)),
	})
}

// nest finds each ring's parent and depth, and sorts the rings as a slab has them:
// shells in the order of the file, each with its holes behind it.
func (n *nester) nest() verdict {
	n.rank()
	n.work = workPerPoint * (len(n.sorted) + n.countPoints())
	for rank := range n.sorted {
		r := &n.sorted[rank]
		r.parent = n.findParent(rank)
		if n.work < 0 {
			return tangled
		}
		if r.parent >= 0 {
			r.depth = n.sorted[r.parent].depth + 1
		}
		r.shell = r.file
		if !r.isShell() {
			r.shell = n.sorted[r.parent].file
		}
	}
	slices.SortFunc(n.sorted, func(a, b nestedRing) int {
		return cmp.Or(cmp.Compare(a.shell, b.shell), cmp.Compare(a.depth&1, b.depth&1), cmp.Compare(a.file, b.file))
	})
	return n.judge()
}

// rank sorts large rings first, so that a ring's parent always comes before it:
// by their boxes, and where those are alike by what they enclose. Of equal rings the
// one wound as a hole comes first: a shell may fill a hole.
func (n *nester) rank() {
	slices.SortFunc(n.sorted, func(a, b nestedRing) int {
		return cmp.Or(cmp.Compare(b.extent, a.extent), cmp.Compare(b.area, a.area), cmp.Compare(b.winding, a.winding), cmp.Compare(a.file, b.file))
	})
	if len(n.sorted) > fewRings {
		n.boxes = boxtree.New(len(n.sorted), func(rank int) orb.Bound { return n.sorted[rank].box })
	}
}

func (n *nester) countPoints() (count int) {
	for i := range n.sorted {
		count += n.sorted[i].size
	}
	return count
}

// findParent returns the rank of the smallest ring that ring `rank` lies in, or -1.
func (n *nester) findParent(rank int) int {
	for _, c := range n.candidates(rank) {
		if n.liesIn(rank, c) {
			return c
		}
		if n.work < 0 {
			break
		}
	}
	return -1
}

// candidates returns the ranks before `rank` whose boxes contain its box, smallest
// ring first.
func (n *nester) candidates(rank int) []int {
	n.found = n.found[:0]
	box := n.sorted[rank].box
	if len(n.sorted) > fewRings {
		n.boxes.Search(func(b orb.Bound) bool {
			n.work--
			return contains(b, box)
		}, func(rank int32) bool {
			n.found = append(n.found, int(rank))
			return true
		})
		n.work -= len(n.found) * bits.Len(uint(len(n.found))) // to sort
		n.found = slices.DeleteFunc(n.found, func(c int) bool { return c >= rank })
		slices.SortFunc(n.found, func(a, b int) int { return b - a })
		return n.found
	}
	for c := rank - 1; c >= 0; c-- {
		if contains(n.sorted[c].box, box) {
			n.found = append(n.found, c)
		}
	}
	return n.found
}

// contains reports whether a box holds all of another.
func contains(outer, inner orb.Bound) bool {
	return outer.Min[0] <= inner.Min[0] && outer.Min[1] <= inner.Min[1] &&
		outer.Max[0] >= inner.Max[0] && outer.Max[1] >= inner.Max[1]
}

// judge compares the windings with what lies in what. If all contradict it, as
// with files that wind the way GeoJSON does, or if none does, nothing is outside.
func (n *nester) judge() verdict {
	wrong, outside := 0, 0
	for i := range n.sorted {
		r := &n.sorted[i]
		if r.winding == 0 || (r.winding < 0) == r.isShell() {
			continue
		}
		wrong++
		if r.depth == 0 {
			outside++
		}
	}
	switch {
	case wrong == 0:
		return asWound
	case outside > 0 && wrong < len(n.sorted):
		return holeOutside
	}
	return otherWinding
}

// arrange moves the rings' points, which are all of points, into the sorted order.
func (n *nester) arrange(points []orb.Point) {
	if slices.IsSortedFunc(n.sorted, func(a, b nestedRing) int { return a.file - b.file }) {
		return
	}
	n.spare = n.spare[:0]
	for i := range n.sorted {
		n.spare = append(n.spare, n.sorted[i].points...)
	}
	copy(points, n.spare)
}
