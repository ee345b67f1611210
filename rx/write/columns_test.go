package write

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

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
