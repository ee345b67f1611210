package coverage

import "slices"

// corner is a place on the boundary of two lines where a side turns or may turn: level k
// lies below line k. It is a node where more than two sides meet.
type corner struct {
	u     float64
	level int32
	node  bool
}

// ways are those in which sides leave a corner, with their ground to the left, a bit each:
// each a quarter turn to the left of the one before. Others say whether the corner is a node,
// and, taken times as high, which sides are in a ring already.
type ways uint16

const (
	ahead ways = 1 << iota
	up
	back
	down
	node
	taken = node << 1
)

// turned returns the way that is quarter turns to the left of another.
func (w ways) turned(quarters int) ways {
	for range quarters {
		if w <<= 1; w > down {
			w = ahead
		}
	}
	return w
}

// waysAt returns the ways at a corner from the classes of the four runs around it, 0 for none.
func waysAt(aboveLeft, aboveRight, belowLeft, belowRight int32) (w ways) {
	meet := 0
	for _, side := range [...]struct {
		way         ways
		left, right int32
	}{{ahead, aboveRight, belowRight}, {up, aboveLeft, aboveRight}, {back, belowLeft, aboveLeft}, {down, belowRight, belowLeft}} {
		if side.left == side.right {
			continue
		}
		if meet++; side.left != 0 {
			w |= side.way
		}
	}
	if meet > 2 {
		w |= node
	}
	return w
}

// outlines hold all corners, level by level, each level's from the left.
type outlines struct {
	ends []int32 // level k has the corners from ends[k] to ends[k+1]
	at   []float64
	ways []ways
}

// outline finds the corners of all runs.
func (d *drawing) outline() *outlines {
	count := 0
	o := &outlines{ends: make([]int32, d.frame.lines+2)}
	for k := range d.frame.lines + 1 {
		count += 2 * (len(d.line(k-1)) + len(d.line(k)))
	}
	o.at, o.ways = make([]float64, 0, count), make([]ways, 0, count)
	for k := range d.frame.lines + 1 {
		o.level(d.line(k-1), d.line(k))
		o.ends[k+1] = int32(len(o.at))
	}
	return o
}

// level adds the corners between the runs of two neighboring lines.
func (o *outlines) level(below, above []classRun) {
	first := len(o.at)
	for _, runs := range [][]classRun{below, above} {
		for i := range runs {
			o.at = append(o.at, runs[i].from, runs[i].to)
		}
	}
	list := o.at[first:]
	slices.Sort(list)
	list = slices.Compact(list)
	o.at = o.at[:first+len(list)]
	var aboveLeft, belowLeft int32
	for _, u := range list {
		var aboveRight, belowRight int32
		above, aboveRight = classAfter(above, u)
		below, belowRight = classAfter(below, u)
		o.ways = append(o.ways, waysAt(aboveLeft, aboveRight, belowLeft, belowRight))
		aboveLeft, belowLeft = aboveRight, belowRight
	}
}

// classAfter returns the class of what begins at a place or goes on there, and the runs that
// end after it.
func classAfter(runs []classRun, u float64) ([]classRun, int32) {
	for len(runs) > 0 && runs[0].to <= u {
		runs = runs[1:]
	}
	if len(runs) > 0 && runs[0].from <= u {
		return runs, runs[0].class
	}
	return runs, 0
}

// find returns the number of a corner that is there.
func (o *outlines) find(level int32, u float64) int32 {
	i, _ := slices.BinarySearch(o.at[o.ends[level]:o.ends[level+1]], u)
	return o.ends[level] + int32(i)
}

// rings calls draw for each ring around ground, with one of its runs. The corners are good
// until it returns. A ring has a side of a run.
func (d *drawing) rings(draw func(run int32, corners []corner)) {
	o := d.outline()
	var room []corner
	d.each(func(number int32, r *classRun) {
		for _, side := range [...]struct {
			level int32
			u     float64
			way   ways
		}{{r.line, r.to, up}, {r.line + 1, r.from, down}} {
			if at := o.find(side.level, side.u); o.ways[at]&(side.way|side.way*taken) == side.way {
				room = o.ring(room[:0], side.level, at, side.way)
				draw(number, room)
			}
		}
	})
}

// ring walks around a ring and marks its sides. It turns left where it can: rings
// stay with their own ground where two of a class touch in a corner.
func (o *outlines) ring(corners []corner, level, at int32, way ways) []corner {
	for o.ways[at]&(way*taken) == 0 {
		o.ways[at] |= way * taken
		corners = append(corners, corner{o.at[at], level, o.ways[at]&node != 0})
		switch way {
		case ahead:
			at++
		case back:
			at--
		case up:
			level, at = level+1, o.find(level+1, o.at[at])
		case down:
			level, at = level-1, o.find(level-1, o.at[at])
		}
		for _, quarters := range [...]int{1, 0, 3} {
			if next := way.turned(quarters); o.ways[at]&next != 0 {
				way = next
				break
			}
		}
	}
	return corners
}
