// Package day plans the morning of a plant that blends for many fields: which of them share a
// loading, where the loadings lie, which fields go by the boom, what to order and what may
// become of treated blend that comes back.
//
// Fields share a loading within one [Blend] alone; what all of a day share is the boom. The
// package works on windows and costs that others have found; it reads nothing and prints
// nothing. The label in hand comes before anything that it finds.
package day

import (
	"cmp"
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Window is the loadings that keep all of a field on label, both ends included; see
// [rx.Terms.Window].
type Window = rx.Range[unit.Loading]

// Holds reports whether a loading lies in the window. Unlike [rx.Range.Contains] it allows
// no leeway: where fields share a loading, every one of them is to be on label.
func Holds(w Window, l unit.Loading) bool { return w.Min <= l && l <= w.Max }

// Fewest returns the least number of loadings of which each window of one blend holds one, in
// ascending order: of the windows in the order of their upper ends, the first's upper end, then that of
// the first that does not hold it, and so on. That the count is the least is a classic result
// on intervals: the windows whose ends are taken have no loading in common.
func Fewest(windows []Window) (loadings []unit.Loading) { return fewest(windows) }

func fewest[Q ~float64](ranges []rx.Range[Q]) (points []Q) {
	sorted := slices.Clone(ranges)
	slices.SortFunc(sorted, func(a, b rx.Range[Q]) int { return cmp.Compare(a.Max, b.Max) })
	for _, w := range sorted {
		if len(points) == 0 || points[len(points)-1] < w.Min {
			points = append(points, w.Max)
		}
	}
	return points
}
