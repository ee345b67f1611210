package unit

import (
	"math"
	"testing"
)

// The worked figures of this file are exact arithmetic on the definitions of the
// pound, the short ton and the fluid ounce; they can be redone by hand.

func TestStabilizerRate(t *testing.T) {
	const loading = 320 * FluidOuncePerTon
	for _, c := range []struct {
		dry  DryRate
		want LiquidRate
	}{
		{0, 0}, {100, 16}, {125, 20}, {180, 28.8}, {200, 32}, {250, 40}, {260, 41.6}, {300, 48},
	} {
		if got := StabilizerRate(loading, c.dry); got != c.want {
			t.Errorf("%v: got %v, want %v", c.dry, got, c.want)
		}
	}
}

func TestDryWindow(t *testing.T) {
	const loading = 320 * FluidOuncePerTon
	if low, high := DryRateFor(20, loading), DryRateFor(40, loading); low != 125 || high != 250 {
		t.Errorf("got %v to %v, want 125 to 250 lb/ac", low, high)
	}
}

func TestLoadingWindow(t *testing.T) {
	low, high := LoadingFor(20, 150), LoadingFor(40, 260)
	if math.Abs(float64(low)-266.667) > 5e-4 || math.Abs(float64(high)-307.692) > 5e-4 {
		t.Errorf("got %v to %v, want 266.667 to 307.692 fl oz/ton", low, high)
	}
	centered := Loading(math.Sqrt(float64(low) * float64(high)))
	if math.Abs(float64(centered)-286.446) > 5e-4 {
		t.Errorf("got %v, want 286.446 fl oz/ton", centered)
	}
	if s := StabilizerRate(centered, 150); math.Abs(float64(s)-21.483) > 5e-4 {
		t.Errorf("got %v, want 21.483 fl oz/ac", s)
	}
	if s := StabilizerRate(centered, 260); math.Abs(float64(s)-37.238) > 5e-4 {
		t.Errorf("got %v, want 37.238 fl oz/ac", s)
	}
}

// TestVolumeBothWays: the fluid ounces of a field are the same counted over its
// acres and over its tons.
func TestVolumeBothWays(t *testing.T) {
	const loading = 320 * FluidOuncePerTon
	zones := []struct {
		area Area
		dry  DryRate
	}{{40, 100}, {60, 180}, {45, 250}, {15, 300}}
	var mass Mass
	var volume Volume
	var area Area
	for _, z := range zones {
		mass += MassOver(z.dry, z.area)
		volume += VolumeOver(StabilizerRate(loading, z.dry), z.area)
		area += z.area
	}
	if mass != 30550 || mass/Ton != 15.275 {
		t.Errorf("got %v, want 30550 lb", mass)
	}
	if math.Abs(float64(volume-4888)) > 1e-9 || math.Abs(float64(Uptake(loading, mass)-4888)) > 1e-9 {
		t.Errorf("got %v by area and %v by weight, want 4888 fl oz", volume, Uptake(loading, mass))
	}
	if mean := volume / Volume(area); math.Abs(float64(mean)-30.55) > 1e-12 {
		t.Errorf("got a mean of %v, want 30.55 fl oz/ac", mean)
	}
	if boom := VolumeOver(30*FluidOuncePerAcre, area); boom != 4800 || boom/Gallon != 37.5 {
		t.Errorf("got %v, want 4800 fl oz", boom)
	}
}

func TestBatchOfThreeTons(t *testing.T) {
	v := Uptake(320*FluidOuncePerTon, 3*Ton)
	if v != 960 || v/Gallon != 7.5 {
		t.Errorf("got %v, want 960 fl oz", v)
	}
	if w := LiquidWeight(320*FluidOunce, 9*PoundPerGallon); w != 22.5 {
		t.Errorf("got %v, want 22.5 lb", w)
	}
}

func TestCapacityWeight(t *testing.T) {
	if w := BulkWeight(100*CubicFoot, 48*PoundPerCubicFoot); math.Abs(float64(w)-4800) > 1e-9 {
		t.Errorf("got %v, want 4800 lb", w)
	}
}
