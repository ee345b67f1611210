package swath

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/geo/track"
)

// Two machines in one log lay what each of them lays by itself, also where the rate comes late:
// a machine's rate is never looked up in the other's rows.
func TestTwoMachinesWithALateRate(t *testing.T) {
	const delay = 4.0
	lay := func(machines ...int32) (amount float64, pieces int, rates map[float64]bool) {
		f := newField(20)
		f.log.Machines, f.log.Delay = []string{"1", "2"}, delay
		for i := range 60 {
			for _, m := range machines {
				rate := 100*float64(m+1) + float64(i/10)
				r := f.row(orb.Point{200 * float64(m), 3 * float64(i)}, steady(rate))
				r.Machine, r.Time = m, float64(i)
			}
		}
		laid := Lay(&f.log, f.places, Options{Factor: 0.5})
		rates = map[float64]bool{}
		for _, p := range laid.Pieces {
			rates[p.Density] = true
		}
		return laid.Ledger.Pieces, len(laid.Pieces), rates
	}
	first, n, seen := lay(0)
	second, m, _ := lay(1)
	both, all, _ := lay(0, 1)
	near(t, "amount", both, first+second, 1e-12)
	if all != n+m || n < 50 || m < 50 {
		t.Errorf("%d pieces, want %d and %d", all, n, m)
	}
	// 59 seconds of 60 m² at half the rate, which is that of four seconds ago: 100 in the first
	// fourteen, 101 in the next ten, and so on. By the places it would be 100 for ten.
	want := 0.0
	for i := range 59 {
		want += 60 * 0.5 * (100 + float64(max(0, i+1-int(delay))/10))
	}
	if math.Abs(first-want) > 60*0.5*6 { // a row's rate may count for the way before it or behind
		t.Errorf("amount %v, want %v", first, want)
	}
	for _, rate := range []float64{50, 50.5, 51, 51.5, 52, 52.5} {
		if !seen[rate] {
			t.Errorf("nothing is laid at %v", rate)
		}
	}
}

// Places that zigzag by half a meter turn the boom to and fro, and what it covers by the places is not
// its width times its way. The log's own heading, north here, keeps it straight: 20 m wide and
// as long as the way north. Rows without one go by their places, as all do where it is not asked for.
func TestHeadingOfTheLog(t *testing.T) {
	lay := func(own bool, heading func(i int) float64) float64 {
		f := newField(20)
		for i := range 101 {
			f.row(orb.Point{0.5 * math.Sin(1.7*float64(i)), 3 * float64(i)}, steady(30)).Heading = heading(i)
		}
		got := look(t, &coverage.Ground{Pieces: Lay(&f.log, f.places, Options{Heading: own}).Pieces}, coverage.Options{})
		return got.Marks[covered].Area
	}
	north := func(int) float64 { return 0 }
	none := func(int) float64 { return math.NaN() }
	east := func(int) float64 { return 90 }
	near(t, "by its heading", lay(true, north), 20*300, 1e-4)
	if lay(true, none) == lay(true, north) || lay(false, north) != lay(false, none) || lay(true, none) != lay(false, none) {
		t.Errorf("%v by its heading, %v and %v by its places", lay(true, north), lay(false, north), lay(true, none))
	}
	if across := lay(true, east); across > 1.1*(300+40) {
		t.Errorf("a boom that points along its way covers %v m²", across)
	}
	if mixed := lay(true, func(i int) float64 { return []float64{0, math.NaN()}[i%2] }); mixed == lay(true, north) || mixed == lay(true, none) {
		t.Error("a heading that is stated by half of the rows is taken for all or for none")
	}
}

// What a stand took is the counter's growth beyond what rate and way explain, where no flow is
// logged: 20 s at 600 a second here, half of it in a mix of two.
func TestStandByItsCounter(t *testing.T) {
	f := newField(20)
	for i := range 100 {
		y := float64(min(i, 50) + max(0, i-70))
		f.row(orb.Point{0, y}, steady(30)).Total = 1000 + 600*float64(i)
	}
	for _, factor := range []float64{1, 0.5} {
		laid := Lay(&f.log, f.places, Options{Factor: factor})
		if len(laid.Stands) != 1 || laid.Stands[0].Seconds != 20 || math.Abs(laid.Stands[0].Amount-20*600*factor) > 1e-6 || laid.Stands[0].Width != 20 {
			t.Errorf("%+v, want 20 s and %v", laid.Stands, 20*600*factor)
		}
	}
	for i := range f.log.Rows { // one that was set back says nothing
		if i > 60 {
			f.log.Rows[i].Total -= 50_000
		}
	}
	if laid := Lay(&f.log, f.places, Options{}); len(laid.Stands) != 1 || !math.IsNaN(laid.Stands[0].Amount) {
		t.Errorf("%+v, want an amount that is not known", laid.Stands)
	}
}

// Where the boom begins to lay and where it ends: the middles of the ways right before and right
// behind the change, on the ground, so that they lie behind an antenna that is ahead of the boom.
func TestWhereTheBoomOpens(t *testing.T) {
	for _, c := range []struct {
		leading     bool
		back        float64
		opens, ends float64 // the place of the change
	}{{false, 0, 27, 57}, {true, 0, 30, 60}, {false, 4, 23, 53}} {
		f := newField(20)
		if f.log.Back = c.back; c.leading {
			f.log.Records = track.Leading
		}
		for i := range 40 {
			rate := 0.0
			if i >= 10 && i < 20 {
				rate = 30
			}
			f.row(orb.Point{0, 3 * float64(i)}, steady(rate))
		}
		laid := Lay(&f.log, f.places, Options{})
		for at, list := range map[float64][]Turn{c.opens: laid.Opened, c.ends: laid.Shut} {
			if len(list) != 1 || distance(list[0].Before, orb.Point{0, at - 1.5}) > 1e-9 || distance(list[0].Behind, orb.Point{0, at + 1.5}) > 1e-9 {
				t.Errorf("leading %v, boom %v m back: %v, want one at %v", c.leading, c.back, list, at)
			}
		}
	}
}
