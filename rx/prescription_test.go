package rx_test

import (
	"math"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// Sums run in blocks; each zone counts once, wherever a block ends.
func TestSumsOverManyZones(t *testing.T) {
	for _, n := range []int{1, 4095, 4096, 4097, 8192, 3*4096 + 1} {
		grounds := make([]rxtest.Ground, n)
		for i := range grounds {
			grounds[i] = rxtest.Ground{Acres: 2, Rate: 100}
		}
		p := rxtest.Plain(grounds...)
		if got, want := p.Area(), unit.Area(2*n); got != want {
			t.Errorf("%d zones: %v ac, want %v", n, float64(got), float64(want))
		}
		if got, want := p.DryMass(), unit.Mass(200*n); got != want {
			t.Errorf("%d zones: %v lb, want %v", n, float64(got), float64(want))
		}
	}
}

// Side by side, the product that is impregnated has acres and pounds of its own.
// By hand: zones of 10, 20, 30 and 40 ac; 100 of 150, 0 of 60 and 200 of 200 lb/ac are
// the carrier's, the last has no rate.
func TestSumsOfTheCarrier(t *testing.T) {
	none := unit.DryRate(math.NaN())
	p := &rx.Prescription{Zones: []rx.Zone{
		{Area: 10, Dry: 150, Carrier: 100}, {Area: 20, Dry: 60, Carrier: 0},
		{Area: 30, Dry: 200, Carrier: 200}, {Area: 40, Dry: none, Carrier: none},
	}}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"area", float64(p.Area()), 100},
		{"treated area", float64(p.TreatedArea()), 40},
		{"dry mass", float64(p.DryMass()), 1500 + 1200 + 6000},
		{"carrier mass", float64(p.CarrierMass()), 1000 + 6000},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	if low, high, ok := p.CarrierRange(); low != 100 || high != 200 || !ok {
		t.Errorf("carrier range: got %v to %v, %v", float64(low), float64(high), ok)
	}
}

// Off label is what is below, what is above, and what passes the season maximum.
func TestOffLabel(t *testing.T) {
	a := &rx.Assessment{Graded: rx.Graded{OverSeason: rx.Share{Area: 4}}}
	a.Shares[rx.Below].Area, a.Shares[rx.Within].Area, a.Shares[rx.Above].Area = 1, 8, 2
	a.Shares[rx.NoDry].Area, a.Shares[rx.NoRate].Area = 16, 32
	if got := a.OffLabel(); got != 7 {
		t.Errorf("got %v ac, want 7", float64(got))
	}
}

// A system has its code where that is known, a source the digest of the file that was named, and of products beside each
// other one is impregnated.
func TestWhatASourceSays(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{rx.Source{System: "UTM"}.SystemText(), "UTM"}, {rx.Source{System: "UTM", EPSG: 32615}.SystemText(), "UTM (EPSG:32615)"},
		{rx.Source{}.SHA256(), ""}, {rx.Source{Files: []rx.SourceFile{{SHA256: "1"}, {SHA256: "2"}}}.SHA256(), "1"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
