package swath

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// thinned is how far apart, in meters, the rows of a chain are taken. Without it the noise
// of a receiver walks: at 0.3 m/s, 10 Hz and 2 cm of noise the ground is covered twice.
const thinned = 2

// knot is a row of a chain that is kept.
type knot struct {
	at    orb.Point // of the antenna
	along orb.Point // unit vector of the heading
}

// link is what happens from one knot to the next.
type link struct {
	open  uint64
	width float64
	rate  float64 // mean by way; NaN if not known
}

func (k link) lays() bool { return k.open != 0 && k.rate != 0 }

// chain lays linked rows, from first to last, the end excluded.
func (l *layer) chain(from, to int) {
	if to-from == 1 {
		if l.row(from).On() {
			l.laid.Odd.Alone++
		}
		return
	}
	l.switched(from, to)
	knots, links := l.thin(from, to)
	for begin := 0; begin < len(links); {
		end := begin + 1
		for way := direction(knots[begin].at, knots[end].at); end < len(links); end++ {
			next := direction(knots[end].at, knots[end+1].at)
			if dot(way, next) < backsUp || links[end].lays() != links[begin].lays() {
				break
			}
			if next != (orb.Point{}) {
				way = next
			}
		}
		l.turn(knots[begin:end+1], links[begin:end], from)
		for i := begin; i < end; i++ {
			l.piece(knots[i], knots[i+1], links[i])
		}
		begin = end
	}
	l.stand(from, to)
}

// switched keeps where the boom begins to lay on linked rows, from first to last, and where it ends.
func (l *layer) switched(from, to int) {
	lays := func(i int) bool {
		r := l.row(l.rowOf(i))
		return r.On() && r.Rate != 0
	}
	middle := func(i int) orb.Point {
		a, b := l.at(i), l.at(i+1)
		return l.middle(knot{at: orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}, along: direction(a, b)})
	}
	for i := from; i+2 < to; i++ {
		if now, next := lays(i), lays(i+1); now != next {
			turn := Turn{middle(i), middle(i + 1)}
			if next {
				l.laid.Opened = append(l.laid.Opened, turn)
			} else {
				l.laid.Shut = append(l.laid.Shut, turn)
			}
		}
	}
}

// backsUp is the cosine of the angle, 120°, from which on a machine does not turn at a place but
// goes back from it: a chord across that place has no heading. Nor has one across the place where a
// boom begins to lay or ends: a turn that begins there would bend the end of a pass.
const backsUp = -0.5

// thin keeps rows that are 2 m apart, and those at which the boom changes.
func (l *layer) thin(from, to int) (knots []knot, links []link) {
	knots = append(knots, knot{at: l.at(from)})
	var way, sum float64
	now := l.link(from)
	for i := from; i+1 < to; i++ {
		d := distance(l.at(i), l.at(i+1))
		this := l.link(i)
		way, sum, now.rate = way+d, sum+float64(this.rate*d), this.rate
		last := i+2 == to
		if !last && !changes(this, l.link(i+1)) && distance(knots[len(knots)-1].at, l.at(i+1)) < thinned {
			continue
		}
		if way > 0 {
			now.rate = sum / way
		}
		knots, links = append(knots, knot{at: l.at(i + 1)}), append(links, now)
		if !last {
			way, sum, now = 0, 0, l.link(i+1)
		}
	}
	return knots, links
}

// link returns what happens from place i to the next.
func (l *layer) link(i int) link {
	at := l.rowOf(i)
	r := l.row(at)
	k := link{open: r.Open, width: l.log.WidthAt(r), rate: l.rate(at)}
	if k.open == 0 {
		k.width, k.rate = 0, 0
	}
	return k
}

// changes reports whether the boom is not the same on two links.
func changes(a, b link) bool {
	return a.open != b.open || a.width != b.width || math.IsNaN(a.rate) != math.IsNaN(b.rate) || (a.rate == 0) != (b.rate == 0)
}

// farKnots bounds the search for a chord: a machine may stand for hours.
const farKnots = 256

// turn finds the heading at each knot by the chord from half a base behind to half a base
// ahead: 6 m or half the width, whichever is more. It turns by 180° where the machine backs
// up, which is right for what it covers.
func (l *layer) turn(knots []knot, links []link, from int) {
	whole := make([]bool, len(knots)) // with room on both sides
	for i := range knots {
		a, b := reach(knots, i, -1, base(links, i)), reach(knots, i, 1, base(links, i))
		knots[i].along, whole[i] = tangent(knots[a].at, knots[i].at, knots[b].at), far(knots, a, i, links) && far(knots, b, i, links)
	}
	for i := range knots {
		if !whole[i] {
			l.turnEnd(knots, links, whole, i)
		}
	}
	if l.options.Heading {
		l.ownHeading(knots, from)
	}
}

// base returns how far to one side a chord reaches at a knot.
func base(links []link, i int) float64 {
	width := links[min(i, len(links)-1)].width
	if i > 0 {
		width = max(width, links[i-1].width)
	}
	return max(6, width/2) / 2
}

// reach returns the first knot that lies as far from knot i as wanted, or the last one.
func reach(knots []knot, i, step int, want float64) int {
	k := i
	for k+step >= 0 && k+step < len(knots) && max(k-i, i-k) < farKnots && distance(knots[k].at, knots[i].at) < want {
		k += step
	}
	return k
}

func far(knots []knot, k, i int, links []link) bool {
	return distance(knots[k].at, knots[i].at) >= base(links, i)
}

// turnEnd finds the heading near the end of a chain, where the chord has no room on one side.
// A chord makes the same angle with both ends of an arc, so that the heading at its far end
// gives the one at the near end.
func (l *layer) turnEnd(knots []knot, links []link, whole []bool, i int) {
	for _, step := range []int{1, -1} {
		k := reach(knots, i, step, base(links, i))
		if !whole[k] || knots[k].at == knots[i].at {
			continue
		}
		c, h := direction(knots[min(i, k)].at, knots[max(i, k)].at), knots[k].along
		c = orb.Point{float64(c[0]*c[0]) - float64(c[1]*c[1]), float64(2 * c[0] * c[1])} // twice its angle
		knots[i].along = orb.Point{float64(c[0]*h[0]) + float64(c[1]*h[1]), float64(c[1]*h[0]) - float64(c[0]*h[1])}
		return
	}
	if knots[i].along == (orb.Point{}) {
		knots[i].along = orb.Point{0, 1}
		if i > 0 {
			knots[i].along = knots[i-1].along
		}
	}
}

// tangent returns the direction at b of the arc through three places: that of the chord from
// a to c where b is half way, and else nearer to that of the shorter half.
func tangent(a, b, c orb.Point) orb.Point {
	behind, ahead := distance(a, b), distance(b, c)
	if behind == 0 || ahead == 0 {
		return direction(a, c)
	}
	u, v := direction(a, b), direction(b, c)
	return direction(orb.Point{}, orb.Point{float64(u[0]*ahead) + float64(v[0]*behind), float64(u[1]*ahead) + float64(v[1]*behind)})
}

// direction returns the unit vector from one place to another; zero where they are one.
func direction(a, b orb.Point) orb.Point {
	chord := minus(b, a)
	length := norm(chord)
	if length == 0 {
		return orb.Point{}
	}
	return orb.Point{chord[0] / length, chord[1] / length}
}

// ownHeading takes the headings that the rows state.
func (l *layer) ownHeading(knots []knot, from int) {
	i := from
	for k := range knots {
		for ; i+1 < len(l.order) && l.at(i) != knots[k].at; i++ {
		}
		if h := l.row(i).Heading; !math.IsNaN(h) {
			sin, cos := samebits.Sincos(h * math.Pi / 180)
			knots[k].along = orb.Point{sin, cos}
		}
	}
}

// A machine stands where it moves less than half a meter in three seconds.
const (
	standWay  = 0.5
	standTime = 3
)

// stand tells where a machine stood with its boom on: a rate on no way is nothing, and
// flow or a counter alone shows what came out.
func (l *layer) stand(from, to int) {
	if l.laid.Odd.Untimed {
		return
	}
	for i := from; i < to; {
		k := i
		for k+1 < to && l.row(k).On() && l.row(k+1).On() && distance(l.at(i), l.at(k+1)) < standWay {
			k++
		}
		if seconds := l.time[k] - l.time[i]; seconds >= standTime {
			s := stand{At: l.at(i), Seconds: seconds, Width: l.log.WidthAt(l.row(i)), Record: l.row(i).Record, Amount: l.stood(i, k)}
			if s.Amount > 0 {
				l.laid.Ledger.Standing += s.Amount
			}
			l.laid.Stands = append(l.laid.Stands, s)
		}
		i = max(k, i+1)
	}
}

// stood returns what came out from place i to place k beyond what rate and way explain; NaN
// where nothing shows it.
func (l *layer) stood(i, k int) float64 {
	var shown, known float64
	counter := l.row(k).Total - l.row(i).Total
	for at := i; at < k; at++ {
		r := l.row(l.rowOf(at))
		shown += float64(r.Flow * (l.time[at+1] - l.time[at]))
		if rate := r.Rate; rate > 0 {
			known += float64(rate * l.log.WidthAt(r) * distance(l.at(at), l.at(at+1)))
		}
	}
	if math.IsNaN(shown) && counter >= 0 {
		shown = counter
	}
	if math.IsNaN(shown) {
		return shown
	}
	return max(0, shown-known) * l.options.Factor
}
