package split_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// leavingOff grades plain ground against a label of 20 to 40 fl oz/ac, which serves
// rates up to twice the lowest, where zones may stay untreated.
func leavingOff(t *testing.T, g []rxtest.Ground) (*rx.Prescription, *rx.Assessment) {
	p := rxtest.Plain(g...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.LeaveOff = true
	return p, rxtest.Grade(t, p, terms)
}

// pairs pairs acres and lb/ac.
func pairs(acresAndRates ...float64) []rxtest.Ground {
	var list []rxtest.Ground
	for i := 0; i < len(acresAndRates); i += 2 {
		list = append(list, rxtest.Ground{Acres: unit.Area(acresAndRates[i]), Rate: unit.DryRate(acresAndRates[i+1])})
	}
	return list
}

// One load serves the run of rates with the most acres; of equals the lowest.
func TestOneLoadServesTheMostAcres(t *testing.T) {
	for _, c := range []struct {
		name    string
		grounds []rxtest.Ground
		left    []int
	}{
		{"the low end", pairs(50, 100, 10, 200, 10, 350), []int{3}},
		{"the high end", pairs(10, 100, 10, 200, 50, 350), []int{1}},
		{"the middle", pairs(10, 100, 30, 250, 30, 300, 50, 650), []int{1, 4}},
		{"of equals the lowest", pairs(10, 300, 10, 100), []int{1}},
		{"acres and not zones", pairs(1, 100, 1, 150, 1, 200, 4, 500), []int{1, 2, 3}},
	} {
		p, a := leavingOff(t, c.grounds)
		w := wayOf(split.For(p, a, nil).Ways(), rx.OneLoad)
		if !w.Possible() || !slices.Equal(w.LeftZones, c.left) {
			t.Errorf("%s: left off %v, want %v", c.name, w.LeftZones, c.left)
		}
	}
}

// No other window of rates serves more acres: brute force over the lowest rate of it.
func TestOneLoadIsNeverBeaten(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := grounds(r, 12)
		p, a := leavingOff(t, g)
		w := wayOf(split.For(p, a, nil).Ways(), rx.OneLoad)
		var most unit.Area
		for _, low := range g {
			var served unit.Area
			for _, z := range g {
				if z.Rate >= low.Rate && z.Rate <= 2*low.Rate {
					served += z.Acres
				}
			}
			most = max(most, served)
		}
		if got := p.TreatedArea() - w.LeftOff; got < most-1e-9 {
			r.Fatalf("%v served, %v can be", got, most)
		}
	})
}

// Of loads that come equally near to the intended rate, those that are cut at the
// lowest rates are taken: 100 and 150, or 150 and 225, are 24 and 36 fl oz/ac alike.
func TestLoadsAreCutAtTheLowestOfEquals(t *testing.T) {
	p, a := graded(t, "", pairs(10, 100, 10, 150, 10, 225))
	w := wayOf(split.For(p, a, nil).Ways(), rx.Loads)
	if len(w.Loads) != 2 || !strings.Contains(w.Why, "cut at 150 lb/ac, loadings of ") {
		t.Errorf("%d loads: %s", len(w.Loads), w.Why)
	}
}
