package geo_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"rxsplit/geo"
)

// Shortest texts, and texts of any digits, at halfway points too, read as what the library
// reads them as and as none of the floats beside it.
func TestDecimalsReadAsTheNearestFloat(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	try := func(text string) {
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{want, -want, math.Nextafter(want, math.Inf(1)), math.Nextafter(want, math.Inf(-1)), want + 1, 0} {
			if got := geo.ReadsAs([]byte(text), v); got != (math.Float64bits(v) == math.Float64bits(want)) {
				t.Fatalf("%s as %v: got %t", text, v, got)
			}
		}
	}
	for range 100_000 {
		v := (rng.Float64() - 0.5) * math.Pow10(rng.IntN(24)-6)
		try(strconv.FormatFloat(v, 'f', -1, 64))
		try(strconv.FormatFloat(v, 'f', rng.IntN(20), 64))
		try(strconv.FormatFloat(v, 'e', -1, 64))
		// Halfway between two floats that are quarters, or next to there.
		half := int64(rng.Uint64N(1<<52)|1<<51)*2 + 1
		try(strconv.FormatFloat(float64(half)/8, 'f', -1, 64))
		try(strconv.FormatInt(half/8, 10) + strconv.FormatFloat(float64(half%8)/8, 'f', -1, 64)[1:])
		try(strconv.FormatInt(half, 10))
	}
	for _, text := range []string{"0", "-0", "1", "-1", "0.1", "64", "0.5", "-0.25", "9007199254740993", "9007199254740995", "72057594037927945", "999999999999999999", "9999999999999999999", "1e21", "5e-324", "1.7976931348623157e308", "123456789012345678.5", "0.000000000000000001"} {
		try(text)
	}
	for _, text := range []string{"-", ".", "1..2", "1.2.3", "x", "1x", "--1", "1-", "Inf", "nan", "0x1p3", "1_0"} {
		if geo.ReadsAs([]byte(text), 1) || geo.ReadsAs([]byte(text), 8) || geo.ReadsAs([]byte(text), 10) || geo.ReadsAs([]byte(text), math.Inf(1)) {
			t.Errorf("%q reads as a number", text)
		}
	}
}
