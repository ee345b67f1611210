package day_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx/day"
)

// Worked by hand: 10 h of blender, 8 h of spreaders.
func TestLate(t *testing.T) {
	none := unit.Time(math.Inf(1))
	has := day.Hours{Blender: 10 * unit.Hour, Spreader: 8 * unit.Hour, Boom: none}
	h := func(blender, spreader, boom float64) day.Hours {
		return day.Hours{Blender: unit.Time(blender) * unit.Hour, Spreader: unit.Time(spreader) * unit.Hour, Boom: unit.Time(boom) * unit.Hour}
	}
	for _, c := range []struct {
		name       string
		works      []day.Hours
		priorities []int
		late       []int
	}{
		{"all fit, to the last minute", []day.Hours{h(4, 4, 0), h(6, 4, 0)}, []int{2, 2}, nil},
		{"the listed first", []day.Hours{h(6, 1, 0), h(5, 1, 0)}, []int{2, 2}, []int{1}},
		{"priority before the list", []day.Hours{h(6, 1, 0), h(5, 1, 0)}, []int{2, 1}, []int{0}},
		{"a smaller one still fits", []day.Hours{h(6, 1, 0), h(5, 1, 0), h(4, 1, 0)}, []int{1, 2, 3}, []int{1}},
		{"either machine", []day.Hours{h(1, 8, 0), h(1, 1, 0), h(9, 0, 0), h(0, 0, 99)}, []int{1, 2, 3, 3}, []int{1}},
		{"in the order of priorities", []day.Hours{h(20, 0, 0), h(20, 0, 0), h(20, 0, 0)}, []int{3, 2, 1}, []int{2, 1, 0}},
	} {
		if got := day.Late(c.works, c.priorities, has); !slices.Equal(got, c.late) {
			t.Errorf("%s: %v, want %v", c.name, got, c.late)
		}
	}
}

// Of drawn days: what fits is within the hours, and what is late would not have been beside those
// that went before it.
func TestLateIsOnlyWhatMustBe(t *testing.T) {
	for seed := range days(t, 500) {
		r := rand.New(rand.NewPCG(uint64(seed), 9))
		works, priorities := make([]day.Hours, 1+r.IntN(30)), []int(nil)
		for i := range works {
			works[i] = day.Hours{Blender: unit.Time(r.IntN(90)), Spreader: unit.Time(r.IntN(90)), Boom: unit.Time(r.IntN(90))}
			priorities = append(priorities, 1+r.IntN(3))
		}
		has := day.Hours{Blender: unit.Time(r.IntN(900)), Spreader: unit.Time(r.IntN(900)), Boom: unit.Time(r.IntN(900))}
		late := day.Late(works, priorities, has)
		used := func(until int) (sum day.Hours) {
			for i, w := range works {
				first := priorities[i] < priorities[until] || priorities[i] == priorities[until] && i < until
				if first && !slices.Contains(late, i) {
					sum = sum.Plus(w)
				}
			}
			return sum
		}
		for i, w := range works {
			all := used(i).Plus(w)
			over := all.Blender > has.Blender || all.Spreader > has.Spreader || all.Boom > has.Boom
			if over != slices.Contains(late, i) {
				t.Fatalf("seed %d, field %d: with those before it %v of %v, late %v", seed, i, all, has, late)
			}
		}
	}
}
