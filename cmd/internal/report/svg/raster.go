package svg

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// raster says which record lies under the middle of each square of a grid over
// a drawing: how a field of many cells is drawn, whatever its topology.
type raster struct {
	step       int // side of a square, in tenths of a pixel
	wide, high int // squares
	record     []int32
}

const noRecord = -1

// count returns the squares of each of n records.
func (r *raster) count(n int) []int32 {
	squares := make([]int32, n)
	for _, record := range r.record {
		if record != noRecord {
			squares[record]++
		}
	}
	return squares
}

// joined makes one set of records of one class that lie side by side.
func (r *raster) joined(class []uint8) geo.Sets {
	sets := geo.NewSets(len(class))
	meet := func(a, b int32) {
		if a != b && b != noRecord && class[a] == class[b] {
			sets.Join(a, b)
		}
	}
	for i, here := range r.record {
		if here == noRecord || class[here] == noClass {
			continue
		}
		if (i+1)%r.wide != 0 {
			meet(here, r.record[i+1])
		}
		if i+r.wide < len(r.record) {
			meet(here, r.record[i+r.wide])
		}
	}
	return sets
}

// newRaster fills a raster from shapes in lon/lat. Where records overlap, the last
// one is seen.
func newRaster(s *geo.Shapes, f frame, step int) *raster {
	r := &raster{step: step, wide: f.width/step + 1, high: f.height/step + 1}
	r.record = make([]int32, r.wide*r.high)
	for i := range r.record {
		r.record[i] = noRecord
	}
	var cuts []cut
	for i := range s.Len() {
		cuts = r.cutsOf(s, i, f, cuts[:0])
		r.fill(cuts, int32(i))
	}
	return r
}

// cut is where an edge crosses the middle line of a row of squares: the row, and behind it the first
// square whose middle is not left of that. Plain numbers are sorted several times as fast as structs.
type cut uint64

func (c cut) row() int    { return int(c >> 32) }
func (c cut) square() int { return int(uint32(c)) }

// cutsOf lists the cuts of all rings of a record: by the even-odd rule holes and
// parts need no telling apart.
func (r *raster) cutsOf(s *geo.Shapes, record int, f frame, cuts []cut) []cut {
	from, to := s.ShapeRings(record)
	per := 1 / float64(r.step)
	for k := from; k < to; k++ {
		var a orb.Point
		for i, p := range s.Ring(k) {
			b := f.at(p)
			b = orb.Point{float64(b[0] * per), float64(b[1]*per) - 0.5}
			if i > 0 {
				cuts = r.cutsOfEdge(a[0], a[1], b[0], b[1], cuts)
			}
			a = b
		}
	}
	return cuts
}

func (r *raster) cutsOfEdge(ax, ay, bx, by float64, cuts []cut) []cut {
	if ay == by {
		return cuts
	}
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	first, last := int(math.Ceil(max(ay, 0))), int(math.Ceil(min(by, float64(r.high))))
	if first >= last {
		return cuts
	}
	slope := (bx - ax) / (by - ay)
	for row := first; row < last; row++ {
		x := ax + float64((float64(row)-ay)*slope)
		square := min(max(math.Ceil(x-0.5), 0), float64(r.wide))
		cuts = append(cuts, cut(row)<<32|cut(square))
	}
	return cuts
}

func (r *raster) fill(cuts []cut, record int32) {
	slices.Sort(cuts)
	for i := 0; i+1 < len(cuts); i += 2 {
		if cuts[i].row() != cuts[i+1].row() {
			i--
			continue
		}
		row := r.record[cuts[i].row()*r.wide:][:r.wide]
		for x := cuts[i].square(); x < cuts[i+1].square(); x++ {
			row[x] = record
		}
	}
}

// tracer follows the borders of what a raster shows in shades. The zero value is
// ready.
type tracer struct {
	raster *raster
	sides  []side
	out    []byte // per corner of squares: the directions that a border leaves it in
	ring   []orb.Point
	most   int // bytes of borders that are of use; 0 for any
	drawn  int // bytes so far
}

// over reports whether more was drawn than is of use: then borders are left out.
func (t *tracer) over() bool { return t.most > 0 && t.drawn > t.most }

// side is a square, or one just right of or below the raster, whose shade is not
// that of both its neighbors.
type side struct {
	corner            int32 // the square's upper left
	here, left, above uint8
}

// The directions of a border, with what is inside on the right.
const (
	east = iota
	south
	west
	north
)

// shade sets what is to be followed: the shade of each record, 0 for bare ground.
func (t *tracer) shade(r *raster, shades []uint8) {
	t.raster, t.sides = r, t.sides[:0]
	if n := (r.wide + 1) * (r.high + 1); len(t.out) != n {
		t.out = make([]byte, n)
	}
	of := func(record int32) uint8 {
		if record == noRecord {
			return 0
		}
		return shades[record]
	}
	bare := make([]int32, r.wide)
	for x := range bare {
		bare[x] = noRecord
	}
	above := bare
	for y := range r.high + 1 {
		row := bare
		if y < r.high {
			row = r.record[y*r.wide:][:r.wide]
		}
		corner := int32(y * (r.wide + 1))
		left := int32(noRecord)
		for x, here := range row {
			if here != left || here != above[x] {
				t.meet(side{corner + int32(x), of(here), of(left), of(above[x])})
			}
			left = here
		}
		t.meet(side{corner + int32(r.wide), 0, of(left), 0})
		above = row
	}
}

func (t *tracer) meet(s side) {
	if s.here != s.left || s.here != s.above {
		t.sides = append(t.sides, s)
	}
}

// path appends the borders of the squares whose shade is more than bare, as one
// path; where two squares touch at a corner alone they are kept apart.
func (t *tracer) path(dst []byte, bare uint8) []byte {
	var inside [256]bool
	for v := int(bare) + 1; v < len(inside); v++ {
		inside[v] = true
	}
	return t.border(dst, t.sides, &inside, 0.75*float64(t.raster.step))
}

// each returns the borders of each shade from 1 to n on its own, with what stands
// less than a distance from a line left out.
func (t *tracer) each(n int, less float64) [][]byte {
	var sides [256][]side
	for _, s := range t.sides {
		if s.here > 0 {
			sides[s.here] = append(sides[s.here], s)
		}
		if s.left > 0 && s.left != s.here {
			sides[s.left] = append(sides[s.left], s)
		}
		if s.above > 0 && s.above != s.here && s.above != s.left {
			sides[s.above] = append(sides[s.above], s)
		}
	}
	paths := make([][]byte, n)
	for i := range paths {
		var inside [256]bool
		inside[i+1] = true
		paths[i] = t.border(nil, sides[i+1], &inside, less)
	}
	return paths
}

// border appends the borders between inside and outside, all of which are among the
// sides.
func (t *tracer) border(dst []byte, sides []side, inside *[256]bool, less float64) []byte {
	t.mark(sides, inside)
	// A border's first corner is the upper left of a square on one of its sides.
	for _, s := range sides {
		for t.out[s.corner] != 0 && !t.over() {
			before := len(dst)
			dst = appendRing(dst, t.follow(int(s.corner)), less)
			t.drawn += len(dst) - before
		}
	}
	return dst
}

// mark notes every side between inside and outside.
func (t *tracer) mark(sides []side, inside *[256]bool) {
	corners := int32(t.raster.wide + 1)
	for _, s := range sides {
		here, left, above := inside[s.here], inside[s.left], inside[s.above]
		if here && !left {
			t.out[s.corner+corners] |= 1 << north
		}
		if !here && left {
			t.out[s.corner] |= 1 << south
		}
		if here && !above {
			t.out[s.corner] |= 1 << east
		}
		if !here && above {
			t.out[s.corner+1] |= 1 << west
		}
	}
}

// follow walks one border from a corner back to it, taking the marks away, and
// returns its turns.
func (t *tracer) follow(start int) []orb.Point {
	t.ring = t.ring[:0]
	corners, step := t.raster.wide+1, t.raster.step
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
