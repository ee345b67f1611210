package geojson

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

func TestSignedArea(t *testing.T) {
	for _, tt := range []struct {
		ring orb.Ring
		want float64 // twice the area
	}{
		{nil, 0},
		{orb.Ring{{3, 4}}, 0},
		{orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}, 2},
		{orb.Ring{{0, 0}, {0, 1}, {1, 1}, {1, 0}, {0, 0}}, -2},
		{orb.Ring{{5e5, 46e5}, {5e5 + 4, 46e5}, {5e5 + 4, 46e5 + 3}, {5e5, 46e5}}, 12},
		{orb.Ring{{0, 0}, {1, 1}, {2, 2}, {0, 0}}, 0},
		{orb.Ring{{0, 0}, {math.MaxFloat64, 1}, {1, math.MaxFloat64}, {0, 0}}, 0}, // it overflows
	} {
		if got := signedArea(tt.ring); got != tt.want {
			t.Errorf("%v: got %v, want %v", tt.ring, got, tt.want)
		}
	}
}

// A ring that is turned must not look as if it had to be turned again: a winding that is
// told is that of the exact area, whichever way around the terms are added. One whose area is
// smaller than their rounding has none; where it is about as large, one way around may, but
// not of the rings that are drawn here.
func TestTurningTurnsTheSign(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	unclear := 0
	places := []float64{-1, 1e-5, 1, 1.0625, 1.5, 1<<53 + 2}
	place := func() float64 { return places[r.IntN(len(places))] }
	for range 20_000 {
		var ring orb.Ring
		for range 3 + r.IntN(5) {
			ring = append(ring, orb.Point{place(), place()})
		}
		ring = append(ring, ring[0])
		turned := ring.Clone()
		turned.Reverse()
		was, is, exact := signedArea(ring), signedArea(turned), float64(exactSign(ring))
		if was*exact < 0 || is*exact > 0 || (was == 0) != (is == 0) || exact == 0 && was != 0 {
			t.Fatalf("%v: %v before turning, %v after, exactly of the sign of %v", ring, was, is, exact)
		}
		if was == 0 {
			unclear++
		}
	}
	if unclear == 0 {
		t.Error("no ring's winding was unclear: the test shows nothing")
	}
}

// exactSign returns the sign of a ring's area, in numbers that don't round.
func exactSign(ring orb.Ring) int {
	product := func(x, y float64) *big.Rat {
		return new(big.Rat).Mul(new(big.Rat).SetFloat64(x), new(big.Rat).SetFloat64(y))
	}
	sum := new(big.Rat)
	for i, q := range ring[1:] {
		p := ring[i]
		sum.Add(sum, product(p[0], q[1])).Sub(sum, product(q[0], p[1]))
	}
	return sum.Sign()
}
