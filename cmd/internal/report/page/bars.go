package page

import (
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// stacked lists the verdicts of a bar from the axis up.
func stacked() [3]rx.Verdict { return [3]rx.Verdict{rx.Below, rx.Within, rx.Above} }

// mostBars is how many bars a chart holds.
const mostBars = 48

// newBars makes room for rates from low to high in bars of a size above 0; an anchor, if
// above 0, is the end of a bar.
func newBars(low, high, anchor, size float64) *svg.Bars {
	for (high-low)/size > mostBars-2 {
		size *= 2
	}
	b := &svg.Bars{Size: size, Low: anchor - math.Ceil((anchor-low)/size-1e-9)*size}
	for _, v := range stacked() {
		b.Stack = append(b.Stack, svg.Part{Ink: verdictInk(v), Name: report.VerdictText(v)})
	}
	b.Areas = make([][]unit.Area, int(math.Floor((high-b.Low)/size+1e-9))+1)
	for i := range b.Areas {
		b.Areas[i] = make([]unit.Area, len(b.Stack))
	}
	return b
}

// count adds ground at a rate; what lies on the end of two bars goes to the one
// that the verdict belongs to.
func count(b *svg.Bars, rate float64, v rx.Verdict, area unit.Area, label rx.Range[float64]) {
	i := int(math.Floor((rate-b.Low)/b.Size + 1e-9))
	if v == rx.Within && rate >= label.Max*(1-1e-9) && rate > b.Low+b.Size/2 {
		i = int(math.Ceil((rate-b.Low)/b.Size-1e-9)) - 1
	}
	i = min(max(i, 0), len(b.Areas)-1)
	for k, s := range stacked() {
		if s == v {
			b.Areas[i][k] += area
		}
	}
}
