// Package swath turns the log of a machine into the ground that it covered: a piece
// from each place of its boom to the next, so that neighbors share a boom line and a pass
// has neither gaps nor double slivers, straight or curved.
//
// A swath is taken as a sharp-edged strip of the working width. A spinner's real pattern
// tapers and is meant to overlap; that is not modeled here.
package swath

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/geo/track"
)

// Options say how a log is laid.
type Options struct {
	Product int32   // of the pieces
	Factor  float64 // what an amount of the log is of the pieces' density: the share of a product in a mix, say; 0 for 1
	Bridge  bool    // fill gaps of up to 10 s that lie straight ahead
	Heading bool    // take the log's own heading where it has one; at a stand it is noise
}

// Laid is what a log says of the ground. Lengths are meters, areas square meters, times
// seconds; amounts are those of the log times the factor.
type Laid struct {
	Pieces []coverage.Piece
	Ledger ledger
	Driven float64 // width times way of all that was on: what a controller counts as its acres
	Widest float64 // the whole boom, where most of it was
	Opened []Turn  // where the boom begins to lay on a way that is driven through
	Shut   []Turn  // and where it ends
	Stands []stand
	Gaps   []gap
	Odd    odd
	Step   float64 // median way from row to row
	Noise  float64 // how far a place is off, as one deviation, judged by how much rows zigzag
}

// ledger says where the whole amount of a log is. The parts add up to the total.
type ledger struct {
	Pieces   float64
	Standing float64 // beyond what the way explains
	Gaps     float64 // where rows are not linked
	Dropped  float64 // rows that were there twice
}

// stand is where a machine stood with its boom on.
type stand struct {
	At      orb.Point
	Seconds float64
	Amount  float64 // NaN where neither flow nor a counter shows it
	Width   float64
	Record  int32
}

// gap is a way between two rows that are not linked, both on.
type gap struct {
	From, To orb.Point
	Width    float64
	Amount   float64 // at the rate that holds there; 0 where the machine can't have driven straight on
	Bridged  bool
	Record   int32 // of the row behind it
}

// Length returns how long a gap is.
func (g gap) Length() float64 { return distance(g.From, g.To) }

// Turn is where a boom is opened or shut: the middle of the way to the row there, and of the way
// from it.
type Turn struct{ Before, Behind orb.Point }

// odd counts what is odd about the rows.
type odd struct {
	Disorder int // rows whose time falls
	Twice    int // rows that repeat another's place and time
	NoTime   int // rows without a time, in a log that has times
	Spread   int // rows of one whole second that were spread over it
	Untimed  bool
	Alone    int     // rows, on, that are linked to no other
	Jumps    int     // ways too fast to be driven
	Rough    int     // ways in turns that were laid in one piece, as there are too many
	NoWidth  int     // rows, on, without a width above 0
	Zero     int     // ways that are on at a rate of 0
	Mixed    bool    // rows go to and fro as those of several machines do that are not told apart
	NoRate   int     // rows, on, without a rate
	NoRateOn float64 // ground that they covered
}

// Lay lays a log whose rows lie at places of a plane, in meters.
func Lay(log *track.Log, places []orb.Point, o Options) *Laid {
	if o.Factor == 0 {
		o.Factor = 1
	}
	l := &layer{log: log, places: places, options: o, laid: &Laid{}}
	l.lay()
	return l.laid
}

// layer lays one log.
type layer struct {
	log     *track.Log
	places  []orb.Point
	options Options
	laid    *Laid
	order   []int32   // rows in the order of their machines and times
	time    []float64 // of the rows, in that order
	median  struct{ time, way float64 }
	meter   int // where the delayed rate was found last
}

func (l *layer) lay() {
	l.sort()
	l.measure()
	l.laid.Pieces = make([]coverage.Piece, 0, len(l.order))
	for from := 0; from < len(l.order); {
		to := from + 1
		for to < len(l.order) && l.linked(to-1) {
			to++
		}
		l.chain(from, to)
		if to < len(l.order) {
			l.gap(to - 1)
		}
		from = to
	}
}

func (l *layer) row(i int) *track.Row { return &l.log.Rows[l.order[i]] }

func (l *layer) at(i int) orb.Point { return l.places[l.order[i]] }

// rowOf returns the row that says what happens from place i to the next.
func (l *layer) rowOf(i int) int {
	if l.log.Records == track.Leading {
		return i
	}
	return i + 1
}

// Linked rows are those between which the machine drove straight: not longer apart, nor
// farther, than rows usually are, and no faster than machines are.
const (
	fastest   = 15 // m/s
	linkTime  = 5  // s
	linkTimes = 3  // medians
	linkWay   = 5  // m beyond three medians
)

// linked reports whether the machine drove straight from place i to the next.
func (l *layer) linked(i int) bool {
	if l.row(i).Machine != l.row(i+1).Machine {
		return false
	}
	way := distance(l.at(i), l.at(i+1))
	if way > float64(linkTimes*l.median.way)+linkWay {
		return false
	}
	if l.laid.Odd.Untimed {
		return true
	}
	t := l.time[i+1] - l.time[i]
	return t > 0 && t <= max(linkTime, linkTimes*l.median.time) && way <= fastest*t
}

// gap tells of two rows that are not linked where both are on.
func (l *layer) gap(i int) {
	a, b := l.row(i), l.row(i+1)
	if a.Machine != b.Machine || !a.On() || !b.On() {
		return
	}
	g := gap{From: l.at(i), To: l.at(i + 1), Width: l.log.WidthAt(b), Record: b.Record}
	t := l.time[i+1] - l.time[i]
	if !l.laid.Odd.Untimed && g.Length() > fastest*t {
		l.laid.Odd.Jumps++
	}
	if l.ahead(i) && (l.laid.Odd.Untimed || g.Length() <= fastest*t) {
		if rate := l.rate(l.rowOf(i)); rate > 0 {
			g.Amount = rate * g.Width * g.Length()
		}
		g.Bridged = l.options.Bridge && !l.laid.Odd.Untimed && t <= 10
	}
	if g.Bridged {
		l.chain(i, i+2)
	} else {
		l.laid.Ledger.Gaps += g.Amount
	}
	l.laid.Gaps = append(l.laid.Gaps, g)
}

// ahead reports whether the way behind place i, from it, and from the next on point the same
// way, within 10°.
func (l *layer) ahead(i int) bool {
	if i == 0 || i+2 >= len(l.order) || !l.linked(i-1) || !l.linked(i+1) {
		return false
	}
	across := minus(l.at(i+1), l.at(i))
	for _, way := range []orb.Point{minus(l.at(i), l.at(i-1)), minus(l.at(i+2), l.at(i+1))} {
		if dot(way, across) < 0.984807753012208*norm(way)*norm(across) { // cos 10°
			return false
		}
	}
	return true
}

// rate returns the rate of a row, moved by the delay of the material; NaN if there is none.
func (l *layer) rate(i int) float64 {
	r := l.row(i)
	if l.log.Delay == 0 || l.laid.Odd.Untimed {
		return r.Rate * l.options.Factor
	}
	want := l.time[i] - l.log.Delay
	k := min(l.meter, len(l.order)-1)
	for k > 0 && (l.row(k).Machine > r.Machine || l.row(k).Machine == r.Machine && l.time[k] > want) {
		k--
	}
	for k+1 < len(l.order) && (l.row(k+1).Machine < r.Machine || l.row(k+1).Machine == r.Machine && l.time[k+1] <= want) {
		k++
	}
	l.meter = k
	if l.row(k).Machine != r.Machine || l.time[k] > want {
		k = i // the meter had not begun to log
	}
	return l.row(k).Rate * l.options.Factor
}

func minus(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }

func dot(a, b orb.Point) float64 { return float64(a[0]*b[0]) + float64(a[1]*b[1]) }

func norm(a orb.Point) float64 { return math.Sqrt(dot(a, a)) }

func distance(a, b orb.Point) float64 { return norm(minus(a, b)) }

func median(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	slices.SortFunc(list, func(a, b float64) int { return cmp.Compare(a, b) })
	return list[len(list)/2]
}
