package geo

import (
	"container/heap"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// How far the circle of [InscribedCircle] may be from the largest one.
const (
	circleShare = 0.005 // of its radius
	circleLeast = 0.01  // meters
	circleSide  = 1e-5  // of the polygon's longer side, which bounds the work on slivers
)

// InscribedCircle returns a circle that fits into a polygon in lon/lat, about the
// largest one: twice its radius is how wide the polygon is where it is widest. No
// circle has a radius that is larger by more than the largest of 0.5 %, 1 cm and a
// hundred-thousandth of the polygon's longer side. Rings may wind either way; of rings
// that cross, the circle is the one that fits into their box.
//
// Distances are those of a plane that is scaled at the middle of the polygon: over
// a field 2 km high at 60° of latitude they are off by 0.03 %. Without ground the
// radius is 0.
//
// The ground is cut into as many triangles as it has corners, and those that may hold
// a better center than the best corner so far are halved, the most promising first.
// As a triangle of a long strip reaches from one of its edges to the other, the work
// depends on how many corners a polygon has, and not on how long and thin it is.
func InscribedCircle(polygon orb.Polygon) (center orb.Point, radius unit.Length) {
	return inscribedCircle(polygon, 0, math.Inf(1))
}

// InscribedCircleFor asks whether there is room for a circle, which is quicker than
// to find the largest: it returns the first circle that it finds whose radius is
// enough; else one that is too small, and not always the largest.
func InscribedCircleFor(polygon orb.Polygon, enough unit.Length) (center orb.Point, radius unit.Length) {
	if noRoom(polygon, unit.Meters(enough), LonLatScale) {
		return polygon[0][0], 0
	}
	if center, radius, ok := roomyCircle(polygon, unit.Meters(enough)); ok {
		return center, radius
	}
	return inscribedCircle(polygon, unit.Meters(enough), unit.Meters(enough))
}

// HasRoom reports whether a circle is known to fit into a polygon after a few looks: most
// ground of a field is wide. What has no room by this may still have it by [InscribedCircleFor].
func HasRoom(polygon orb.Polygon, radius unit.Length) bool {
	if noRoom(polygon, unit.Meters(radius), LonLatScale) {
		return false
	}
	_, _, ok := roomyCircle(polygon, unit.Meters(radius))
	return ok
}

func inscribedCircle(polygon orb.Polygon, least, enough float64) (center orb.Point, radius unit.Length) {
	if len(polygon) == 0 || len(polygon[0]) == 0 {
		return orb.Point{}, 0
	}
	box := bound(polygon[0])
	b := &boundary{plane: plane{box.Min, LonLatScale(box)}}
	size := b.plane.meters(box.Max)
	if min(size[0], size[1])/2 < least {
		return polygon[0][0], 0
	}
	b.sides = newSides(orb.MultiPolygon{polygon}, b.plane.meters)
	best, ok := b.widest(polygon, size, least, enough)
	switch {
	case !ok:
		return box.Center(), unit.Length(min(size[0], size[1])/2) * unit.Meter
	case best.room <= 0:
		return polygon[0][0], 0
	}
	if best.room < enough && worthClimbing(best.room, enough, size) {
		best = b.climb(best)
	}
	return b.plane.degrees(best.at), unit.Length(best.room) * unit.Meter
}

// worthClimbing reports whether a climb can matter for what is enough. A search that gave up may
// have stopped at a center with next to no room: as steps are a share of that, the climb would be
// long, and no circle of the ground reaches enough.
func worthClimbing(room, enough float64, size orb.Point) bool {
	return math.IsInf(enough, 1) || room+max(circleSlack(size), circleShare*room) >= enough
}

// climb goes from a center to a better one nearby, by steps in eight directions that
// become shorter. Each stays in the circle, and so on the ground.
func (b *boundary) climb(best spot) spot {
	const diagonal = math.Sqrt2 / 2
	for step := best.room / 8; step > best.room/10_000; {
		from := best
		for _, d := range [...]orb.Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {diagonal, diagonal}, {-diagonal, diagonal}, {-diagonal, -diagonal}, {diagonal, -diagonal}} {
			p := orb.Point{from.at[0] + float64(step*d[0]), from.at[1] + float64(step*d[1])}
			if c := b.nearest(p, []int32{from.side}); c.room > best.room*(1+1e-9) {
				best = c
			}
		}
		if best == from {
			step /= 2
		}
	}
	return best
}

// boundary is the rings of a polygon in lon/lat, laid out in meters from the lower
// left corner of its box. It tells how far away it is.
type boundary struct {
	plane   plane
	sides   *sides // meters
	corners []spot
}

// spot is a point, in meters, with its distance from the boundary, negative outside the
// ground, and the side that is so near.
type spot struct {
	at   orb.Point
	room float64
	side int32
}

// triangle is a part of the ground that is searched.
type triangle struct {
	corners [3]int32 // in boundary.corners
	near    [2]int32 // sides along the trapezoid that it was cut from
	box     bool     // not all of it may be ground
	most    float64  // room that a point of it can have
	number  int32    // in the order of making
}

// circleSlack is how much larger, in meters, the largest circle may always be than the one found.
func circleSlack(size orb.Point) float64 {
	return max(circleLeast, circleSide*max(size[0], size[1]))
}

// widest returns the center of the largest circle; it is content with a radius that is
// enough, and gives up where none can reach the least. It reports whether the rings
// don't cross.
func (b *boundary) widest(polygon orb.Polygon, size orb.Point, least, enough float64) (best spot, ok bool) {
	if mid := (orb.Point{size[0] / 2, size[1] / 2}); b.sides.around(mid) {
		if best = b.nearest(mid, nil); best.room >= enough {
			return best, true
		}
	}
	queue, ok := b.triangles(polygon, size[1] > size[0])
	heap.Init(&queue)
	slack := circleSlack(size)
	made := int32(len(queue))
	for len(queue) > 0 && best.room < enough {
		t := heap.Pop(&queue).(triangle)
		if t.most < least || t.most <= best.room+max(slack, circleShare*best.room) {
			break
		}
		for _, half := range b.halve(t) {
			half.number = made
			made++
			if c := b.corners[half.corners[2]]; c.room > best.room {
				best = c
			}
			if half.most = b.most(half); half.most > best.room && !b.outside(half) {
				heap.Push(&queue, half)
			}
		}
	}
	return best, ok
}

// triangles cuts a polygon into triangles, across its length: they reach from one long
// edge to the other, also where these have many small steps. It reports whether they
// make up its ground, as they don't where rings cross.
func (b *boundary) triangles(polygon orb.Polygon, tall bool) (list triangles, ok bool) {
	along := func(p orb.Point) orb.Point {
		if tall {
			p[0], p[1] = p[1], p[0]
		}
		return p
	}
	var s sweep
	var numbers []int32 // of the edges among the sides
	ground, number := 0.0, int32(0)
	for r, ring := range polygon {
		area, _ := flatRing(ring)
		if ground += math.Abs(area); r > 0 {
			ground -= 2 * math.Abs(area)
		}
		for i := 1; i < len(ring); i++ {
			if ring[i-1] != ring[i] {
				s.add(along(ring[i-1]), along(ring[i]))
				numbers = append(numbers, number)
			}
			number++
		}
	}
	cut, ok := s.trapezoids()
	for _, t := range cut {
		ground -= t.area()
	}
	for _, cell := range merged(cut) {
		near := [2]int32{numbers[cell.floor], numbers[cell.ceiling]}
		n := int32(len(b.corners))
		for i, p := range [4]orb.Point{cell.low[0], cell.high[1], cell.low[1], cell.high[0]} {
			if p = b.plane.meters(along(p)); cell.box {
				b.corners = append(b.corners, b.signed(b.nearest(p, near[:])))
			} else {
				b.corners = append(b.corners, spot{at: p, side: near[i%2]})
			}
		}
		list = append(list, triangle{corners: [3]int32{n, n + 1, n + 2}, near: near, box: cell.box},
			triangle{corners: [3]int32{n, n + 1, n + 3}, near: near, box: cell.box})
	}
	for i := range list {
		list[i].most, list[i].number = b.most(list[i]), int32(i)
	}
	box := bound(polygon[0])
	return list, ok && math.Abs(ground) <= 1e-6*(box.Max[0]-box.Min[0])*(box.Max[1]-box.Min[1])
}

// merged joins trapezoids that follow one another, as between the many corners of an
// arc, to boxes that are not much larger: at least half of a box is ground, and it is
// no wider than a quarter of its height. What is left are cells about as large as the
// ground is wide, however many corners it has.
func merged(cut []trapezoid) []trapezoid {
	slices.SortFunc(cut, func(x, y trapezoid) int { return comparePoints(x.low[0], y.low[0]) })
	type side struct{ low, high orb.Point }
	ends := make(map[side]int, len(cut)) // where a trapezoid can be joined
	var list []trapezoid
	var sums []float64
	for _, t := range cut {
		west := side{t.low[0], t.high[0]}
		if i, ok := ends[west]; ok {
			delete(ends, west)
			joined, sum := list[i].around(t), sums[i]+t.area()
			if wide := joined.low[1][0] - joined.low[0][0]; wide <= (joined.high[0][1]-joined.low[0][1])/4 && sum >= joined.area()/2 {
				list[i], sums[i] = joined, sum
				ends[side{t.low[1], t.high[1]}] = i
				continue
			}
		}
		ends[side{t.low[1], t.high[1]}] = len(list)
		list, sums = append(list, t), append(sums, t.area())
	}
	return list
}

// halve cuts a triangle in two at the middle of its longest edge, which is the last
// corner of both.
func (b *boundary) halve(t triangle) [2]triangle {
	i, longest := 0, -1.0
	for k := range 3 {
		if d := distance2(b.corners[t.corners[k]].at, b.corners[t.corners[(k+1)%3]].at); d > longest {
			i, longest = k, d
		}
	}
	p, q, r := t.corners[i], t.corners[(i+1)%3], t.corners[(i+2)%3]
	x, y := b.corners[p].at, b.corners[q].at
	m := int32(len(b.corners))
	mid := b.nearest(orb.Point{(x[0] + y[0]) / 2, (x[1] + y[1]) / 2}, b.known(t))
	if t.box {
		mid = b.signed(mid, b.corners[p], b.corners[q], b.corners[r])
	}
	b.corners = append(b.corners, mid)
	half := t
	half.corners, t.corners = [3]int32{p, r, m}, [3]int32{q, r, m}
	return [2]triangle{half, t}
}

// signed makes the distance of a point outside the ground negative. A corner whose
// circle holds the point knows.
func (b *boundary) signed(c spot, corners ...spot) spot {
	for _, o := range corners {
		if o.room*o.room > distance2(o.at, c.at) {
			c.room = math.Copysign(c.room, o.room)
			return c
		}
	}
	if !b.sides.around(c.at) {
		c.room = -c.room
	}
	return c
}

// outside reports whether a triangle lies in a circle that has no ground.
func (b *boundary) outside(t triangle) bool {
	for i, k := range t.corners {
		c, d, e := b.corners[k], b.corners[t.corners[(i+1)%3]], b.corners[t.corners[(i+2)%3]]
		if c.room < 0 && c.room*c.room > max(distance2(c.at, d.at), distance2(c.at, e.at)) {
			return true
		}
	}
	return false
}

// known lists the sides that a triangle knows of, each once.
func (b *boundary) known(t triangle) []int32 {
	list := append(make([]int32, 0, 5), t.near[0], t.near[1])
	for _, c := range t.corners {
		if side := b.corners[c].side; !slices.Contains(list, side) {
			list = append(list, side)
		}
	}
	return list
}

// nearest measures a point of the ground, given some sides that are not far off.
func (b *boundary) nearest(p orb.Point, known []int32) spot {
	least, side := math.Inf(1), int32(-1)
	measure := func(i int32) {
		if d := toSegment2(p, b.sides.list[i].a, b.sides.list[i].b); d < least {
			least, side = d, i
		}
	}
	for _, i := range known {
		measure(i)
	}
	b.sides.boxes.Nearest(func(o orb.Bound) float64 { return toBox2(p, o) }, least, func(i int32) float64 {
		measure(i)
		return least
	})
	return spot{p, math.Sqrt(least), side}
}

// most returns how much room a point of a triangle has at most. The distance from a
// side, and any mean of such distances, is convex: over the triangle it is largest at a
// corner. No point has more room than that, whichever sides and mean are taken.
func (b *boundary) most(t triangle) float64 {
	sides := b.known(t)
	far := make([][3]float64, 0, 5)
	most := math.Inf(1)
	for _, i := range sides {
		var d [3]float64
		for k, c := range t.corners {
			d[k] = math.Sqrt(toSegment2(b.corners[c].at, b.sides.list[i].a, b.sides.list[i].b))
		}
		for n, e := range far {
			most = min(most, leastMean(d, e))
			for _, f := range far[:n] {
				most = min(most, evenMean(d, e, f))
			}
		}
		far = append(far, d)
		most = min(most, max(d[0], d[1], d[2]))
	}
	return most
}

// leastMean returns the least that the largest of three weighted means of d and e can
// be: where two of them are equal.
func leastMean(d, e [3]float64) float64 {
	least := math.Inf(1)
	for i := range 3 {
		k := (i + 1) % 3
		w := (e[k] - e[i]) / (d[i] - e[i] - d[k] + e[k])
		if w > 0 && w < 1 {
			v := 1 - w
			least = min(least, max(float64(w*d[0])+float64(v*e[0]), float64(w*d[1])+float64(v*e[1]), float64(w*d[2])+float64(v*e[2])))
		}
	}
	return least
}

// evenMean returns the weighted mean of d, e and f that is equal three times, infinity
// if there is none with weights above 0.
func evenMean(d, e, f [3]float64) float64 {
	u, v, w := sumOfCross(e, f), sumOfCross(f, d), sumOfCross(d, e)
	if min(u, v, w) < 0 && max(u, v, w) > 0 || u+v+w == 0 {
		return math.Inf(1)
	}
	most := 0.0
	for i := range 3 {
		most = max(most, (float64(u*d[i])+float64(v*e[i])+float64(w*f[i]))/(u+v+w))
	}
	return most
}

// sumOfCross adds up the parts of the cross product of a and b.
func sumOfCross(a, b [3]float64) float64 {
	return float64(a[1]*b[2]) - float64(a[2]*b[1]) + float64(a[2]*b[0]) - float64(a[0]*b[2]) + float64(a[0]*b[1]) - float64(a[1]*b[0])
}

// triangles is a queue, the most promising first.
type triangles []triangle

func (s triangles) Len() int      { return len(s) }
func (s triangles) Swap(i, j int) { s[i], s[j] = s[j], s[i] }
func (s triangles) Less(i, j int) bool {
	if s[i].most != s[j].most {
		return s[i].most > s[j].most
	}
	return s[i].number < s[j].number
}

func (s *triangles) Push(t any) { *s = append(*s, t.(triangle)) }

func (s *triangles) Pop() any {
	last := len(*s) - 1
	t := (*s)[last]
	*s = (*s)[:last]
	return t
}

// toBox2 returns the square of the distance from a point to a box.
func toBox2(p orb.Point, o orb.Bound) float64 {
	dx := max(o.Min[0]-p[0], p[0]-o.Max[0], 0)
	dy := max(o.Min[1]-p[1], p[1]-o.Max[1], 0)
	return float64(dx*dx) + float64(dy*dy)
}
