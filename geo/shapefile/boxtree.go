package shapefile

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// boxTree finds the boxes that contain a box. Leaves are sorted along a Z-order
// curve of the boxes' centers and packed sixteen to a node, level upon level.
type boxTree struct {
	leaves []treeLeaf
	levels [][]orb.Bound // levels[0] holds a box for each run of sixteen leaves
}

type treeLeaf struct {
	box  orb.Bound
	rank int
	code uint64
}

const fanout = 16

func (t *boxTree) build(rings []nestedRing) {
	all := rings[0].box
	for i := range rings {
		all = all.Union(rings[i].box)
	}
	t.leaves = t.leaves[:0]
	for rank := range rings {
		box := rings[rank].box
		t.leaves = append(t.leaves, treeLeaf{box: box, rank: rank, code: zOrder(box, all)})
	}
	slices.SortFunc(t.leaves, func(a, b treeLeaf) int {
		return cmp.Or(cmp.Compare(a.code, b.code), a.rank-b.rank)
	})
	t.levels = t.levels[:0]
	level := packBoxes(len(t.leaves), func(i int) orb.Bound { return t.leaves[i].box })
	for t.levels = append(t.levels, level); len(level) > fanout; t.levels = append(t.levels, level) {
		below := level
		level = packBoxes(len(below), func(i int) orb.Bound { return below[i] })
	}
}

func packBoxes(n int, box func(i int) orb.Bound) []orb.Bound {
	packed := make([]orb.Bound, 0, (n+fanout-1)/fanout)
	for i := range n {
		if i%fanout == 0 {
			packed = append(packed, box(i))
		} else {
			last := &packed[len(packed)-1]
			*last = last.Union(box(i))
		}
	}
	return packed
}

// containing appends the ranks of the boxes that contain a box, in no order worth
// knowing, and tells how many boxes it looked at.
func (t *boxTree) containing(found []int, box orb.Bound) (_ []int, steps int) {
	top := len(t.levels) - 1
	return t.descend(found, box, top, 0, len(t.levels[top]))
}

func (t *boxTree) descend(found []int, box orb.Bound, level, from, to int) (_ []int, steps int) {
	if level < 0 {
		for _, leaf := range t.leaves[from:min(to, len(t.leaves))] {
			if boxContains(leaf.box, box) {
				found = append(found, leaf.rank)
			}
		}
		return found, to - from
	}
	nodes := t.levels[level]
	to = min(to, len(nodes))
	steps = to - from
	for i := from; i < to; i++ {
		if boxContains(nodes[i], box) {
			var more int
			found, more = t.descend(found, box, level-1, i*fanout, (i+1)*fanout)
			steps += more
		}
	}
	return found, steps
}

func boxContains(outer, inner orb.Bound) bool {
	return outer.Min[0] <= inner.Min[0] && outer.Min[1] <= inner.Min[1] &&
		outer.Max[0] >= inner.Max[0] && outer.Max[1] >= inner.Max[1]
}

// zOrder interleaves the bits of a box's center, on a grid of 65536 by 65536.
func zOrder(box, all orb.Bound) uint64 {
	return spread(gridStep(box, all, 0)) | spread(gridStep(box, all, 1))<<1
}

func gridStep(box, all orb.Bound, axis int) uint64 {
	middle := box.Min[axis]/2 + box.Max[axis]/2
	step := 65535 * ((middle - all.Min[axis]) / (all.Max[axis] - all.Min[axis]))
	if !(step > 0) { // also when the boxes have no width
		return 0
	}
	return uint64(min(step, 65535))
}

// spread puts a zero bit before each of the lowest 16 bits.
func spread(v uint64) uint64 {
	v = (v | v<<8) & 0x00ff00ff
	v = (v | v<<4) & 0x0f0f0f0f
	v = (v | v<<2) & 0x33333333
	return (v | v<<1) & 0x55555555
}
