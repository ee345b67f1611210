package ground

import (
	"cmp"
	"math"
	"slices"

	"rxsplit/geo/track"
	"rxsplit/label/unit"
)

// How well a delay has to be seen to be told: few steps of the target say little.
const (
	fewestChanges = 6
	leastFit      = 0.85
	longestDelay  = 10 // seconds, late or early
)

// delayOf finds by how much a log's rate lags behind its target: where the correlation of the
// two series on the log's own times is highest. The series are taken as they are; that of
// their differences is biased low. It is the controller's delay: the way from the meter to
// the ground is in no log.
func delayOf(log *track.Log) *delay {
	step, series := regular(log)
	if step == 0 {
		return nil
	}
	changes := 0
	for i := 1; i < len(series); i++ {
		a, b := series[i-1], series[i]
		if a.on && b.on && math.Abs(b.target-a.target) >= 0.1*max(a.target, b.target) {
			changes++
		}
	}
	if changes < fewestChanges {
		return nil
	}
	most := int(longestDelay / step)
	fits := make([]float64, 2*most+1)
	for lag := -most; lag <= most; lag++ {
		fits[lag+most] = correlation(series, lag)
	}
	peak := 0
	for i, v := range fits {
		if v > fits[peak] {
			peak = i
		}
	}
	if !(fits[peak] >= leastFit) || peak == 0 || peak == len(fits)-1 {
		return nil
	}
	a, b, c := fits[peak-1], fits[peak], fits[peak+1]
	top := 0.0
	if bend := a - 2*b + c; bend < 0 {
		top = (a - c) / 2 / bend
	}
	seconds := (float64(peak-most) + top) * step
	return &delay{Seconds: seconds, Way: unit.Length(math.Abs(seconds)*speedOf(log)) * unit.Meter, Changes: changes, Fit: b}
}

// sample is a moment of a log.
type sample struct {
	target, rate float64
	on           bool
}

// regular puts the rows of the machine with most of them on a grid of their median time.
func regular(log *track.Log) (step float64, series []sample) {
	counts := map[int32]int{}
	for i := range log.Rows {
		counts[log.Rows[i].Machine]++
	}
	best := int32(0)
	for m, n := range counts {
		if n > counts[best] || n == counts[best] && m < best {
			best = m
		}
	}
	var rows []*track.Row
	for i := range log.Rows {
		r := &log.Rows[i]
		if r.Machine == best && !math.IsNaN(r.Time) && !math.IsNaN(r.Target) && !math.IsNaN(r.Rate) {
			rows = append(rows, r)
		}
	}
	slices.SortStableFunc(rows, func(a, b *track.Row) int { return cmp.Compare(a.Time, b.Time) })
	var steps []float64
	for i := 1; i < len(rows); i++ {
		if d := rows[i].Time - rows[i-1].Time; d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		return 0, nil
	}
	slices.Sort(steps)
	step = steps[len(steps)/2]
	for i, r := range rows {
		series = append(series, sample{r.Target, r.Rate, r.On()})
		if i+1 < len(rows) {
			for range min(int(math.Round((rows[i+1].Time-r.Time)/step))-1, 2*int(longestDelay/step)+1) {
				series = append(series, sample{}) // a pause
			}
		}
	}
	return step, series
}

// correlation of the rate with the target that many samples before, where both are on.
func correlation(series []sample, lag int) float64 {
	var n, sx, sy, sxx, syy, sxy float64
	for i := range series {
		k := i - lag
		if k < 0 || k >= len(series) || !series[i].on || !series[k].on {
			continue
		}
		x, y := series[k].target, series[i].rate
		n, sx, sy = n+1, sx+x, sy+y
		sxx, syy, sxy = sxx+float64(x*x), syy+float64(y*y), sxy+float64(x*y)
	}
	vx, vy := float64(n*sxx)-float64(sx*sx), float64(n*syy)-float64(sy*sy)
	if !(vx > 0 && vy > 0) {
		return math.NaN()
	}
	return (float64(n*sxy) - float64(sx*sy)) / math.Sqrt(vx) / math.Sqrt(vy)
}

// speedOf returns the usual speed in meters a second.
func speedOf(log *track.Log) float64 {
	var speeds []float64
	for i := 1; i < len(log.Rows); i++ {
		a, b := &log.Rows[i-1], &log.Rows[i]
		if t := b.Time - a.Time; t > 0 && a.Machine == b.Machine {
			speeds = append(speeds, track.Meters(a.At, b.At)/t)
		}
	}
	if len(speeds) == 0 {
		return 0
	}
	slices.Sort(speeds)
	return speeds[len(speeds)/2]
}
