package svg

import (
	"strconv"

	"github.com/paulmach/orb"
)

// appendRing appends a ring to the data of an SVG path, in whole tenths of a
// pixel, after leaving out points that stand less than a distance from the line
// without them. A ring that vanishes adds nothing.
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

// thin copies a ring without points that are drawn where the one before is.
func thin(ring []orb.Point) orb.LineString {
	line := make(orb.LineString, 0, min(len(ring), 1<<12))
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
