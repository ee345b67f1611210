package report

import (
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// appendRing appends a ring to the data of an SVG path, in whole tenths of a
// pixel, after leaving out points that stand less than a distance from the line
// without them. A ring that vanishes adds nothing.
func appendRing(dst []byte, ring []orb.Point, less float64) []byte {
	line := thin(ring)
	if len(line) > 4 {
		line = simplify.DouglasPeucker(less).LineString(line)
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
			if dx*dx+dy*dy < 2*2 {
				continue
			}
		}
		line = append(line, p)
	}
	return line
}

func round(v float64) int {
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
