package report

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx/readout"
	"rxsplit/rx/tell"
)

// CleanText counts what cleaning dropped, and why.
func CleanText(c *readout.Cleaned) string {
	text := fmt.Sprintf("Kept %s of %s points", figures.Count(len(c.Points)), figures.Count(c.All))
	var parts []string
	for _, p := range []struct {
		n   int
		why string
	}{{c.NoValue, "without a yield"}, {c.Low, "far under the median"}, {c.High, "far over it"}, {c.NoDistance, "that cover no ground"}, {c.PartHeader, "of a part of the header"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.why))
		}
	}
	if len(parts) > 0 {
		text += "; dropped " + strings.Join(parts, ", ")
	}
	return text + fmt.Sprintf(". The median is %s.", figures.Fixed(c.Median, 1))
}

// PowerText says which differences as many replicates, and twice as many, would find with the
// noise that they showed; empty where there is no interval, or for logarithms.
func PowerText(r Readout, one readout.Result) string {
	e, n := one.Estimate, len(one.Readings)
	if e.Interval == nil || one.What == readout.Stalk {
		return ""
	}
	finds := func(n int) string {
		return figures.Trim(math.Round(100*readout.Detectable(n, 0.8, e.Level)*e.SD) / 100)
	}
	if one.What == readout.Index {
		finds = func(n int) string { return figures.Fixed(readout.Detectable(n, 0.8, e.Level)*e.SD, 4) }
	}
	return fmt.Sprintf("With the noise that these replicates show, %d find a true difference of %s %s four times in five, and %d would find one of %s.",
		n, finds(n), r.UnitOf(one.What), 2*n, finds(2*n))
}

// ReadoutRemarks says what whoever acts on a result must know of its data.
func ReadoutRemarks(r Readout, one readout.Result) (list []string) {
	for _, f := range one.Remarks(r.Taken) {
		list = append(list, tell.Text(f, unit.US)) // which has no units
	}
	return list
}
