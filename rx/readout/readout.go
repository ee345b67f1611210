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
	"errors"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"rxsplit/internal/samebits"
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

// profit is what treating an acre earned, in money, beyond what it cost.
type profit struct {
	Mean      float64
	Interval  *Range
	BreakEven float64 // difference at which it pays for itself
	Chance    float64 // that it pays; NaN where there is no interval
	Verdict   Verdict // against the break-even
}

// Profit weighs the difference at a price for one of the yield's unit against a cost for one
// of the ground's. The price must be positive.
func (e Estimate) Profit(price, cost float64) profit {
	p := profit{Mean: float64(e.Mean*price) - cost, BreakEven: cost / price}
	p.Chance, p.Verdict = e.Chance(p.BreakEven), e.Verdict(p.BreakEven)
	if e.Interval != nil {
		p.Interval = &Range{float64(e.Interval.Low*price) - cost, float64(e.Interval.High*price) - cost}
	}
	return p
}

// What [UsualNoise] is made of: the noise, and the length from which on it holds, in meters.
const (
	usualNoise  = 0.033
	usualLength = 600 * 0.3048
)

// UsualNoise is the noise of one replicate as a share of the yield, by the length of its strips in
// meters, where no yield map of the field is at hand: the root mean square difference of strips
// that nobody treated. On three corn fields and four seasons it was 2.2 to 3.4 % with strips of
// 600 ft and more. With shorter ones it grows nearly as fast as their length's third root falls: of
// the narrowest, 30 ft wide, to 4.1 % at 100 m and 5.6 % at 30 m.
func UsualNoise(meters float64) float64 {
	if !(meters < usualLength) {
		return usualNoise
	}
	return usualNoise * samebits.Exp(samebits.Log(usualLength/meters)/3)
}

// Detectable returns the difference that n replicates find with the given power (such as 0.8)
// at the given level (such as 0.95), as a multiple of the noise of one replicate: exact, by
// the noncentral t distribution. NaN under [Fewest]. The power is that over fields: strips of
// one field share what its places lean to by themselves, which helps a difference one way
// and hides it the other, by some 7 points for 12 replicates on the yield map that tests use.
func Detectable(n int, power, level float64) float64 {
	if n < Fewest {
		return math.NaN()
	}
	low, high := 0.0, 1.0
	for powerOf(n, high, level) < power {
		high *= 2
	}
	for range 60 {
		if mid := (low + high) / 2; powerOf(n, mid, level) < power {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// NoiseRange returns how many times the noise that n replicates show their true noise may be, at a
// level such as 0.95: by the chi-squared distribution of differences that are normal. n must be 2
// at least.
func NoiseRange(n int, level float64) Range {
	df := float64(n - 1)
	chi := distuv.ChiSquared{K: df}
	return Range{math.Sqrt(df / chi.Quantile((1+level)/2)), math.Sqrt(df / chi.Quantile((1-level)/2))}
}

// powerOf returns the chance that n replicates find a difference of k times the noise of one.
// The noncentral t is integrated over the chi distribution of the standard error.
func powerOf(n int, k, level float64) float64 {
	df := float64(n - 1)
	t := student(n).Quantile((1 + level) / 2)
	shift := k * math.Sqrt(float64(n))
	scale, _ := math.Lgamma(df / 2)
	front := math.Ln2 + float64(df/2*samebits.Log(df/2)) - scale
	normal := distuv.UnitNormal
	share := func(s float64) float64 {
		density := samebits.Exp(front + float64((df-1)*samebits.Log(s)) - float64(df*s*s/2))
		return density * (float64(normal.CDF(shift-float64(t*s))) + float64(normal.CDF(-shift-float64(t*s))))
	}
	return quad.Fixed(share, 0, 1+9/math.Sqrt(df), 200, quad.Legendre{}, 0)
}

// Pooled is the mean over several fields or years, taken as drawn from many alike.
type Pooled struct {
	Fields   int
	Mean     float64
	SE       float64
	Tau2     float64 // variance between the fields' true differences
	Level    float64
	Interval *Range // nil under three fields
}

// Pool joins fields by the random-effects model: the variance between fields after
// DerSimonian and Laird (Controlled Clinical Trials 7:177, 1986), the interval after Hartung
// and Knapp (Statistics in Medicine 20:3875, 2001), with Student's t of one degree of freedom
// less than there are fields. Every estimate must have an interval of its own.
func Pool(fields []Estimate, level float64) (Pooled, error) {
	p := Pooled{Fields: len(fields), Level: level}
	if len(fields) < 2 {
		return p, errors.New("one field alone: want two at least")
	}
	for _, f := range fields {
		if f.Interval == nil {
			return p, errors.New("a field has no interval of its own")
		}
	}
	k := float64(len(fields) - 1)
	fixed, weight, squares := weighted(fields, 0)
	q := 0.0
	for _, f := range fields {
		q += (f.Mean - fixed) * (f.Mean - fixed) / (f.SE * f.SE)
	}
	p.Tau2 = max(0, (q-k)/(weight-squares/weight))
	p.Mean, weight, _ = weighted(fields, p.Tau2)
	spread := 0.0
	for _, f := range fields {
		spread += (f.Mean - p.Mean) * (f.Mean - p.Mean) / (float64(f.SE*f.SE) + p.Tau2)
	}
	p.SE = math.Sqrt(spread / k / weight)
	if len(fields) >= Fewest && p.SE > 0 {
		half := float64(student(len(fields)).Quantile((1+level)/2) * p.SE)
		p.Interval = &Range{p.Mean - half, p.Mean + half}
	}
	return p, nil
}

// weighted returns the mean by the inverse of each variance, with the sums of weights and of
// their squares.
func weighted(fields []Estimate, tau2 float64) (mean, weight, squares float64) {
	for _, f := range fields {
		w := 1 / (float64(f.SE*f.SE) + tau2)
		mean, weight, squares = mean+float64(w*f.Mean), weight+w, squares+float64(w*w)
	}
	return mean / weight, weight, squares
}

// Verdict says whether the mean over fields lies over or under a limit.
func (p Pooled) Verdict(limit float64) Verdict { return p.Interval.against(limit) }

// Chance is as that of an [Estimate], for the mean over fields.
func (p Pooled) Chance(limit float64) float64 {
	if p.Interval == nil {
		return math.NaN()
	}
	return student(p.Fields).CDF((p.Mean - limit) / p.SE)
}
