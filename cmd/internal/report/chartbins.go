package report

import (
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// bins hold acres over a rate, apart by verdict. Bin i reaches from low+i·size to
// low+(i+1)·size in the user's units.
type bins struct {
	low, size float64
	acres     [][3]unit.Area // of below, within, above
}

// stacked lists the verdicts of a bin from the axis up.
func stacked() [3]rx.Verdict { return [3]rx.Verdict{rx.Below, rx.Within, rx.Above} }

// mostBins is how many bars a chart holds.
const mostBins = 48

// newBins makes room for rates from low to high in bins of a size above 0; an anchor, if
// above 0, is the end of a bin.
func newBins(low, high, anchor, size float64) bins {
	for (high-low)/size > mostBins-2 {
		size *= 2
	}
	b := bins{size: size, low: anchor - math.Ceil((anchor-low)/size-1e-9)*size}
	b.acres = make([][3]unit.Area, int(math.Floor((high-b.low)/size+1e-9))+1)
	return b
}

// add counts ground at a rate; what lies on the end of two bins goes to the one
// that the verdict belongs to.
func (b *bins) add(rate float64, v rx.Verdict, area unit.Area, label rx.Range[float64]) {
	i := int(math.Floor((rate-b.low)/b.size + 1e-9))
	if v == rx.Within && rate >= label.Max*(1-1e-9) && rate > b.low+b.size/2 {
		i = int(math.Ceil((rate-b.low)/b.size-1e-9)) - 1
	}
	i = min(max(i, 0), len(b.acres)-1)
	for k, s := range stacked() {
		if s == v {
			b.acres[i][k] += area
		}
	}
}

// most returns the acres of the highest bar.
func (b *bins) most(s unit.System) float64 {
	most := 0.0
	for _, bar := range b.acres {
		most = max(most, (bar[0] + bar[1] + bar[2]).In(s))
	}
	return most
}

func (b *bins) high() float64 { return b.low + float64(len(b.acres))*b.size }
