package split

import (
	"cmp"
	"slices"

	"rxsplit/rx"
)

// rank puts the best way first; ways that are equal stay in their order.
func rank(ways []rx.Way) {
	priced := true
	for _, w := range ways {
		priced = priced && (!w.Possible || w.Cost != nil && len(w.Cost.Missing) == 0)
	}
	slices.SortStableFunc(ways, func(a, b rx.Way) int {
		return cmp.Or(
			yesFirst(a.Possible, b.Possible),
			yesFirst(a.LeftOff == 0, b.LeftOff == 0),
			yesFirst(a.DryAdded+a.DryRemoved == 0, b.DryAdded+b.DryRemoved == 0),
			cheaper(a, b, priced),
			cmp.Compare(a.Loads+a.Passes, b.Loads+b.Passes),
		)
	})
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

func cheaper(a, b rx.Way, priced bool) int {
	if !priced || a.Cost == nil || b.Cost == nil {
		return 0
	}
	return cmp.Compare(a.Cost.Total, b.Cost.Total)
}
