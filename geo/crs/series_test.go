package crs

import (
	"math"
	"testing"
)

// TestConformalSeries checks the series against the closed form that they stand
// in for, Snyder's equation 3-1 in terms of asinh and atanh, to two units of the
// last place of a right angle.
func TestConformalSeries(t *testing.T) {
	el := wgs84.ellipsoid()
	for phi := -1.57; phi < 1.57; phi += 0.01 {
		chi := math.Atan(math.Sinh(math.Asinh(math.Tan(phi)) - el.e*math.Atanh(el.e*math.Sin(phi))))
		sin, cos := math.Sincos(phi)
		if got := phi + el.toConformal.sum(sin, cos); math.Abs(got-chi) > 4.5e-16 {
			t.Errorf("χ of %.2f: got %v, want %v", phi, got, chi)
		}
		sin, cos = math.Sincos(chi)
		if got := chi + el.toGeodetic.sum(sin, cos); math.Abs(got-phi) > 4.5e-16 {
			t.Errorf("φ of %.2f: got %v, want %v", chi, got, phi)
		}
	}
}

// TestMeridianArc checks the transverse Mercator's northing on the central
// meridian of GRS 80 against the arc from the equator, Snyder's equation 3-20,
// by quadrature to 18 digits (mpmath 1.3.0): 2 nm.
func TestMeridianArc(t *testing.T) {
	tm := newTransverse(nad83.ellipsoid(), params{k0: 1})
	for _, c := range []struct{ latitude, arc float64 }{
		{1, 110574.388554152576}, {15, 1658989.5893476695}, {30, 3320113.39784502134},
		{42, 4651636.87945446692}, {45, 4984944.37785799662}, {60, 6654072.81936744441},
		{75, 8326937.58717234581}, {90, 10001965.7292304637},
	} {
		if _, y, ok := tm.toPlane(0, c.latitude*degree); !ok || math.Abs(y-c.arc) > 2e-9 {
			t.Errorf("%v°: got %.10f, want %.10f", c.latitude, y, c.arc)
		}
		if _, phi, ok := tm.toGlobe(0, c.arc); !ok || math.Abs(phi/degree-c.latitude) > 3e-14 {
			t.Errorf("%v°: back at %v", c.latitude, phi/degree)
		}
	}
}

// TestSmallSteps checks the functions that stand in for sincos and exp.
func TestSmallSteps(t *testing.T) {
	for d := -0.005; d <= 0.005; d += 0.0001 {
		sin, cos := math.Sincos(1 + d)
		s, c := turn(math.Sin(1), math.Cos(1), d)
		if math.Abs(s-sin) > 3e-16 || math.Abs(c-cos) > 3e-16 || math.Abs(expSmall(d)-math.Exp(d)) > 3e-16 {
			t.Errorf("%v: off by %g, %g, %g", d, s-sin, c-cos, expSmall(d)-math.Exp(d))
		}
	}
	el := wgs84.ellipsoid()
	for sin := -1.; sin <= 1; sin += 0.05 {
		if off := el.eAtanh(sin) - el.e*math.Atanh(el.e*sin); math.Abs(off) > 3e-18 {
			t.Errorf("%v: off by %g", sin, off)
		}
	}
}

// TestSeriesOrder checks the last terms, which are below the last bit on the
// Earth, on an ellipsoid that is six times as flat: what the series leave out is
// of the seventh order of n. The two of Krüger undo each other.
func TestSeriesOrder(t *testing.T) {
	const n = 0.01
	f := 2 * n / (1 + n)
	el := newEllipsoid(1, 1/f)
	alpha, beta := krugerAlpha(n), krugerBeta(n)
	worst := [3]float64{}
	for phi := 0.02; phi < 1.57; phi += 0.02 {
		chi := math.Atan(math.Sinh(math.Asinh(math.Tan(phi)) - el.e*math.Atanh(el.e*math.Sin(phi))))
		sin, cos := math.Sincos(phi)
		worst[0] = max(worst[0], math.Abs(phi+el.toConformal.sum(sin, cos)-chi))
		sin, cos = math.Sincos(chi)
		worst[1] = max(worst[1], math.Abs(chi+el.toGeodetic.sum(sin, cos)-phi))
		up, _ := alpha.sum(sin, cos, 1)
		sin, cos = math.Sincos(chi + up)
		down, _ := beta.sum(sin, cos, 1)
		worst[2] = max(worst[2], math.Abs(up-down))
	}
	for i, limit := range [3]float64{2e-13, 2.2e-12, 7.5e-14} {
		if worst[i] > limit {
			t.Errorf("series %d: off by %g, want at most %g", i, worst[i], limit)
		}
	}
}
