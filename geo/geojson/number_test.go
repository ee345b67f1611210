package geojson

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// checkNumber holds number against encoding/json for the grammar and against
// strconv for the value.
func checkNumber(t interface {
	Errorf(format string, args ...any)
}, text string) {
	v, end, ok := number([]byte(text), 0)
	want, err := strconv.ParseFloat(text, 64)
	isJSON := json.Valid([]byte(text)) && text != "" && (text[0] == '-' || isDigit(text[0]))
	if wantOK := err == nil && isJSON; (ok && end == len(text)) != wantOK {
		t.Errorf("%q: got ok %v at %d, want %v", text, ok, end, wantOK)
	} else if wantOK && math.Float64bits(v) != math.Float64bits(want) {
		t.Errorf("%q: got %v, want %v", text, v, want)
	}
}

var numberTexts = []string{
	"0", "-0", "0.0", "-0.0", "1", "-1", "10", "01", "-01", "00", "-", "", ".5", "1.", "1.e5", "1e", "1e+", "1E5", "1e-5", "1.5e+300",
	"1e999", "-1e999", "1e-999", "+1", "1-", "0x10", "Infinity", "NaN", "1_000", "9007199254740993", "9007199254740992", "-9007199254740993.0",
	"18446744073709551615", "18446744073709551616", "9999999999999999999", "99999999999999999999", "0.9999999999999999999",
	"0.0000000000000000001", "0.0000000000000000", "-0.000000000000000000", "0.00000000000000000001", "1.000000000000000000", "1.0000000000000000001", "123456.7890123456789",
	"4503599627370497.5", "4503599627370496.5", "9007199254740991.5", "4503599627370498.500000000001", "-93.12345678901234", "179.99999999999999",
}

func TestNumber(t *testing.T) {
	for _, text := range numberTexts {
		checkNumber(t, text)
	}
}

func TestNumberRandomDigits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		text := strconv.AppendUint(nil, r.Uint64()>>r.IntN(64), 10)
		if p := 1 + r.IntN(len(text)); p < len(text) {
			text = append(text[:p], append([]byte{'.'}, text[p:]...)...)
		}
		checkNumber(t, string(text))
	}
}

func TestNumberReadsBackFloats(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		text := string(appendFloat(nil, v))
		checkNumber(t, text)
		if got, _, ok := number([]byte(text), 0); !ok || math.Float64bits(got) != math.Float64bits(v) {
			t.Errorf("%v is written as %s and read as %v", v, text, got)
		}
	})
}

func FuzzNumber(f *testing.F) {
	for _, text := range numberTexts {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { checkNumber(t, text) })
}
