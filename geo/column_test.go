package geo_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"rxsplit/geo"
)

// Numbers of all sizes, and those that lie at or beside half of a last digit, where binary
// digits decide.
func TestFixedDecimalsAreThoseOfStrconv(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	try := func(v float64, decimals int) {
		if got, want := string(geo.AppendFixed(nil, v, decimals)), strconv.FormatFloat(v, 'f', decimals, 64); got != want {
			t.Fatalf("%v with %d decimals: got %s, want %s", v, decimals, got, want)
		}
	}
	for range 200_000 {
		decimals := rng.IntN(16)
		v := rng.Float64() * math.Pow10(rng.IntN(20)-12)
		half := (math.Floor(v*math.Pow10(decimals)) + 0.5) / math.Pow10(decimals)
		for _, v := range []float64{v, -v, half, math.Nextafter(half, 0), math.Nextafter(half, 1e300), math.Floor(v), math.Round(v*1e3) / 1e3} {
			try(v, decimals)
		}
	}
	for _, v := range []float64{0, math.Copysign(0, -1), 0.5, 1.5, 2.5, 0.05, 0.95, 9.995, 999.9999, 1 << 43, 1<<43 - 0.5, 1e22, 5e-324} {
		for decimals := range 24 {
			try(v, decimals)
		}
	}
}
