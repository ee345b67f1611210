package swath

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/geo/track"
)

// season is a job with everything: slanted passes, sections, a headland lap, noise.
func season(seed uint64, noise float64) *field {
	random := rand.New(rand.NewPCG(seed, 7))
	shake := func(p orb.Point) orb.Point {
		return orb.Point{p[0] + noise*random.NormFloat64(), p[1] + noise*random.NormFloat64()}
	}
	f := newField(21)
	f.log.Sections = []float64{3, 3, 3, 3, 3, 3, 3}
	open := func(at orb.Point) (uint64, float64) {
		all := uint64(127)
		if at[1] > 340 {
			all = 127 >> uint(int(at[0]/21)%4)
		}
		return all, 20 + 15*math.Sin(at[1]/40)
	}
	for i := range 14 {
		x := 10 + float64(i)*20.5
		from, to := orb.Point{x, 0}, orb.Point{x + 30, 400}
		if i%2 == 1 {
			from, to = to, from
		}
		f.clock += 60
		for k := range 134 {
			t := float64(k) / 133
			f.row(shake(orb.Point{from[0] + t*(to[0]-from[0]), from[1] + t*(to[1]-from[1])}), open)
		}
	}
	f.drive(orb.Point{-10, 10}, orb.Point{320, 12}, 3, open)
	return f
}

func ground(f *field) *coverage.Ground {
	return &coverage.Ground{
		Pieces: Lay(&f.log, f.places, Options{}).Pieces, Products: 1,
		Zones:    shapes(box(0, 0, 150, 200), box(150, 0, 300, 200), box(0, 200, 300, 400)),
		KeepOuts: shapes(box(100, 100, 140, 160)),
	}
}

func look(t *testing.T, g *coverage.Ground, o coverage.Options) *coverage.Tables {
	t.Helper()
	o.Judge, o.Spots = judge(20, 40, []float64{30, 20, 10}), 1<<twice|1<<skipped
	return sweep(t, g, o)
}

// same holds two tables against each other, within what they say of their own errors.
func same(t *testing.T, what string, a, b *coverage.Tables) {
	t.Helper()
	for m := range a.Marks {
		x, y := a.Marks[m], b.Marks[m]
		if math.Abs(x.Area-y.Area) > x.Error+y.Error {
			t.Errorf("%s: mark %d is %.3f and %.3f, with errors %.3f and %.3f", what, m, x.Area, y.Area, x.Error, y.Error)
		}
	}
}

func moved(f *field, move func(orb.Point) orb.Point) *field {
	g := *f
	g.places = nil
	for _, p := range f.places {
		g.places = append(g.places, move(p))
	}
	return &g
}

func TestTurnedAndShifted(t *testing.T) {
	f := season(1, 0.02)
	base := look(t, &coverage.Ground{Pieces: Lay(&f.log, f.places, Options{}).Pieces}, coverage.Options{})
	for _, angle := range []float64{0.3, 1.1, math.Pi / 2, 2.5} {
		sin, cos := math.Sincos(angle)
		g := moved(f, func(p orb.Point) orb.Point {
			return orb.Point{p[0]*cos - p[1]*sin + 1234.5, p[0]*sin + p[1]*cos - 777.7}
		})
		same(t, "turned", base, look(t, &coverage.Ground{Pieces: Lay(&g.log, g.places, Options{}).Pieces}, coverage.Options{}))
	}
}

func TestFinerLines(t *testing.T) {
	g := ground(season(2, 0.02))
	fine := look(t, g, coverage.Options{Spacing: 0.05})
	for _, h := range []float64{1, 0.5, 0.25, 0.125} {
		got := look(t, g, coverage.Options{Spacing: h})
		same(t, "finer", got, fine)
		for z := range got.Zones {
			if math.Abs(got.Zones[z].Area-fine.Zones[z].Area) > 1e-3*fine.Zones[z].Area {
				t.Errorf("h = %v: zone %d has %v and %v", h, z, got.Zones[z].Area, fine.Zones[z].Area)
			}
		}
	}
}

// A pass that is driven the other way covers the same ground, if the record behind a way
// tells of it.
func TestReversed(t *testing.T) {
	f := season(3, 0)
	g := *f
	g.log.Rows, g.places = slices.Clone(f.log.Rows), slices.Clone(f.places)
	slices.Reverse(g.log.Rows)
	slices.Reverse(g.places)
	for i := range g.log.Rows {
		g.log.Rows[i].Time = -g.log.Rows[i].Time
		open := uint64(0)
		for s := range 7 { // what was left is right
			open |= g.log.Rows[i].Open >> s & 1 << (6 - s)
		}
		g.log.Rows[i].Open = open
	}
	g.log.Records = 1 - f.log.Records
	same(t, "reversed", look(t, ground(f), coverage.Options{}), look(t, ground(&g), coverage.Options{}))
}

// T9: rows in any order give the very same pieces, and rows that are there twice are dropped.
func TestShuffledAndDoubled(t *testing.T) {
	f := season(4, 0.02)
	want := Lay(&f.log, f.places, Options{})
	g := *f
	g.log.Rows, g.places = slices.Concat(f.log.Rows, f.log.Rows), slices.Concat(f.places, f.places)
	rand.New(rand.NewPCG(5, 5)).Shuffle(len(g.places), func(a, b int) {
		g.log.Rows[a], g.log.Rows[b] = g.log.Rows[b], g.log.Rows[a]
		g.places[a], g.places[b] = g.places[b], g.places[a]
	})
	got := Lay(&g.log, g.places, Options{})
	if !reflect.DeepEqual(got.Pieces, want.Pieces) || got.Ledger != want.Ledger {
		t.Errorf("%d pieces and %+v, want %d and %+v", len(got.Pieces), got.Ledger, len(want.Pieces), want.Ledger)
	}
	if got.Odd.Twice != len(f.places) || got.Odd.Disorder == 0 {
		t.Errorf("%+v, want %d rows dropped, and disorder told", got.Odd, len(f.places))
	}
}

// All classes of ground add up to the field.
func TestClassesAddUp(t *testing.T) {
	got := look(t, ground(season(6, 0.03)), coverage.Options{})
	field := 0.0
	for _, z := range got.Zones {
		field += z.Area
	}
	inField := got.Marks[covered].Area - got.Marks[outside].Area + got.Marks[skipped].Area
	near(t, "covered and skipped", inField, field, 1e-12)
	near(t, "the field", field, 300*400, 1e-4)
}

func TestSameBitsOnAnyCores(t *testing.T) {
	g := ground(season(7, 0.03))
	before := runtime.GOMAXPROCS(1)
	one := look(t, g, coverage.Options{})
	runtime.GOMAXPROCS(2)
	two := look(t, g, coverage.Options{})
	runtime.GOMAXPROCS(5)
	five := look(t, g, coverage.Options{})
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(one, two) || !reflect.DeepEqual(one, five) {
		t.Error("the tables depend on the number of cores")
	}
	if len(one.Spots) == 0 {
		t.Error("no spots")
	}
}

// Without thinning, noise of a receiver walks: plain pieces of a creeping machine cover
// far more than the ground that it drives over.
func TestCreeping(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	f := newField(21)
	for i := range 6000 { // 0.3 m/s at 10 Hz
		f.row(orb.Point{0.02 * random.NormFloat64(), 0.03*float64(i) + 0.02*random.NormFloat64()}, steady(30))
		f.clock -= 0.9
	}
	laid := Lay(&f.log, f.places, Options{})
	got := look(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{})
	near(t, "covered", got.Marks[covered].Area, 21*0.03*5999, 0.003)
	if share := got.Marks[twice].Area / got.Marks[covered].Area; share > 0.002 {
		t.Errorf("%.2f %% is covered twice", 100*share)
	}
	if laid.Noise < 0.012 || laid.Noise > 0.03 || laid.Step > 4*laid.Noise {
		t.Errorf("noise %.3f m, step %.3f m, want 0.02 m of noise and a step under four times that", laid.Noise, laid.Step)
	}
}

// What breaks links: a jump of the receiver, a pause, machines whose rows are mixed.
func TestLinks(t *testing.T) {
	f := newField(20)
	f.log.Machines = []string{"1", "2"}
	for i := range 100 {
		y := 3 * float64(i)
		if i == 50 {
			f.row(orb.Point{400, y}, steady(30))
		} else {
			f.row(orb.Point{0, y}, steady(30))
		}
		f.row(orb.Point{100, y}, steady(30)).Machine = 1
		f.clock--
	}
	laid := Lay(&f.log, f.places, Options{})
	got := look(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{})
	near(t, "covered", got.Marks[covered].Area, 20*297+20*(297-6), 1e-4)
	if laid.Odd.Jumps != 2 || laid.Odd.Alone != 1 || len(laid.Gaps) != 2 || laid.Ledger.Gaps != 0 {
		t.Errorf("%+v, %d gaps with %v", laid.Odd, len(laid.Gaps), laid.Ledger.Gaps)
	}
}

// How far apart in meters and seconds two rows may be to be linked: three of the log's usual ways and 5 m,
// 5 s or three of its usual times, and 15 m/s. A gap is bridged up to 10 s, straight ahead within 10 degrees.
func TestBoundsOfLinks(t *testing.T) {
	for _, c := range []struct {
		way, time     float64 // of the other rows
		far, late     float64 // of the two
		aside         float64 // by which the second lies beside the line
		gaps, bridged int
	}{
		{3, 1, 14, 5, 0, 0, 0}, {3, 1, 14.01, 5, 0, 1, 1}, {3, 1, 15, 5, 0, 1, 1},
		{10, 1, 35, 5, 0, 0, 0}, {10, 1, 35.01, 5, 0, 1, 1},
		{3, 1, 6, 5.01, 0, 1, 1}, {3, 1, 6, 10, 0, 1, 1}, {3, 1, 6, 10.01, 0, 1, 0},
		{3, 2, 6, 6, 0, 0, 0}, {3, 2, 6, 6.01, 0, 1, 1},
		{8, 1, 15, 1, 0, 0, 0}, {8, 1, 15.01, 1, 0, 1, 0},
		{3, 1, 20, 6, 3.5, 1, 1}, {3, 1, 20, 6, 3.6, 1, 0}, // the tangent of 10 degrees is 0.1763
	} {
		f := newField(20)
		var y, clock, x float64
		for i := range 60 {
			if i > 0 {
				y, clock = y+c.way, clock+c.time
			}
			if i == 30 {
				y, clock, x = y-c.way+c.far, clock-c.time+c.late, c.aside
			}
			f.row(orb.Point{x, y}, steady(30)).Time = clock
		}
		laid := Lay(&f.log, f.places, Options{Bridge: true})
		bridged := 0
		for _, g := range laid.Gaps {
			if g.Bridged {
				bridged++
			}
		}
		if len(laid.Gaps) != c.gaps || bridged != c.bridged {
			t.Errorf("%+v: %d gaps, %d bridged", c, len(laid.Gaps), bridged)
		}
	}
}

// A row is dropped as a repetition of one at its place and time, whatever it says; without times, of the
// one before it that says the same. One of another machine never is.
func TestRepeatedRows(t *testing.T) {
	for _, c := range []struct {
		name    string
		untimed bool
		change  func(rows []track.Row) // of the second, which repeats the first
		twice   int
	}{
		{"the same", false, func([]track.Row) {}, 1},
		{"another rate", false, func(r []track.Row) { r[1].Rate = 31 }, 1},
		{"another time", false, func(r []track.Row) { r[1].Time += 0.5 }, 0},
		{"another place", false, func(r []track.Row) { r[1].At[0]++ }, 0},
		{"another machine", false, func(r []track.Row) { r[1] = r[29]; r[1].Machine = 1 }, 0},
		{"the same without times", true, func([]track.Row) {}, 1},
		{"another rate without times", true, func(r []track.Row) { r[1].Rate = 31 }, 0},
		{"other sections without times", true, func(r []track.Row) { r[1].Open = 3 }, 0},
		{"another place without times", true, func(r []track.Row) { r[1].At[0]++ }, 0},
		{"back again without times", true, func(r []track.Row) { r[1].At[0]++; r[2].At = r[0].At }, 0},
	} {
		f := newField(20)
		f.log.Machines = []string{"1", "2"}
		for i := range 30 {
			f.row(orb.Point{0, 3 * float64(max(0, i-1))}, steady(30)).Time = float64(max(0, i-1))
		}
		c.change(f.log.Rows)
		for i := range f.log.Rows {
			if f.places[i] = f.log.Rows[i].At; c.untimed {
				f.log.Rows[i].Time = math.NaN()
			}
		}
		if laid := Lay(&f.log, f.places, Options{}); laid.Odd.Twice != c.twice || laid.Odd.Untimed != c.untimed {
			t.Errorf("%s: %+v", c.name, laid.Odd)
		}
	}
}

// A pause on the way is a gap with an amount, and bridged only where that is asked for.
func TestGap(t *testing.T) {
	f := newField(20)
	for i := range 100 {
		f.row(orb.Point{0, 3 * float64(i)}, steady(30))
		if i == 50 {
			f.clock += 6
			for k := range f.places {
				f.places[k][1] -= 15
			}
		}
	}
	laid := Lay(&f.log, f.places, Options{})
	if len(laid.Gaps) != 1 || laid.Gaps[0].Length() != 18 || laid.Ledger.Gaps != 30*20*18 || laid.Gaps[0].Bridged {
		t.Fatalf("gaps %+v, ledger %+v", laid.Gaps, laid.Ledger)
	}
	bridged := Lay(&f.log, f.places, Options{Bridge: true})
	if bridged.Ledger.Gaps != 0 || math.Abs(total(bridged.Ledger)-total(laid.Ledger)) > 1e-6 || !bridged.Gaps[0].Bridged {
		t.Errorf("bridged: %+v, before %+v", bridged.Ledger, laid.Ledger)
	}
}

// Rows that can't be used are counted and lay nothing; a rate that is not known is no 0.
func TestOddRows(t *testing.T) {
	f := newField(20)
	f.drive(orb.Point{0, 0}, orb.Point{0, 300}, 3, steady(30))
	for i := 20; i < 40; i++ {
		f.log.Rows[i].Rate = math.NaN()
	}
	f.log.Rows[60].Width = 0
	f.log.Rows[80].Time = math.NaN()
	laid := Lay(&f.log, f.places, Options{})
	near(t, "ground without a rate", laid.Odd.NoRateOn, 20*20*3, 1e-9)
	if laid.Odd.NoWidth != 1 || laid.Odd.NoTime != 1 || laid.Odd.Twice != 0 {
		t.Errorf("%+v", laid.Odd)
	}
	got := look(t, &coverage.Ground{Pieces: laid.Pieces}, coverage.Options{})
	near(t, "covered", got.Marks[covered].Area, 20*(300-60-3), 1e-3)
}

// Whole seconds at 5 Hz are spread, so that no time stands still.
func TestWholeSeconds(t *testing.T) {
	f := newField(20)
	for i := range 200 {
		f.row(orb.Point{0, float64(i)}, steady(30)).Time = math.Floor(float64(i) / 5)
	}
	laid := Lay(&f.log, f.places, Options{})
	if laid.Odd.Spread != 200 || len(laid.Gaps) != 0 || laid.Driven != 199*20 {
		t.Errorf("%+v, %d gaps, driven %v", laid.Odd, len(laid.Gaps), laid.Driven)
	}
}
