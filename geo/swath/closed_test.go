package swath

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/track"
)

// The cases of this file have closed forms; the tolerance of each is relative.

// marks of the tests.
const (
	covered = iota
	twice
	skipped
	outside
	keptOut
	above
	offTarget
	onRate
	markCount
)

// judge marks ground by a rate's range and what is wanted of zones.
func judge(low, high float64, want []float64) func(*coverage.State) coverage.Marks {
	return func(s *coverage.State) (m coverage.Marks) {
		n, d := s.Covers[0], s.Density[0]
		set := func(mark int, on bool) {
			if on {
				m |= 1 << mark
			}
		}
		set(covered, n > 0)
		set(twice, n > 1)
		set(skipped, s.Zone >= 0 && n == 0)
		set(outside, s.Zone < 0 && n > 0)
		set(keptOut, s.KeptOut && n > 0)
		set(above, n > 0 && d > high*(1+1e-9))
		set(onRate, n > 0 && d >= low && d <= high)
		set(offTarget, s.Zone >= 0 && want != nil && math.Abs(d-want[s.Zone]) > 1e-9*want[s.Zone])
		return m
	}
}

func box(x0, y0, x1, y1 float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}}
}

func shapes(list ...orb.MultiPolygon) *geo.Shapes {
	s := &geo.Shapes{}
	for _, mp := range list {
		s.Append(mp)
	}
	return s
}

// field is a log in the making, in a plane.
type field struct {
	log    track.Log
	places []orb.Point
	clock  float64
}

func newField(width float64) *field {
	return &field{log: track.Log{Width: width, Machines: []string{"1"}}}
}

// drive adds rows along a line every step meters, a second apart; on says what is open and
// what is applied on the way to a place. A new pass begins a minute later.
func (f *field) drive(from, to orb.Point, step float64, on func(at orb.Point) (open uint64, rate float64)) {
	f.clock += 60
	n := int(math.Ceil(distance(from, to)/step - 1e-9))
	for i := range n + 1 {
		t := float64(i) / float64(n)
		f.row(orb.Point{from[0] + t*(to[0]-from[0]), from[1] + t*(to[1]-from[1])}, on)
	}
}

func (f *field) row(at orb.Point, on func(at orb.Point) (uint64, float64)) *track.Row {
	r := track.NewRow(at, int32(len(f.places)))
	r.Time = f.clock
	r.Open, r.Rate = on(at)
	f.clock++
	f.log.Rows, f.places = append(f.log.Rows, r), append(f.places, at)
	return &f.log.Rows[len(f.log.Rows)-1]
}

func steady(rate float64) func(orb.Point) (uint64, float64) {
	return func(orb.Point) (uint64, float64) { return 1, rate }
}

func sweep(t *testing.T, g *coverage.Ground, o coverage.Options) *coverage.Tables {
	t.Helper()
	g.Products = max(g.Products, 1)
	o.Marks = markCount
	tables, err := coverage.Sweep(g, o)
	if err != nil {
		t.Fatal(err)
	}
	return tables
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s is %.6f, want %.6f: off by %.2g, allowed %.2g", what, got, want, math.Abs(got/want-1), relative)
	}
}

// total is the amount of a whole log.
func total(l ledger) float64 { return l.Pieces + l.Standing + l.Gaps + l.Dropped }

func TestParallelPassesThatOverlap(t *testing.T) { // T1
	const n, w, length, rate = 20, 21.336, 800.0, 30.0
	f := newField(w)
	for i := range n {
		x := w/2 + float64(i)*0.9*w
		f.drive(orb.Point{x, 0}, orb.Point{x, length}, 3, steady(rate))
	}
	laid := Lay(&f.log, f.places, Options{})
	got := sweep(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{Judge: judge(20, 40, nil)})
	wantTwice := (n - 1) * 0.1 * w * length
	near(t, "covered twice", got.Marks[twice].Area, 32430.72, 1e-5)
	near(t, "covered twice", got.Marks[twice].Area, wantTwice, 1e-5)
	near(t, "covered once", got.Marks[covered].Area-got.Marks[twice].Area, 276514.56, 1e-5)
	near(t, "above the label", got.Marks[above].Area, wantTwice, 1e-5)
	near(t, "amount", got.Products[0].Outside, n*w*length*rate, 1e-5)
	near(t, "amount of the ledger", laid.Ledger.Pieces, n*w*length*rate, 1e-12)
	near(t, "controller's area", laid.Driven, n*w*length, 1e-12)
}

func TestPassesThatCross(t *testing.T) { // T2
	const w = 20.0
	angle := 37 * math.Pi / 180
	f := newField(w)
	f.drive(orb.Point{-200, 0}, orb.Point{200, 0}, 3, steady(30))
	f.drive(orb.Point{-200 * math.Cos(angle), -200 * math.Sin(angle)}, orb.Point{200 * math.Cos(angle), 200 * math.Sin(angle)}, 3, steady(30))
	got := sweep(t, &coverage.Ground{Pieces: Lay(&f.log, f.places, Options{}).Pieces}, coverage.Options{Judge: judge(20, 40, nil)})
	near(t, "covered twice", got.Marks[twice].Area, 664.656, 1e-4)
	near(t, "covered twice", got.Marks[twice].Area, w*w/math.Sin(angle), 1e-4)
}

// circle drives once around, with steps of a length.
func circle(radius, width, step float64) *field {
	f := newField(width)
	n := int(math.Round(2 * math.Pi * radius / step))
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		f.row(orb.Point{radius * cos, radius * sin}, steady(30))
	}
	return f
}

// In a circle the rate at a distance s from the middle of the boom is r/(1-κs): what is
// within a tenth of the rate is a ring. Steps of 3 m are chords, and may miss by a fifth.
func TestCircle(t *testing.T) { // T3
	const w = 20.0
	for _, c := range []struct{ radius, step, share, tolerance float64 }{
		{20, 0.25, 0.20406, 0.02}, {15, 0.25, 0.1530, 0.02}, {20, 3, 0.20406, 0.2}, {15, 3, 0.1530, 0.2},
	} {
		f := circle(c.radius, w, c.step)
		laid := Lay(&f.log, f.places, Options{})
		got := sweep(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{Judge: judge(27, 33, nil)})
		closed := (math.Pow(min(c.radius/0.9, c.radius+w/2), 2) - math.Pow(max(c.radius/1.1, c.radius-w/2), 2)) / (2 * c.radius * w)
		near(t, "closed form", closed, c.share, 5e-4)
		near(t, "covered", got.Marks[covered].Area, 2*math.Pi*w*c.radius, 0.002)
		share := got.Marks[onRate].Area / got.Marks[covered].Area
		near(t, "share within a tenth", share, closed, c.tolerance)
		near(t, "share, with the boom cut where it is a tenth off", share, closed, 0.002)
		near(t, "amount", got.Products[0].Outside, laid.Ledger.Pieces, 1e-3)
	}
}

// The inner end runs backwards around a pivot, where little ground gets much: a few thousandths
// of the amount were missed there by lines a quarter of a meter apart, wherever they lay.
func TestTightCircle(t *testing.T) { // T3b
	for i := range 24 {
		f := circle(6, 20, 0.25)
		for k := range f.places {
			f.places[k][0] += 0.0731 * float64(i)
			f.places[k][1] += 0.0513 * float64(i)
		}
		laid := Lay(&f.log, f.places, Options{})
		got := sweep(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{Judge: judge(27, 33, nil)})
		near(t, "covered", got.Marks[covered].Area, math.Pi*16*16, 0.003)
		near(t, "covered twice", got.Marks[twice].Area, math.Pi*4*4, 0.008)
		if i == 0 {
			near(t, "covered twice", got.Marks[twice].Area, math.Pi*4*4, 0.003)
		}
		near(t, "amount", got.Products[0].Outside, laid.Ledger.Pieces, 1e-3)
		near(t, "the ledger's amount", total(laid.Ledger), 2*math.Pi*6*20*30, 1e-3)
	}
}

// Sections that are switched on along an oblique edge: their ends span whole numbers of lines,
// which then miss nothing, wherever they lie and whichever way the edge rises.
func TestSectionsAlongAnObliqueEdge(t *testing.T) { // T5
	for _, c := range []struct{ slope, section, shift float64 }{
		{-1, 2, 0}, {1, 2, 0}, {1, 2, 0.1}, {0.7, 2, 0.17}, {-0.3, 2, 0.06}, {1, 1.5, 0}, {0.7, 3.048, 0.2},
	} {
		middle := func(i int) float64 { return c.section * (float64(i) - 4.5) } // bit 0 is the left section while driving north
		f := newField(10 * c.section)
		for range 10 {
			f.log.Sections = append(f.log.Sections, c.section)
		}
		begin := 11 + 9*(c.section-2)
		want := 0.0
		for i := range 10 {
			want += c.section * (210 - math.Ceil(2*(begin+c.slope*middle(i))-1e-9)/2)
		}
		f.drive(orb.Point{0, 0}, orb.Point{0, 210}, 0.5, func(at orb.Point) (open uint64, rate float64) {
			for i := range 10 {
				if at[1] > begin+c.slope*middle(i)+0.4999 { // a whole step behind the edge
					open |= 1 << i
				}
			}
			return open, 30
		})
		for i := range f.places {
			f.places[i][1] += c.shift
		}
		laid := Lay(&f.log, f.places, Options{})
		got := sweep(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{Judge: judge(20, 40, nil)})
		if c.section == 2 && c.slope*c.slope == 1 {
			near(t, "sections' ground", want, 3980, 1e-12)
		}
		near(t, "controller's area", laid.Driven, want, 1e-12)
		near(t, "covered", got.Marks[covered].Area, want, 1e-9)
	}
}

func TestRateThatComesLate(t *testing.T) { // T6a
	const w = 20.0
	rates := []float64{120, 200, 150, 250, 180, 220}
	var zones []orb.MultiPolygon
	for i := range rates {
		zones = append(zones, box(0, float64(i)*100, 10*w, float64(i+1)*100))
	}
	f := newField(w)
	for i := range 10 {
		x := w/2 + float64(i)*w
		f.drive(orb.Point{x, 0}, orb.Point{x, 600}, 2, func(at orb.Point) (uint64, float64) {
			return 1, rates[max(0, int(math.Floor((at[1]-18-0.5)/100)))]
		})
	}
	got := sweep(t, &coverage.Ground{Pieces: Lay(&f.log, f.places, Options{}).Pieces, Zones: shapes(zones...)}, coverage.Options{Judge: judge(0, 1, rates)})
	near(t, "off target", got.Marks[offTarget].Area, 10*5*w*18, 1e-4)
}

func TestBoomThatIsLoggedAhead(t *testing.T) { // T6b
	const w = 20.0
	f := newField(w)
	for i := range 10 {
		x := w/2 + float64(i)*w
		f.drive(orb.Point{x, 4}, orb.Point{x, 604}, 2, steady(30))
	}
	ground := func(back float64) *coverage.Tables {
		f.log.Back = back
		return sweep(t, &coverage.Ground{Pieces: Lay(&f.log, f.places, Options{}).Pieces, Zones: shapes(box(0, 0, 10*w, 600))}, coverage.Options{Judge: judge(20, 40, nil)})
	}
	got := ground(0)
	near(t, "outside", got.Marks[outside].Area, 800, 1e-3)
	near(t, "skipped", got.Marks[skipped].Area, 800, 1e-3)
	if put := ground(4); put.Marks[outside].Area+put.Marks[skipped].Area > 0.01 {
		t.Errorf("with the boom 4 m behind the antenna %.3f m² are outside or skipped", put.Marks[outside].Area+put.Marks[skipped].Area)
	}
}

func TestKeepOut(t *testing.T) { // T7
	f := newField(20)
	for i := range 10 {
		x := 10 + float64(i)*20
		f.drive(orb.Point{x, 0}, orb.Point{x, 600}, 3, steady(30))
	}
	g := &coverage.Ground{
		Pieces: Lay(&f.log, f.places, Options{}).Pieces, Zones: shapes(box(0, 0, 200, 600)),
		KeepOuts: shapes(box(51, 100, 88, 153)),
	}
	got := sweep(t, g, coverage.Options{Judge: judge(20, 40, nil)})
	near(t, "in the keep-out", got.Marks[keptOut].Area, 37*53, 1e-4)
	near(t, "amount there", got.Products[0].KeepOut, 37*53*30, 1e-4)
}

func TestStand(t *testing.T) { // T8
	const flow = 600.0 // a second: 30 × 20 m × 1 m/s
	f := newField(20)
	f.log.Records = track.Trailing
	f.drive(orb.Point{0, 0}, orb.Point{0, 100}, 1, steady(30))
	for range 20 {
		f.row(orb.Point{0, 100}, steady(30))
	}
	for y := 101.0; y <= 200; y++ {
		f.row(orb.Point{0, y}, steady(30))
	}
	shown := 0.0
	for i := range f.log.Rows {
		f.log.Rows[i].Flow = flow
		if i > 0 {
			shown += flow
		}
	}
	laid := Lay(&f.log, f.places, Options{})
	if len(laid.Stands) != 1 || laid.Stands[0].Seconds != 20 || laid.Stands[0].Amount != 20*flow {
		t.Fatalf("stands %+v, want one of 20 s and %v", laid.Stands, 20*flow)
	}
	if total(laid.Ledger) != shown || laid.Ledger.Pieces != 200*600 {
		t.Errorf("ledger %+v, total %v, want %v", laid.Ledger, total(laid.Ledger), shown)
	}
	for i := range f.log.Rows {
		f.log.Rows[i].Flow = math.NaN()
	}
	if laid = Lay(&f.log, f.places, Options{}); len(laid.Stands) != 1 || !math.IsNaN(laid.Stands[0].Amount) {
		t.Errorf("without flow: stands %+v, want one of unknown amount", laid.Stands)
	}
}

// A turn without product that begins at the very edge of a field bends no pass: bare is what a gap
// in the log leaves, and nothing is outside. The boom is shut there, or on at a rate of 0.
func TestTurnsAtTheEdge(t *testing.T) {
	const w, length, missing = 20.0, 400.0, 60.0
	for _, shut := range []func(orb.Point) (uint64, float64){
		func(orb.Point) (uint64, float64) { return 0, 30 },
		func(orb.Point) (uint64, float64) { return 1, 0 },
	} {
		f := newField(w)
		for i := range 10 {
			x, up := w/2+float64(i)*w, i%2 == 0
			for y := 0.0; y <= length; y += 5 {
				at, on := orb.Point{x, y}, steady(30)
				if !up {
					at[1] = length - y
				}
				if y == 0 {
					on = shut // the way to it is that of the turn
				}
				if i != 3 || y <= 150 || y > 150+missing-5 {
					f.row(at, on)
				} else {
					f.clock++
				}
			}
			for k := 1; k < 6; k++ {
				sin, cos := math.Sincos(math.Pi * float64(k) / 6)
				at := orb.Point{x + w/2*(1-cos), length + w/2*sin}
				if !up {
					at[1] = -w / 2 * sin
				}
				f.row(at, shut)
			}
		}
		g := &coverage.Ground{Pieces: Lay(&f.log, f.places, Options{}).Pieces, Zones: shapes(box(0, 0, 10*w, length))}
		got := sweep(t, g, coverage.Options{Judge: judge(20, 40, nil)})
		near(t, "skipped", got.Marks[skipped].Area, missing*w, 1e-6)
		if out, twice := got.Marks[outside].Area, got.Marks[twice].Area; out+twice > 1e-6 {
			t.Errorf("%.6f m² outside, %.6f twice", out, twice)
		}
	}
}

// A knot that its chain gives no chord has the heading of the one before it, by hand from the coordinates; the first looks north.
func TestHeadingWithoutAChord(t *testing.T) {
	l := &layer{}
	links := make([]link, 4)
	headings := func(places ...orb.Point) (along []orb.Point) {
		knots := make([]knot, len(places))
		for i, at := range places {
			knots[i].at = at
		}
		l.turn(knots, links[:len(knots)-1], 0)
		for _, k := range knots {
			along = append(along, k.along)
		}
		return along
	}
	for i, got := range headings(orb.Point{7, 7}, orb.Point{7, 7}, orb.Point{7, 7}) {
		if got != (orb.Point{0, 1}) {
			t.Errorf("standing, %d: %v", i, got)
		}
	}
	// All of it lies within 3 m of its end, which is its beginning; the fourth place is 4.38 m from
	// the second, in the direction (-2, 3.9), and 2.4 m from the end: its arc ends at (-1.10, -2.25).
	got := headings(orb.Point{0, 0}, orb.Point{2, -1.5}, orb.Point{2, 1.5}, orb.Point{0, 2.4}, orb.Point{0, 0})
	want := direction(orb.Point{}, orb.Point{-2 / 4.38292 * 2.4, 3.9/4.38292*2.4 - 4.38292})
	for i := 3; i < 5; i++ {
		if distance(got[i], want) > 1e-5 {
			t.Errorf("around, %d: %v, want %v", i, got[i], want)
		}
	}
}
