package readout

import (
	"math"
	"slices"
)

// Clean says which points of a yield monitor are taken for mistakes.
type Clean struct{ Low, High float64 } // times the median of all yields

// DefaultClean keeps what lies between a fifth and twice the median.
var DefaultClean = Clean{0.2, 2}

// fullWidth is the share of the header under which a record is taken for part of a swath.
const fullWidth = 0.95

// Cleaned is what cleaning kept, and why it dropped the rest.
type Cleaned struct {
	Points     []Point
	Median     float64 // of all yields
	All        int     // points before
	NoValue    int
	Low, High  int // outside of the bounds
	NoDistance int
	PartHeader int
}

// apply cleans points. weigh says that points must have ground; header is the full width in
// meters, 0 where it is not known.
func (c Clean) apply(points []Point, header float64, weigh bool) Cleaned {
	out := Cleaned{All: len(points)}
	var values []float64
	for _, p := range points {
		if !math.IsNaN(p.Value) {
			values = append(values, p.Value)
		}
	}
	out.Median = medianOf(values)
	for _, p := range points {
		switch {
		case math.IsNaN(p.Value):
			out.NoValue++
		case p.Value < c.Low*out.Median:
			out.Low++
		case p.Value > c.High*out.Median:
			out.High++
		case weigh && !(p.Area > 0):
			out.NoDistance++
		case p.Width < fullWidth*header:
			out.PartHeader++
		default:
			out.Points = append(out.Points, p)
		}
	}
	return out
}

// medianOf returns the middle of values, the mean of the two middle ones where there is an even
// number; NaN of none.
func medianOf(values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
