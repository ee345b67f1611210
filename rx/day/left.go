package day

import (
	"errors"

	"rxsplit/label/unit"
)

// Left is treated blend that came back: as it was weighed, with the liquid and the drying
// agent on it.
type Left struct {
	Weighed unit.Mass
	Loading unit.Loading // it was made at
	Taken   unit.Ratio   // liquid and agent by weight of the dry: m/2000, with m in pounds a ton
}

// Dry returns the dry product in it: u = w/(1 + m/2000).
func (l Left) Dry() unit.Mass { return l.Weighed / unit.Mass(1+l.Taken) }

// errOffLabel says that a loading lies outside the window of those who are to get it.
var errOffLabel = errors.New("the loading lies outside the window that keeps the fields on label")

// To returns what makes the left-over blend one of another loading, above 0: untreated dry, by
// A' = A·u/(u + t), where it is lower; liquid, (A″ − A)·u, where it is higher. The loading must lie in
// the window of all who are to get it; else the error is [errOffLabel].
func (l Left) To(a unit.Loading, w Window) (untreated unit.Mass, liquid unit.Volume, err error) {
	switch {
	case a <= 0 || !Holds(w, a):
		return 0, 0, errOffLabel
	case a < l.Loading:
		return l.Dry() * unit.Mass(l.Loading/a-1), 0, nil
	}
	return 0, unit.Uptake(a-l.Loading, l.Dry()), nil
}
