package split

import (
	"math"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Each reason to take a way first holds against all those behind it, and none before it counts less.
func TestEachReasonOutranksTheNext(t *testing.T) {
	task := &Task{terms: rx.Terms{RateError: 0.05}}
	worse := []func(w *rx.Way){ // the most important first
		func(w *rx.Way) { w.State = rx.Conditional },
		func(w *rx.Way) { w.LeftOff = 1 },
		func(w *rx.Way) { w.Room = 0.04 },
		func(w *rx.Way) { w.DryAdded = 1 },
		func(w *rx.Way) { w.Cost = &rx.Cost{High: 100.01} },
		func(w *rx.Way) { w.Passes = 2 },
		func(w *rx.Way) { w.Loads = make([]rx.Load, 2) },
		func(w *rx.Way) { w.Stabilizer = 2 * unit.Gallon },
	}
	for k := range worse {
		good := rx.Way{Name: "good", State: rx.Ready, Room: 0.05, Passes: 1, Loads: make([]rx.Load, 1), Stabilizer: unit.Gallon, Cost: &rx.Cost{High: 100}}
		bad := good
		bad.Name = "bad"
		worse[k](&bad)
		for _, change := range worse[k+1:] {
			change(&good)
		}
		ways := []rx.Way{bad, good}
		if task.rank(ways); ways[0].Name != "good" {
			t.Errorf("reason %d: what is worse by it alone comes first", k+1)
		}
	}
}

// The room that is told is a decimal of a percent down, or as many as it takes to tell some.
func TestRoomIsToldRoundedDown(t *testing.T) {
	for _, c := range []struct {
		room  float64
		whole unit.Ratio
		want  float64
	}{
		{0.0239, 0.05, 0.023}, {0.023, 0.05, 0.023}, {0.00049, 0.05, 0.0004}, {0.00001, 0.05, 0.00001}, {0.0000004, 0.05, 0.0000004},
		{0.04999, 0.05, 0.049}, {0.049999, 0.05, 0.049}, {0.05049, 0.0505, 0.05}, {0, 0.05, 0},
	} {
		if got := float64(roomFor(c.room, c.whole)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v of %v: %v, want %v", c.room, float64(c.whole), got, c.want)
		}
	}
}

// The rate nearest to the boom's that leaves room, by hand: 20 to 40 fl oz/ac with 5 % are 21.0526 to
// 38.095, and 1538.5 to 2783.9 mL/ha.
func TestRateThatLeavesRoom(t *testing.T) {
	for _, c := range []struct {
		units unit.System
		error unit.Ratio
		rate  float64
		want  float64 // in the units
	}{
		{unit.US, 0.05, 20, 21.1}, {unit.US, 0.05, 40, 38}, {unit.US, 0.05, 30, 30}, {unit.US, 0.4, 30, 0},
		{unit.Metric, 0.05, 20, 1539}, {unit.Metric, 0.05, 40, 2783}, {unit.Metric, 0.4, 30, 0},
	} {
		low, high := 20*unit.FluidOuncePerAcre, 40*unit.FluidOuncePerAcre
		task := &Task{terms: rx.Terms{RateError: c.error, Units: c.units, Label: &label.Profile{Rate: label.Range[unit.LiquidRate]{Min: low, Max: high}}}}
		if got := task.roomyRate(unit.LiquidRate(c.rate)).In(c.units); math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("%v, %v: %v, want %v", c.units, c.rate, got, c.want)
		}
	}
}

// Two ways come to the same plan where nothing of it differs but the last digits of a sum.
func TestWhatIsTheSamePlan(t *testing.T) {
	plan := func() rx.Way {
		return rx.Way{State: rx.Ready, Passes: 2, Stacked: true, Sprayed: 40, LeftZones: []int{3}, Loads: []rx.Load{{Loading: 300, Rates: rx.Range[unit.DryRate]{Min: 100, Max: 200}, Mass: 1000}}}
	}
	for what, c := range map[string]struct {
		change func(w *rx.Way)
		same   bool
	}{
		"nothing": {func(*rx.Way) {}, true}, "its name": {func(w *rx.Way) { w.Name = "x" }, true}, "a sum's last digit": {func(w *rx.Way) { w.Loads[0].Mass += 1e-7 }, true},
		"state": {func(w *rx.Way) { w.State = rx.Conditional }, false}, "passes": {func(w *rx.Way) { w.Passes = 1 }, false}, "stacked": {func(w *rx.Way) { w.Stacked = false }, false},
		"added": {func(w *rx.Way) { w.DryAdded = 1 }, false}, "removed": {func(w *rx.Way) { w.DryRemoved = 1 }, false}, "sprayed": {func(w *rx.Way) { w.Sprayed = 41 }, false}, "left": {func(w *rx.Way) { w.LeftZones = nil }, false},
		"loads": {func(w *rx.Way) { w.Loads = nil }, false}, "loading": {func(w *rx.Way) { w.Loads[0].Loading = 301 }, false}, "rates": {func(w *rx.Way) { w.Loads[0].Rates.Max = 201 }, false}, "mass": {func(w *rx.Way) { w.Loads[0].Mass += 1e-5 }, false},
	} {
		one, other := plan(), plan()
		c.change(&other)
		if samePlan(one, other) != c.same || samePlan(other, one) != c.same {
			t.Errorf("%s differs: the same is %v", what, !c.same)
		}
	}
	if _, err := new(Task).Plan("by air"); err == nil || err.Error() != "no way is called by air" {
		t.Error(err)
	}
}
