package readout

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"rxsplit/internal/samebits"
)

// DefaultNoise is the noise of one replicate as a share of the yield, where no yield map of
// the field is at hand: the root mean square difference of strips that nobody treated, on
// three corn fields and four seasons (2.2 to 3.8 % by length and width).
const DefaultNoise = 0.033

// Detectable returns the difference that n replicates find with the given power (such as 0.8)
// at the given level (such as 0.95), as a multiple of the noise of one replicate: exact, by
// the noncentral t distribution. NaN under [Fewest].
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
