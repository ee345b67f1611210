package readout

import (
	"errors"
	"math"
)

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
