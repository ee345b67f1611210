package taskdata

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"rxsplit/label/unit"
)

// The rates of testdata/counts.csv, worked out by hand.
func TestCounts(t *testing.T) {
	file, err := os.Open("testdata/counts.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		want, _ := strconv.Atoi(row[3])
		exact, _ := strconv.ParseFloat(row[2], 64)
		var got int32
		var back, rate float64
		if r, err := unit.Parse[unit.DryRate](row[1] + " " + row[0]); err == nil {
			got, err = MassCount(r, 0, unit.DryRate(math.Inf(1)))
			back, rate = float64(MassRate(got)), float64(r)
			if err != nil {
				t.Error(err)
			}
		} else {
			l, err := unit.Parse[unit.LiquidRate](row[1] + " " + row[0])
			if err != nil {
				t.Fatal(err)
			}
			got, err = VolumeCount(l, 0, unit.LiquidRate(math.Inf(1)))
			if err != nil {
				t.Error(err)
			}
			back, rate = float64(VolumeRate(got)), float64(l)
		}
		if int(got) != want {
			t.Errorf("%s %s: %d counts, want %d", row[1], row[0], got, want)
		}
		// Half a count is what rounding may change.
		if off := math.Abs(back-rate) * exact / rate; off > 0.5001 {
			t.Errorf("%s %s: reads back as %v, off by %v counts", row[1], row[0], back, off)
		}
	}
}

// Rounding never passes an end of a label, and is never off by a whole count where an end
// is not near.
func TestLabelEndsAreNeverPassed(t *testing.T) {
	random := rand.New(rand.NewPCG(11783, 10))
	inf := math.Inf(1)
	for range 10000 {
		least := 1 + 399*random.Float64()
		most := least + 0.05 + least*random.Float64() // 35 counts of a liquid, 5 of dry
		r := least + (most-least)*random.Float64()
		switch random.IntN(4) { // often at an end
		case 0:
			r = least
		case 1:
			r = most
		}
		n, err := MassCount(unit.DryRate(r), unit.DryRate(least), unit.DryRate(most))
		if err != nil {
			t.Fatal(err)
		}
		free, _ := MassCount(unit.DryRate(r), 0, unit.DryRate(inf))
		held(t, float64(MassRate(n)), least, most, n, free)
		v, err := VolumeCount(unit.LiquidRate(r), unit.LiquidRate(least), unit.LiquidRate(most))
		if err != nil {
			t.Fatal(err)
		}
		free, _ = VolumeCount(unit.LiquidRate(r), 0, unit.LiquidRate(inf))
		held(t, float64(VolumeRate(v)), least, most, v, free)
	}
}

func held(t *testing.T, back, least, most float64, n, free int32) {
	t.Helper()
	const dust = 1e-15 // from the division by which a count is told as a rate
	if back < least*(1-dust) || back > most*(1+dust) {
		t.Errorf("%d counts are %v, outside %v to %v", n, back, least, most)
	}
	if n-free > 1 || free-n > 1 || n != free && float64(free) == float64(n) {
		t.Errorf("%d counts, and %d are the nearest", n, free)
	}
}

// A label of 20 to 40 fl oz/ac: 40 are 29231.11 counts, 20 are 14615.56.
func TestRoundsInward(t *testing.T) {
	for _, c := range []struct {
		rate, least, most unit.LiquidRate
		want              int32
	}{
		{40, 20, 40, 29231},
		{20, 20, 40, 14616},
		{10 * unit.GallonPerAcre * (1 + 1e-12), 1, 10 * unit.GallonPerAcre, 935395}, // above by dust
		{10 * unit.GallonPerAcre, 1, 10 * unit.GallonPerAcre, 935395},               // the nearest, 935396, is above
		{10 * unit.GallonPerAcre, 10 * unit.GallonPerAcre, 2000, 935396},
		{10 * unit.GallonPerAcre, 10 * unit.GallonPerAcre, 10 * unit.GallonPerAcre, 935396}, // between two counts: the nearest
		{0, 20, 40, 0},
	} {
		if got, err := VolumeCount(c.rate, c.least, c.most); got != c.want || err != nil {
			t.Errorf("%v within %v to %v: %d counts (%v), want %d", c.rate, c.least, c.most, got, err, c.want)
		}
	}
}

func TestRatesThatCannotBeCounted(t *testing.T) {
	for _, r := range []float64{-1, math.NaN(), math.Inf(1), 2e7} {
		if n, err := MassCount(unit.DryRate(r), 0, unit.DryRate(math.Inf(1))); err == nil {
			t.Errorf("%v lb/ac: %d counts, want an error", r, n)
		}
	}
	if n, err := MassCount(19e6, 0, unit.DryRate(math.Inf(1))); err != nil {
		t.Errorf("19 million lb/ac: %d, %v", n, err)
	}
}
