package write

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
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

// The manifest names the columns that a machine loads: the one of a blend, each of products
// that go side by side.
func TestTotalsNameWhatIsLoaded(t *testing.T) {
	for _, c := range []struct {
		fields     []rx.RateField
		load, held string
	}{
		{[]rx.RateField{{Name: "UREA", Share: 0.5}, {Name: "AMS", Share: 0.5}}, "[DRY_RATE]", "[DRY_RATE UREA AMS]"},
		{[]rx.RateField{{Name: "UREA"}, {Name: "POTASH"}}, "[UREA POTASH]", "[UREA POTASH]"},
	} {
		l, totals := &rx.Layer{Columns: make([]rx.RateColumn, len(c.fields))}, LayerTotals{}
		totals.addDry(&rx.Prescription{Fields: c.fields}, l, unit.US)
		if load, held := fmt.Sprint(totals.Load), fmt.Sprint(totals.RateFields); load != c.load || held != c.held {
			t.Errorf("loaded %s of %s, want %s of %s", load, held, c.load, c.held)
		}
	}
}
