package report

import "github.com/paulmach/orb"

// tracer follows the borders of what a raster shows. The zero value is ready.
type tracer struct {
	out  []byte // per corner of squares: the directions that a border leaves it in
	ring []orb.Point
}

// The directions of a border, with what is inside on the right.
const (
	east = iota
	south
	west
	north
)

// path appends the borders of the squares for which inside is true, as one path;
// where two squares touch at a corner alone they are kept apart.
func (t *tracer) path(dst []byte, r *mapRaster, inside func(record int32) bool) []byte {
	t.mark(r, inside)
	corners := r.wide + 1
	for start, out := range t.out {
		for out != 0 {
			dst = appendRing(dst, t.follow(start, corners, r.step), 0.75*float64(r.step))
			out = t.out[start]
		}
	}
	return dst
}

// mark notes every side between inside and outside.
func (t *tracer) mark(r *mapRaster, inside func(int32) bool) {
	corners := r.wide + 1
	if n := corners * (r.high + 1); len(t.out) != n {
		t.out = make([]byte, n)
	}
	above := make([]bool, r.wide)
	for y := range r.high + 1 {
		before := false
		for x := range r.wide + 1 {
			here := x < r.wide && y < r.high && inside(r.record[y*r.wide+x])
			at := y*corners + x
			if here && !before {
				t.out[at+corners] |= 1 << north
			}
			if !here && before {
				t.out[at] |= 1 << south
			}
			before = here
			if x == r.wide {
				break
			}
			if here && !above[x] {
				t.out[at] |= 1 << east
			}
			if !here && above[x] {
				t.out[at+1] |= 1 << west
			}
			above[x] = here
		}
	}
}

// follow walks one border from a corner back to it, taking the marks away, and
// returns its turns.
func (t *tracer) follow(start, corners, step int) []orb.Point {
	t.ring = t.ring[:0]
	moves := [4]int{east: 1, south: corners, west: -1, north: -corners}
	at, heading := start, -1
	for {
		next := turn(t.out[at], heading)
		if next != heading || at == start {
			t.ring = append(t.ring, orb.Point{float64(at % corners * step), float64(at / corners * step)})
		}
		if next < 0 || (at == start && heading >= 0) {
			return t.ring
		}
		t.out[at] &^= 1 << next
		at, heading = at+moves[next], next
	}
}

// turn picks the way on: right first, which keeps to the square at hand.
func turn(out byte, heading int) int {
	if heading < 0 {
		heading = north
	}
	for _, by := range [4]int{1, 0, 3, 2} {
		if d := (heading + by) % 4; out&(1<<d) != 0 {
			return d
		}
	}
	return -1
}
