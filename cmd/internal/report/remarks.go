package report

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/rx/readout"
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

// ReadoutRemarks lists what whoever reads a result must know of its data.
func ReadoutRemarks(r Readout, one readout.Result) (list []string) {
	add := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	for _, m := range one.Missing {
		add("Left out: %s.", m)
	}
	if n := len(one.Readings); n < readout.Fewest+1 {
		add("Only %s: the interval rests on very little. Want 4 at least, better 6.", figures.Plural(n, "replicate", "replicates"))
	}
	if n := len(one.Readings); n >= readout.Fewest && one.Estimate.Interval == nil {
		add("All replicates differ by the very same: these are no measurements. Look at the data.")
	}
	if len(one.Few) > 0 {
		add("Few points: %s.", strings.Join(one.Few, "; "))
	}
	if len(one.Crossed) > 0 && one.What == readout.Yield {
		add("Driven over, not along: %s. Such records mix treated and untreated ground.", strings.Join(one.Crossed, "; "))
	}
	inside := 0
	for i := range one.Readings {
		for _, m := range one.Readings[i].Means() {
			inside += m.Points
		}
	}
	if one.Over > inside {
		add("Of %s more points the header reaches over the side of a strip, so they don't count: the strips were not cut along their sides, or are hardly wider than the header.", figures.Count(one.Over))
	}
	switch one.What {
	case readout.Yield:
		list = append(list, yieldRemarks(r, one)...)
	case readout.Stalk:
		list = append(list, stalkRemarks(one)...)
	}
	return list
}

func yieldRemarks(r Readout, one readout.Result) (list []string) {
	if r.Wet {
		list = append(list, "The yields are said to be dry, but follow the flow of wet grain: if they are as cut, say yield-is: wet.")
	}
	if !r.Weigh {
		list = append(list, "No column holds the distance, so that all points weigh the same, however much ground they are of.")
	}
	if r.Header.Whole && r.Header.Meters == 0 {
		list = append(list, "The width of the header is not known, so that the antenna alone tells the strip: points whose header reached over its side count.")
	}
	if r.NoPlace > 0 {
		list = append(list, fmt.Sprintf("%s without a place.", figures.Plural(r.NoPlace, "record was", "records were")))
	}
	even := 0.0
	if one.Profit != nil {
		even = one.Profit.BreakEven
	}
	if all := one.All; all != nil && (all.Verdict(0) != one.Estimate.Verdict(0) || all.Verdict(even) != one.Estimate.Verdict(even)) {
		list = append(list, "Cleaning changes the verdict: look at the points that it drops.")
	}
	return list
}

// stalkRemarks tells of samples that are not what they seem.
func stalkRemarks(one readout.Result) (list []string) {
	const beyond = 12000 // ppm of nitrate-N; more is seldom seen: common practice, no source
	below, high := 0, 0
	for _, s := range one.Samples {
		if s.Below {
			below++
		}
		if s.PPM > beyond {
			high++
		}
	}
	if below > 0 {
		list = append(list, fmt.Sprintf("%s under the limit of detection, taken as reported, or as half of the limit for a 0.", figures.Plural(below, "sample is", "samples are")))
	}
	if high > 0 {
		list = append(list, fmt.Sprintf("%s over %d ppm of nitrate-N, more than stalks are known to hold: is it nitrate, not nitrate-N? Then say reported-as: nitrate.", figures.Plural(high, "sample is", "samples are"), beyond))
	}
	return list
}
