package split

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/rx"
)

// rank puts the best way first: ready before conditional before impossible; all treated
// acres before some left off; room for the rate error before less; the prescription kept
// before changed; then the cost at its upper end and the passes. Where a price is missing
// it is the passes, the loads and the stabilizer. Ways that are equal stay in the order of
// the registry. A way that comes to the same plan as one before it says so.
func (t *Task) rank(ways []rx.Way) {
	_, priced := rx.Unpriced(ways)
	slices.SortStableFunc(ways, func(a, b rx.Way) int {
		return cmp.Or(
			cmp.Compare(b.State, a.State),
			yesFirst(a.LeftOff == 0, b.LeftOff == 0),
			yesFirst(t.roomy(a), t.roomy(b)),
			yesFirst(a.KeepsRates(), b.KeepsRates()),
			cheaper(a, b, priced),
			cmp.Compare(a.Passes, b.Passes),
			cmp.Compare(len(a.Loads), len(b.Loads)),
			cmp.Compare(math.Round(float64(a.Stabilizer)), math.Round(float64(b.Stabilizer))),
		)
	})
	for i := range ways {
		for _, before := range ways[:i] {
			if ways[i].Possible() && before.SameAs == "" && samePlan(before, ways[i]) {
				ways[i].SameAs = before.Name
			}
		}
	}
}

func yesFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// cheaper compares costs by the cent: what is the same work is the same cost.
func cheaper(a, b rx.Way, priced bool) int {
	if !priced || a.Cost == nil || b.Cost == nil {
		return 0
	}
	return cmp.Compare(math.Round(100*a.Cost.High), math.Round(100*b.Cost.High))
}

// samePlan reports whether two ways come to the same work on the same ground, but for the
// rounding of sums.
func samePlan(a, b rx.Way) bool {
	return a.State == b.State && a.Passes == b.Passes && a.Stacked == b.Stacked && a.KeepsRates() && b.KeepsRates() &&
		a.Sprayed == b.Sprayed && slices.Equal(a.LeftZones, b.LeftZones) &&
		slices.EqualFunc(a.Loads, b.Loads, func(l, m rx.Load) bool {
			return l.Loading == m.Loading && l.Rates == m.Rates && math.Abs(float64(l.Mass-m.Mass)) <= 1e-9*float64(l.Mass)
		})
}
