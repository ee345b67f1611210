package geo_test

import (
	"fmt"
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

// A text proves a number that it is no more than half of its column's last decimal off, which has no more decimals,
// and which begins as no number is printed only where the column prints it so.
func TestWhatTextsProve(t *testing.T) {
	for _, c := range []struct {
		text     string
		number   float64
		decimals int
		printed  string // again
		want     bool
	}{
		{"1.00", 1.0049, 2, "", true}, {"1.01", 1.0051, 2, "", true}, {"1.00", 1.0051, 2, "", false}, {"1.01", 1.0049, 2, "", false},
		{"1.005", 1.0049, 2, "", false}, {"1.005", 1.005, 2, "", true}, {"2", 1.5, 0, "", true}, {"2", 1.4, 0, "", false}, {"2", 1.5, -1, "", false},
		{"", math.NaN(), 2, "", true}, {"0", math.NaN(), 2, "", false}, {"", 0, 2, "", false}, {"one", 1, 2, "", false},
		{"01", 1, 0, "01", true}, {"01", 1, 0, "1", false}, {"+1", 1, 0, " +1", true}, {"+1", 1, 0, "1", false}, {"0", 0, 0, "", true}, {"0.5", 0.5, 1, "", true},
		{"0.0000000000000000000012", 1.23e-21, 22, "", true}, {"0.0000000000000000000012", 1.3e-21, 22, "", false}, {"0.0000000000000000000012", 1.23e-21, 40, "", true},
	} {
		column := geo.Column{Decimals: c.decimals, Number: func(row int) float64 { return []float64{-1, c.number}[row] }}
		again := func(dst []byte, row int) []byte { return fmt.Append(dst, c.printed) }
		if got := column.Proves([]byte(c.text), 1, again); got != c.want {
			t.Errorf("%q of %v with %d decimals: %v, want %v", c.text, c.number, c.decimals, got, c.want)
		}
	}
}
