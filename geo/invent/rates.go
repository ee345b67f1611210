package invent

import (
	"math"
	"slices"
	"sort"
)

// rateShares says which share of a field's area has at most which dry rate in
// lb/ac. The mean is about 185, and both ends lie beyond 2/3 and 4/3 of it: where
// the mean rate carries 30 fl oz/ac of stabilizer, some ground gets less than 20
// and some more than 40.
var rateShares = [...]struct{ share, rate float64 }{
	{0, 90}, {0.07, 118}, {0.2, 145}, {0.5, 185}, {0.8, 222}, {0.93, 252}, {1, 300},
}

// ranks turns values of a surface into dry rates by their rank among a sample.
type ranks []float64 // sorted

func newRanks(sample []float64) ranks {
	r := slices.Clone(sample)
	sort.Float64s(r)
	return r
}

// rate returns the dry rate in lb/ac at a value of the surface.
func (r ranks) rate(value float64) float64 {
	share := r.share(value)
	i := 1
	for i < len(rateShares)-1 && share > rateShares[i].share {
		i++
	}
	a, b := rateShares[i-1], rateShares[i]
	return a.rate + (b.rate-a.rate)*(share-a.share)/(b.share-a.share)
}

// share returns which share of the sample lies below a value.
func (r ranks) share(value float64) float64 {
	i := sort.SearchFloat64s(r, value)
	if i == 0 {
		return 0
	}
	if i == len(r) {
		return 1
	}
	within := (value - r[i-1]) / (r[i] - r[i-1])
	return (float64(i-1) + within) / float64(len(r)-1)
}

// level returns the value of the surface at which the dry rate passes rate.
func (r ranks) level(rate float64) float64 {
	i := sort.Search(len(r), func(i int) bool { return r.rate(r[i]) >= rate })
	return r[min(i, len(r)-1)]
}

// roundTo rounds a rate to a whole number of steps, as agronomists write them.
func roundTo(step, rate float64) float64 { return math.Round(rate/step) * step }
