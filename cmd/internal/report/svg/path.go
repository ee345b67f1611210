package svg

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// appendRing appends a ring to the data of an SVG path, in whole tenths of a
// pixel, after leaving out points that stand less than a distance from the line
// without them. A ring that vanishes adds nothing. The points of the ring are used up.
func appendRing(dst []byte, ring []orb.Point, less float64) []byte {
	line := thin(ring)
	if len(line) > 4 {
		line, _ = simplify(line, less)
	}
	if len(line) < 4 {
		return dst
	}
	last := [2]int{round(line[0][0]), round(line[0][1])}
	dst = append(dst, 'M')
	dst = appendPair(dst, last[0], last[1])
	for _, p := range line[1 : len(line)-1] {
		x, y := round(p[0]), round(p[1])
		dst = appendStep(dst, x-last[0], y-last[1])
		last = [2]int{x, y}
	}
	return append(dst, 'z')
}

// thin leaves out points that are drawn where the one before is, in place.
func thin(ring []orb.Point) orb.LineString {
	line := orb.LineString(ring[:0])
	for i, p := range ring {
		if i > 0 && i < len(ring)-1 {
			q := line[len(line)-1]
			dx, dy := p[0]-q[0], p[1]-q[1]
			if float64(dx*dx)+float64(dy*dy) < 2*2 {
				continue
			}
		}
		line = append(line, p)
	}
	return line
}

// patience is how many looks at a point, on the mean, simplify takes to find where best
// to divide a line: 15 do for the borders of fields.
const patience = 64

// simplify leaves out points that stand less than a distance from the line without
// them, in place. [D. H. Douglas and T. K. Peucker, "Algorithms for the reduction of the
// number of points required to represent a digitized line or its caricature", 1973]
// To divide where a point stands out most takes the square of the points where they
// stand out alike, as on a comb: when patience is at its end, what is left is divided in
// the middle, which keeps a few points more. It returns how many looks it took.
func simplify(line orb.LineString, less float64) (kept orb.LineString, looks int) {
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	for parts := [][2]int{{0, len(line) - 1}}; len(parts) > 0; {
		last := len(parts) - 1
		from, to := parts[last][0], parts[last][1]
		at, far := farthest(line, from, to)
		if far <= less*less {
			parts = parts[:last]
			continue
		}
		if looks += to - from; looks > patience*len(line) {
			at = (from + to) / 2
		}
		keep[at] = true
		parts[last] = [2]int{from, at}
		parts = append(parts, [2]int{at, to})
	}
	kept = line[:0]
	for i, p := range line {
		if keep[i] {
			kept = append(kept, p)
		}
	}
	return kept, looks
}

// farthest returns the point of a line that stands farthest from the segment between
// two others, and the square of its distance; 0 if there is none between.
func farthest(line orb.LineString, from, to int) (at int, far float64) {
	for i := from + 1; i < to; i++ {
		if d := distance2(line[from], line[to], line[i]); d > far {
			at, far = i, d
		}
	}
	return at, far
}

func round(v float64) int {
	v = float64(v) // not fused with what it is the product of
	if v < 0 {
		return -int(-v + 0.5)
	}
	return int(v + 0.5)
}

func appendStep(dst []byte, dx, dy int) []byte {
	switch {
	case dx == 0 && dy == 0:
		return dst
	case dy == 0:
		return strconv.AppendInt(append(dst, 'h'), int64(dx), 10)
	case dx == 0:
		return strconv.AppendInt(append(dst, 'v'), int64(dy), 10)
	}
	return appendPair(append(dst, 'l'), dx, dy)
}

func appendPair(dst []byte, x, y int) []byte {
	dst = strconv.AppendInt(dst, int64(x), 10)
	if y >= 0 {
		dst = append(dst, ' ')
	}
	return strconv.AppendInt(dst, int64(y), 10)
}

// distance2 returns the squared distance of a point from the segment from a to b, as planar's
// function of orb does, but the same on every machine: which points a page keeps hangs on it.
func distance2(a, b, point orb.Point) float64 {
	x, y := a[0], a[1]
	if dx, dy := b[0]-x, b[1]-y; dx != 0 || dy != 0 {
		t := (float64((point[0]-x)*dx) + float64((point[1]-y)*dy)) / (float64(dx*dx) + float64(dy*dy))
		if t > 1 {
			x, y = b[0], b[1]
		} else if t > 0 {
			x, y = x+float64(dx*t), y+float64(dy*t)
		}
	}
	dx, dy := point[0]-x, point[1]-y
	return float64(dx*dx) + float64(dy*dy)
}

// mostJoined is how many shapes of a map, the largest, say what is joined in them;
// they are traced apart by a shade each. The rest of a class says it together.
const mostJoined = 200

// leastJoined is the drawn ground, in square pixels, that a pointer finds.
const leastJoined = 100

// noClass is the class of a record that is no zone.
const noClass = 255

// joins are the zones of a map by the shape that they are drawn in.
type joins struct {
	groups [][]int // of the largest shapes, the largest first
	rest   [][]int // of each class: its zones in other shapes, or too small to be drawn
	shade  []uint8 // of each record: 1 + its group, 0 for the rest
}

// join finds what is drawn as one shape: the zones of one class that lie side by
// side in the raster. A zone is in one shape even where it has several parts.
func (d *Drawer) join(t *Map) joins {
	class := make([]uint8, d.ground.Shapes.Len())
	for i := range class {
		class[i] = noClass
	}
	for i, c := range t.Class {
		class[d.records[i]] = c
	}
	sets := d.raster.joined(class)
	j := joins{shade: d.largest(sets, class)}
	groups := 0
	for record := range class {
		g := j.shade[sets.Find(int32(record))]
		j.shade[record], groups = g, max(groups, int(g))
	}
	lists := d.listed(groups+len(t.Fills), func(zone int) int {
		if g := int(j.shade[d.records[zone]]); g > 0 {
			return g - 1
		}
		return groups + int(t.Class[zone])
	})
	j.groups, j.rest = lists[:groups], lists[groups:]
	return j
}

// listed sorts the zones into n lists.
func (d *Drawer) listed(n int, list func(zone int) int) [][]int {
	count := make([]int, n)
	for i := range d.ground.Zones {
		count[list(i)]++
	}
	room := make([]int, d.ground.Zones)
	lists := make([][]int, n)
	for k, c := range count {
		lists[k], room = room[:0:c], room[c:]
	}
	for i := range d.ground.Zones {
		k := list(i)
		lists[k] = append(lists[k], i)
	}
	return lists
}

// largest gives the roots of the largest sets their shades.
func (d *Drawer) largest(sets geo.Sets, class []uint8) []uint8 {
	squares := make([]int32, len(class))
	for record, n := range d.squares {
		squares[sets.Find(int32(record))] += n
	}
	least := int32(leastJoined * px * px / (d.raster.step * d.raster.step))
	var roots []int32
	for root, n := range squares {
		if n >= max(least, 1) && class[root] != noClass {
			roots = append(roots, int32(root))
		}
	}
	slices.SortStableFunc(roots, func(a, b int32) int { return cmp.Compare(squares[b], squares[a]) })
	shade := make([]uint8, len(class))
	for i, root := range roots[:min(len(roots), mostJoined)] {
		shade[root] = uint8(i + 1)
	}
	return shade
}
