package write

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

// Numbers of all sizes, and those that lie at or beside half of a last digit, where binary
// digits decide.
func TestFixedDecimalsAreThoseOfStrconv(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 9))
	try := func(v float64, decimals int) {
		if got, want := string(appendFixed(nil, v, decimals)), strconv.FormatFloat(v, 'f', decimals, 64); got != want {
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

// A cell that is copied is the text that the shortest print of its float is.
func TestPlainTextsAreShortest(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	copied := 0
	for range 200_000 {
		text := strconv.FormatFloat(rng.Float64()*math.Pow10(rng.IntN(12)), 'f', rng.IntN(12), 64)
		if !plain([]byte(text)) {
			continue
		}
		copied++
		v, err := strconv.ParseFloat(text, 64)
		if got, want := string(trimZeros([]byte(text), 0)), strconv.FormatFloat(v, 'f', -1, 64); err != nil || got != want {
			t.Fatalf("%s is copied as %s, want %s", text, got, want)
		}
	}
	if copied < 50_000 {
		t.Errorf("%d were copied", copied)
	}
	for _, text := range []string{"", ".", ".5", "5.", "05", "00.5", "-1", "+1", "1e5", "1.2.3", "1234567890123456"} {
		if plain([]byte(text)) {
			t.Errorf("%q is taken for plain", text)
		}
	}
	for _, text := range []string{"0", "0.5", "120", "150.250", "123456789012345"} {
		if !plain([]byte(text)) {
			t.Errorf("%q is not taken for plain", text)
		}
	}
}
