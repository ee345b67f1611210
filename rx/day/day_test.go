package day_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx/day"
)

// days is how many random days a test draws.
func days(t *testing.T, n int) int {
	t.Helper()
	if testing.Short() {
		return n / 10
	}
	return n
}

func seeded(seed int) *rand.Rand { return rand.New(rand.NewPCG(uint64(seed), 7)) }

// window draws a window; whole numbers, so that ends often meet.
func window(r *rand.Rand) day.Window {
	low := 150 + r.IntN(200)
	return day.Window{Min: unit.Loading(low), Max: unit.Loading(low + r.IntN(120))}
}

// fewestOfAll tries all sets of upper ends, which holds a least one: a loading can be moved up
// to the first upper end.
func fewestOfAll(windows []day.Window) int {
	best := len(windows)
	for set := range 1 << len(windows) {
		count := 0
		for i := range windows {
			count += set >> i & 1
		}
		served := func(w day.Window) bool {
			for i, o := range windows {
				if set>>i&1 == 1 && w.Min <= o.Max && o.Max <= w.Max {
					return true
				}
			}
			return false
		}
		if count < best && !slices.ContainsFunc(windows, func(w day.Window) bool { return !served(w) }) {
			best = count
		}
	}
	return best
}

func TestFewestIsLeast(t *testing.T) {
	for seed := range days(t, 1000) {
		r := seeded(seed)
		windows := make([]day.Window, 1+r.IntN(10))
		for i := range windows {
			windows[i] = window(r)
		}
		got := day.Fewest(windows)
		if want := fewestOfAll(windows); len(got) != want {
			t.Fatalf("seed %d: %d loadings %v, want %d for %v", seed, len(got), got, want, windows)
		}
		for _, w := range windows {
			if !slices.ContainsFunc(got, func(l unit.Loading) bool { return day.Holds(w, l) }) {
				t.Fatalf("seed %d: none of %v is in %v", seed, got, w)
			}
		}
	}
	if got := day.Fewest(nil); got != nil {
		t.Errorf("no window: %v", got)
	}
}

// dosed draws a field whose window is cut around its rates or lies anywhere.
func dosed(r *rand.Rand) day.Dosed {
	d := day.Dosed{Window: window(r), Intended: 30}
	for range 1 + r.IntN(3) {
		d.Grounds = append(d.Grounds, day.Ground{Area: unit.Area(5 + r.IntN(60)), Dry: unit.DryRate(150 + r.IntN(200))})
	}
	return d
}

// leastMiss tries all sets of as many loadings where a least one can lie: where a zone gets its
// intended rate, and at the ends of windows.
func leastMiss(fields []day.Dosed, count int) float64 {
	var spots []float64
	for _, d := range fields {
		spots = append(spots, float64(d.Window.Min), float64(d.Window.Max))
		for _, g := range d.Grounds {
			spots = append(spots, 2000*30/float64(g.Dry))
		}
	}
	best := math.Inf(1)
	var try func(from int, chosen []float64)
	try = func(from int, chosen []float64) {
		if len(chosen) == count {
			sum := 0.0
			for _, d := range fields {
				one := math.Inf(1)
				for _, a := range chosen {
					miss := 0.0
					for _, g := range d.Grounds {
						miss += float64(g.Area) * math.Abs(a*float64(g.Dry)/2000-30)
					}
					if a >= float64(d.Window.Min) && a <= float64(d.Window.Max) {
						one = min(one, miss)
					}
				}
				sum += one
			}
			best = min(best, sum)
			return
		}
		for i := from; i < len(spots); i++ {
			try(i+1, append(slices.Clone(chosen), spots[i]))
		}
	}
	try(0, nil)
	return best
}

func TestLoadingsLieWhereLeastIsMissed(t *testing.T) {
	placed := 0
	for seed := range days(t, 1000) {
		r := seeded(seed)
		fields := make([]day.Dosed, 1+r.IntN(5))
		windows := make([]day.Window, len(fields))
		for i := range fields {
			fields[i] = dosed(r)
			windows[i] = fields[i].Window
		}
		least := len(day.Fewest(windows))
		if _, ok := day.Place(fields, least-1); ok && least > 1 {
			t.Fatalf("seed %d: placed with fewer loadings than serve", seed)
		}
		if least > 3 {
			continue
		}
		p, ok := day.Place(fields, least)
		if !ok || len(p.Loadings) > least {
			t.Fatalf("seed %d: %v, %v", seed, p, ok)
		}
		for i, d := range fields {
			if !day.Holds(d.Window, p.Loadings[p.Of[i]]) {
				t.Fatalf("seed %d: field %d at %v, window %v", seed, i, p.Loadings[p.Of[i]], d.Window)
			}
		}
		if got, want := float64(p.Miss(fields)), leastMiss(fields, least); math.Abs(got-want) > 1e-6*(1+want) {
			t.Fatalf("seed %d: misses %v, want %v with %d of %v", seed, got, want, least, fields)
		}
		placed++
	}
	if placed < days(t, 1000)/2 {
		t.Errorf("%d days placed alone", placed)
	}
}

// Of one zone the loading is 2000·T/R; of several the weighted median, worked by hand: 300, 240
// and 200 fl oz/ton with weights 2000, 10,000 and 6000 lb.
func TestMiddle(t *testing.T) {
	wide := day.Window{Min: 1, Max: 1000}
	three := day.Dosed{Window: wide, Intended: 30, Grounds: []day.Ground{{Area: 10, Dry: 200}, {Area: 40, Dry: 250}, {Area: 20, Dry: 300}}}
	for _, c := range []struct {
		group []day.Dosed
		want  unit.Loading
	}{
		{[]day.Dosed{{Window: wide, Intended: 30, Grounds: []day.Ground{{Area: 1, Dry: 200}}}}, 300},
		{[]day.Dosed{three}, 240},
		{[]day.Dosed{three, {Window: day.Window{Min: 250, Max: 260}}}, 250},
		{[]day.Dosed{three, {Window: day.Window{Min: 100, Max: 220}}}, 220},
	} {
		if got := day.Middle(c.group); got != c.want {
			t.Errorf("%v: %v, want %v", c.group, got, c.want)
		}
	}
}

// A field of more dry rates than loadings are tried gets the exact least too: the weighted median,
// found by adding up acres·R from the highest rate down.
func TestPlaceAmongManyRates(t *testing.T) {
	for _, zones := range []int{501, 777, 2000} {
		d := day.Dosed{Window: day.Window{Min: 1, Max: 1000}, Intended: 30}
		for i := range zones {
			d.Grounds = append(d.Grounds, day.Ground{Area: unit.Area(1 + i%3), Dry: unit.DryRate(100 + float64(i)*300/float64(zones))})
		}
		all, half, want := 0.0, 0.0, unit.Loading(0)
		for _, g := range d.Grounds {
			all += float64(g.Area) * float64(g.Dry)
		}
		for _, g := range slices.Backward(d.Grounds) {
			if half += float64(g.Area) * float64(g.Dry); half >= all/2 {
				want = unit.Loading(2000 * 30 / float64(g.Dry))
				break
			}
		}
		if p, ok := day.Place([]day.Dosed{d}, 1); !ok || len(p.Loadings) != 1 || math.Abs(float64(p.Loadings[0]/want)-1) > 1e-12 {
			t.Errorf("%d zones: placed at %v, want %v", zones, p.Loadings, want)
		}
	}
}

// Of loadings that miss as little the lowest stands, beside others as alone: a field of 300
// and 200 lb/ac misses 300 fl oz at each loading from 200 to 300 fl oz/ton.
func TestLowestOfEqualLoadings(t *testing.T) {
	level := day.Dosed{Window: day.Window{Min: 100, Max: 400}, Intended: 30, Grounds: []day.Ground{{Area: 20, Dry: 300}, {Area: 30, Dry: 200}}}
	high := day.Dosed{Window: day.Window{Min: 500, Max: 600}, Intended: 30, Grounds: []day.Ground{{Area: 10, Dry: 100}}}
	for _, c := range []struct {
		fields []day.Dosed
		want   []unit.Loading
	}{
		{[]day.Dosed{level}, []unit.Loading{200}},
		{[]day.Dosed{level, high}, []unit.Loading{200, 600}},
		{[]day.Dosed{high, level}, []unit.Loading{200, 600}},
	} {
		p, ok := day.Place(c.fields, len(c.want))
		if !ok || !slices.Equal(p.Loadings, c.want) || p.Miss(c.fields) != 300 {
			t.Errorf("%v: placed at %v, missing %v; want %v", c.fields, p.Loadings, p.Miss(c.fields), c.want)
		}
	}
}
