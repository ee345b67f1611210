package svg

import (
	"fmt"
	"math"
	"strconv"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/internal/samebits"
)

// Steps are the ends of classes of positive rates, in the user's units. Rates that are printed
// alike, with one decimal, are of one class.
type Steps struct {
	N         int // how many classes there are
	low, size float64
}

// mostSteps is how many classes a legend holds.
const mostSteps = 7

// NewSteps returns round steps that cover a range of rates above 0.
func NewSteps(low, high float64) Steps {
	low, high = printed(low), printed(high)
	if !(high > 0) || math.IsInf(high, 0) {
		return Steps{1, 0, 1}
	}
	if high-low < high*1e-9 {
		return Steps{1, low, 0}
	}
	size := NiceStep(max((high-low)/mostSteps, 0.1))
	s := stepsOf(low, high, size)
	for s.N > mostSteps {
		size = NiceStep(size * 1.01)
		s = stepsOf(low, high, size)
	}
	return s
}

func stepsOf(low, high, size float64) Steps {
	s := Steps{low: float64(math.Floor(low/size+1e-9) * size), size: size}
	s.N = int(math.Floor((high-s.low)/size+1e-9)) + 1
	return s
}

// printed is a rate as [figures.Short] prints it.
func printed(v float64) float64 {
	v, _ = strconv.ParseFloat(figures.Short(v), 64) // of its own making
	return v
}

// Of returns the class of a rate; lower ends are included.
func (s Steps) Of(v float64) int {
	if s.size == 0 {
		return 0
	}
	i := min(max(int(math.Floor((v-s.low)/s.size+1e-9)), 0), s.N-1)
	if end := s.low + float64(float64(i+1)*s.size); i < s.N-1 && end-v < 0.1 && printed(v) >= printed(end) {
		i++
	}
	return i
}

// Text names a class.
func (s Steps) Text(i int) string {
	if s.size == 0 {
		return figures.Short(s.low)
	}
	from := s.low + float64(float64(i)*s.size)
	return fmt.Sprintf("%s to under %s", figures.Trim(from), figures.Trim(from+s.size))
}

// NiceStep returns the least of 1, 2, 2.5 and 5 times a power of ten that is not
// below v, which is above 0.
func NiceStep(v float64) float64 {
	p := math.Pow(10, math.Floor(samebits.Log10(v)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*p >= v*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// niceBelow returns the largest of 1, 2, 2.5 and 5 times a power of ten that is
// not above v.
func niceBelow(v float64) float64 {
	p := math.Pow(10, math.Floor(samebits.Log10(v)))
	for _, m := range []float64{5, 2.5, 2} {
		if m*p <= v {
			return m * p
		}
	}
	return p
}
