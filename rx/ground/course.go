package ground

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/lane"
	"rxsplit/geo/swath"
	"rxsplit/internal/cores"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// Course says how a machine drives a layer on paper: straight parallel passes from one edge
// of the field to the other, every other one back, without turns.
//
// The machine knows one rate at a time: that of the zone in which the middle of its boom is.
// A change of it does nothing for Dead, then goes evenly to the new rate during Ramp. Where
// a pass begins, after ground that gets nothing, it begins at the rate that holds there, and
// where that ends it is off at once.
type Course struct {
	Width   unit.Length // above 0
	Speed   unit.Speed  // above 0
	Dead    unit.Time   // 0 or more
	Ramp    unit.Time   // 0 or more
	Ahead   unit.Time   // that changes are called for earlier
	Azimuth float64     // of the passes, degrees clockwise from north
	Offset  unit.Length // by which the first pass begins outside the field's edge

	// Laps are driven around the field first; the passes then treat what they leave.
	Laps int
	// Sections, all of one width, close by themselves over ground that laps covered or that
	// gets nothing. With less than 2 the boom is opened and closed as one.
	Sections int
}

// Sides of the boom that are held against the field: it is on while any of them is over
// ground that is to get something, and knows the rate of the first that is over a zone.
var sides = [...]float64{0, -0.499, 0.499, -0.25, 0.25}

// How often passes may meet edges of zones, beside so often for each corner of those: a grid of acres
// that a boom of 12 m drives across takes 3 for each corner. A small file with far more is needles,
// and none that a machine could follow.
const (
	freeMeets = 20_000
	eachMeets = 5
)

// mostPasses bounds the work of a field that is huge, or of a swath that is tiny.
const mostPasses = 20_000

// Passes drives a layer on paper.
func (f *Field) Passes(layer int, c Course) (*Drive, error) {
	land, err := f.headland(c)
	if err != nil {
		return nil, err
	}
	return f.passes(layer, c, land)
}

// passes drives a layer with the headland of its course.
func (f *Field) passes(layer int, c Course, land headland) (*Drive, error) {
	r, err := f.route(layer, c, land)
	if err != nil {
		return nil, err
	}
	return r.drive(c.Ahead), nil
}

// route is a course over the field with all that decides what it lays but for how early changes
// are called for.
type route struct {
	*way
	layer   int
	land    headland
	targets []float64 // by zone
	passes  []path
	rooms   [][]coverage.Piece // of what each pass lays
}

// path is what a pass is to lay on its way, and where each section is open; nil where nothing closes.
type path struct {
	legs []leg
	open [][]leg
}

// route lays the course of a layer over the field.
func (f *Field) route(layer int, c Course, land headland) (*route, error) {
	r := &route{way: newWay(c, f.zones), layer: layer, land: land, targets: make([]float64, len(f.Prescription.Zones))}
	for z := range r.targets {
		r.targets[z] = f.target(layer, z)
	}
	if r.count > mostPasses {
		return nil, &Error{"the field is more than 20 000 passes across", "compare the units of the machine's width"}
	}
	shapes, wanted := f.withKept(layer, r.targets)
	if r.meets(shapes) > float64(freeMeets+eachMeets*len(shapes.Points)) {
		return nil, &Error{"zones are so narrow or so jagged, for so many of them, that the passes would change on every step", "drive along them with --azimuth, or compare the units of the machine's width"}
	}
	lines, open := r.lines(shapes, sides[:]), r.openings(f.zones, r.targets, land)
	r.passes = cores.Map(r.count, 1, func(i, _ int) path {
		return pathOf(i, legsOf(lines[i*len(sides):(i+1)*len(sides)], wanted), open.of(i))
	})
	return r, nil
}

// drive lays a route on which changes are called for so much earlier.
func (r *route) drive(ahead unit.Time) *Drive {
	r.ahead = r.meters(ahead)
	laid := &swath.Laid{}
	r.laps(laid, r.land, r.targets)
	if r.rooms == nil {
		r.rooms = make([][]coverage.Piece, r.count)
	}
	cores.Each(r.count, func(i int) { r.rooms[i] = r.pass(r.rooms[i][:0], i, r.passes[i]) })
	n := 0
	for _, pieces := range r.rooms {
		n += len(pieces)
	}
	laid.Pieces = slices.Grow(laid.Pieces, n)
	for _, pieces := range r.rooms {
		laid.Pieces = append(laid.Pieces, pieces...)
		for k := range pieces {
			ring := &pieces[k].Ring
			area := float64(r.width / float64(r.sections) * samebits.Hypot(ring[3][0]-ring[0][0], ring[3][1]-ring[0][1]))
			laid.Driven += area
			laid.Ledger.Pieces += float64(pieces[k].Density * area)
		}
	}
	return &Drive{Layer: r.layer, laid: laid}
}

// way is a course over a field, in a frame whose passes run along its second axis.
type way struct {
	course     Course
	along      orb.Point // unit vector
	width      float64
	left       float64 // of the first pass
	count      int
	sections   int     // 1 or more
	speed      float64 // m/s
	dead, ramp float64 // m
	ahead      float64
}

func newWay(c Course, zones *geo.Shapes) *way {
	l := lane.Over(zones.Points, c.Azimuth, unit.Meters(c.Width), unit.Meters(c.Offset))
	w := &way{course: c, along: l.Along, width: l.Width, left: l.Left, count: l.Count, sections: max(c.Sections, 1)}
	w.speed = unit.Meters(unit.Foot) * float64(c.Speed) * 5280 / 3600
	w.dead, w.ramp = w.meters(c.Dead), w.meters(c.Ramp)
	return w
}

// meters is how far the machine drives in a time.
func (w *way) meters(t unit.Time) float64 { return float64(t/unit.Second) * w.speed }

// turn brings a place into the frame: across to the right, and ahead.
func (w *way) turn(p orb.Point) orb.Point { return lane.Lanes{Along: w.along}.Turn(p) }

func (w *way) back(q orb.Point) orb.Point { return lane.Lanes{Along: w.along}.Back(q) }

// meeting is where a line goes into a zone or out of it.
type meeting struct {
	at   float64
	zone int32
}

// lines returns where lines of each pass meet shapes, in order. They lie beside the boom's
// middle, by parts of its width.
func (w *way) lines(shapes *geo.Shapes, beside []float64) [][]meeting {
	lines := make([][]meeting, w.count*len(beside))
	for z := range shapes.Len() {
		for r, end := shapes.ShapeRings(z); r < end; r++ {
			ring := shapes.Ring(r)
			for i := 1; i < len(ring); i++ {
				w.edge(lines, beside, w.turn(ring[i-1]), w.turn(ring[i]), int32(z))
			}
		}
	}
	cores.Each(len(lines), func(i int) {
		slices.SortFunc(lines[i], func(a, b meeting) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.zone, b.zone)) })
	})
	return lines
}

// meets is about how often the middles of passes meet the edges of shapes.
func (w *way) meets(shapes *geo.Shapes) (n float64) {
	for r := range shapes.RingEnds {
		ring := shapes.Ring(r)
		for i := 1; i < len(ring); i++ {
			n += math.Abs(w.turn(ring[i])[0]-w.turn(ring[i-1])[0]) / w.width
		}
	}
	return n
}

func (w *way) edge(lines [][]meeting, beside []float64, a, b orb.Point, zone int32) {
	if a[0] > b[0] {
		a, b = b, a
	}
	from := max(0, int(math.Floor((a[0]-w.left)/w.width))-1)
	to := min(w.count, int(math.Floor((b[0]-w.left)/w.width))+2)
	for pass := from; pass < to; pass++ {
		for s, part := range beside {
			x := w.left + float64((float64(pass)+0.5+part)*w.width)
			if (a[0] <= x) != (b[0] <= x) {
				at := a[1] + float64((b[1]-a[1])*((x-a[0])/(b[0]-a[0])))
				lines[pass*len(beside)+s] = append(lines[pass*len(beside)+s], meeting{at, zone})
			}
		}
	}
}

// leg is a part of a pass with one target.
type leg struct{ from, to, target float64 }

// pathOf is a pass as it is driven: every other one back.
func pathOf(i int, legs []leg, open [][]leg) path {
	if i%2 == 1 {
		legs = mirrored(legs)
		for k := range open {
			open[k] = mirrored(open[k])
		}
	}
	if open != nil {
		legs = within(legs, joined(open))
	}
	return path{legs, open}
}

// pass lays one pass behind other pieces.
func (w *way) pass(pieces []coverage.Piece, i int, p path) []coverage.Piece {
	sign := float64(1 - i%2*2)
	w.run(p.legs, func(l leg) {
		if p.open == nil {
			pieces = append(pieces, w.piece(i, 0, sign, l))
		}
		for k := range p.open {
			for _, part := range within([]leg{l}, p.open[k]) {
				pieces = append(pieces, w.piece(i, k, sign, part))
			}
		}
	})
	return pieces
}

// mirrored turns legs round.
func mirrored(legs []leg) []leg {
	slices.Reverse(legs)
	for k, l := range legs {
		legs[k] = leg{-l.to, -l.from, l.target}
	}
	return legs
}

// run has what a machine does on legs laid: where it is off, it begins anew.
func (w *way) run(legs []leg, lay func(leg)) {
	for from := 0; from < len(legs); {
		to := from + 1
		for to < len(legs) && legs[to].from == legs[to-1].to && legs[to].target > 0 && legs[from].target > 0 {
			to++
		}
		if legs[from].target > 0 {
			for _, l := range w.driven(legs[from:to]) {
				lay(l)
			}
		}
		from = to
	}
}

// piece is the ground of a section, counted from the left on the way there, on a leg. The
// product's number is set when it is laid.
func (w *way) piece(pass, section int, sign float64, l leg) coverage.Piece {
	n := float64(w.sections)
	left := w.left + float64((float64(pass)+float64(section)/n)*w.width)
	right := w.left + float64((float64(pass)+float64(section+1)/n)*w.width)
	if sign < 0 {
		left, right = right, left
	}
	at := func(x, y float64) orb.Point { return w.back(orb.Point{x, sign * y}) }
	return coverage.Piece{Ring: [4]orb.Point{at(left, l.from), at(right, l.from), at(right, l.to), at(left, l.to)}, Density: l.target}
}

// legsOf cuts a pass where the target changes.
func legsOf(lines [][]meeting, targets []float64) (legs []leg) {
	var cuts []float64
	for _, line := range lines {
		for _, m := range line {
			cuts = append(cuts, m.at)
		}
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	walkers := make([]sideWalker, len(lines))
	for i := range lines {
		walkers[i].line = lines[i]
	}
	for i := 1; i < len(cuts); i++ {
		middle, target := (cuts[i-1]+cuts[i])/2, 0.0
		for s := range walkers {
			if z := walkers[s].zoneAt(middle); z >= 0 {
				target = targets[z]
				break
			}
		}
		if n := len(legs); n > 0 && legs[n-1].target == target {
			legs[n-1].to = cuts[i]
		} else {
			legs = append(legs, leg{cuts[i-1], cuts[i], target})
		}
	}
	return legs
}

// sideWalker goes along the line of one side of a boom.
type sideWalker struct {
	line []meeting
	next int
	in   []int32
}

// zoneAt returns the first zone at a place that is not before the last one; -1 for none.
func (s *sideWalker) zoneAt(at float64) int {
	for ; s.next < len(s.line) && s.line[s.next].at <= at; s.next++ {
		zone := s.line[s.next].zone
		if i := slices.Index(s.in, zone); i >= 0 {
			s.in = slices.Delete(s.in, i, i+1)
		} else {
			s.in = append(s.in, zone)
		}
	}
	if len(s.in) == 0 {
		return -1
	}
	return int(slices.Min(s.in))
}

// rampStep is how long the legs of a ramp are, in meters.
const rampStep = 1

// driven returns what a machine puts on legs that follow each other, all above 0: changes
// come late, and not at once.
func (w *way) driven(legs []leg) (out []leg) {
	end := legs[len(legs)-1].to
	at, rate, goal := legs[0].from, legs[0].target, legs[0].target
	begin := at // of the ramp
	from := rate
	advance := func(to float64) {
		for at < to {
			next := to
			if rate != goal && at < begin+w.ramp {
				next = min(to, begin+w.ramp, at+rampStep)
			} else {
				rate = goal
			}
			after := rate
			if rate != goal {
				after = from + float64((goal-from)*((next-begin)/w.ramp))
				if next >= begin+w.ramp {
					after = goal
				}
			}
			out = append(out, leg{at, next, (rate + after) / 2})
			at, rate = next, after
		}
	}
	for _, l := range legs[1:] {
		change := min(max(l.from-w.ahead+w.dead, at), end)
		advance(change)
		begin, from, goal = change, rate, l.target
		if w.ramp == 0 {
			rate = goal
		}
	}
	advance(end)
	return out
}
