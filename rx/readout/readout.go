// Package readout tells what untreated strips of a field say about a treatment: one
// difference a replicate, Student's t over the replicates, and nothing that one season of one
// field cannot show. It is pure: it reads no file and knows no units but those that its
// values came in.
//
// The design is one strip without the treatment and a treated strip on each of its sides.
// Both sides together cancel any slope across the field. One number a strip is all that
// counts, so that the likeness of neighboring points can't fool the interval: points of one
// strip are not independent, strips at places drawn at random nearly are.
package readout

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Fewest is the number of replicates under which there is no interval. Two replicates would
// give one, so wide and so unsteady that it would be no answer.
const Fewest = 3

// Verdict is what an interval says about a limit.
type Verdict int

// The verdicts. Untold is a full answer: the strips don't show it.
const (
	Untold Verdict = iota
	More
	Less
)

func (v Verdict) String() string {
	return [...]string{"cannot be told", "more", "less"}[v]
}

// Range is an interval, both ends included.
type Range struct{ Low, High float64 }

// Estimate is what the differences of replicates say about their mean.
type Estimate struct {
	Differences []float64
	Mean        float64
	SD          float64 // with n-1; 0 for one replicate
	SE          float64
	Level       float64 // of the interval, such as 0.95
	Interval    *Range  // nil where there are too few replicates, or all differ by the very same
	P           float64 // two-sided, against no difference; NaN where there is no interval
}

// student is the distribution of n replicates' mean over its standard error.
func student(n int) distuv.StudentsT {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}
}

// Of estimates the mean difference at a level between 0 and 1: the t interval with n-1
// degrees of freedom. The differences must be finite, and one at least.
func Of(differences []float64, level float64) Estimate {
	e := Estimate{Differences: differences, Mean: stat.Mean(differences, nil), Level: level, P: math.NaN()}
	n := len(differences)
	if n > 1 {
		e.SD = stat.StdDev(differences, nil)
		e.SE = e.SD / math.Sqrt(float64(n))
	}
	if n < Fewest || !(e.SE > 0) {
		return e
	}
	t := student(n)
	half := float64(t.Quantile((1+level)/2) * e.SE)
	e.Interval = &Range{e.Mean - half, e.Mean + half}
	e.P = 2 * t.Survival(math.Abs(e.Mean)/e.SE)
	return e
}

// Verdict says whether the mean lies over or under a limit, as far as the interval tells.
func (e Estimate) Verdict(limit float64) Verdict { return e.Interval.against(limit) }

func (r *Range) against(limit float64) Verdict {
	switch {
	case r == nil:
		return Untold
	case r.Low > limit:
		return More
	case r.High < limit:
		return Less
	}
	return Untold
}

// Chance is 1 less the one-sided p of a mean over a limit: near 1 where the strips speak for
// more than that, near 0 where they speak against it. NaN where there is no interval.
func (e Estimate) Chance(limit float64) float64 {
	if e.Interval == nil {
		return math.NaN()
	}
	return student(len(e.Differences)).CDF((e.Mean - limit) / e.SE)
}

// LeaveOneOut returns the lowest and the highest mean that is left when any one of the
// replicates is taken out; the mean itself where there is but one.
func (e Estimate) LeaveOneOut() Range {
	r := Range{e.Mean, e.Mean}
	n := float64(len(e.Differences))
	for i, d := range e.Differences {
		if n < 2 {
			break
		}
		without := (float64(e.Mean*n) - d) / (n - 1)
		if i == 0 {
			r = Range{without, without}
		}
		r.Low, r.High = min(r.Low, without), max(r.High, without)
	}
	return r
}

// Profit is what treating an acre earned, in money, beyond what it cost.
type Profit struct {
	Mean      float64
	Interval  *Range
	BreakEven float64 // difference at which it pays for itself
	Chance    float64 // that it pays; NaN where there is no interval
	Verdict   Verdict // against the break-even
}

// Profit weighs the difference at a price for one of the yield's unit against a cost for one
// of the ground's. The price must be positive.
func (e Estimate) Profit(price, cost float64) Profit {
	p := Profit{Mean: float64(e.Mean*price) - cost, BreakEven: cost / price}
	p.Chance, p.Verdict = e.Chance(p.BreakEven), e.Verdict(p.BreakEven)
	if e.Interval != nil {
		p.Interval = &Range{float64(e.Interval.Low*price) - cost, float64(e.Interval.High*price) - cost}
	}
	return p
}
