package invent

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

// surface is a smooth random function of the plane: waves of random direction,
// length, phase and height, added up.
type surface []wave

type wave struct{ kx, ky, phase, height float64 }

// newSurface makes a surface of n waves of lengths from shortest to longest, in
// the unit of the points it is asked for. Longer waves are higher, as hills are.
func newSurface(rng *rand.Rand, n int, shortest, longest float64) surface {
	s := make(surface, n)
	for i := range s {
		length := shortest * math.Pow(longest/shortest, rng.Float64())
		sin, cos := math.Sincos(between(rng, 0, 2*math.Pi))
		k := 2 * math.Pi / length
		s[i] = wave{k * cos, k * sin, between(rng, 0, 2*math.Pi), length / longest}
	}
	return s
}

func (s surface) at(p orb.Point) float64 {
	var sum float64
	for _, w := range s {
		sum += w.height * math.Cos(w.kx*p[0]+w.ky*p[1]+w.phase)
	}
	return sum
}

// winding is how far a side of a field leaves its straight line, from end to end,
// where it is 0.
type winding [3]struct{ height, turns, phase float64 }

func newWinding(rng *rand.Rand, height float64) winding {
	var w winding
	for i := range w {
		w[i].height = height / float64(i+1)
		w[i].turns = float64(i) + between(rng, 0.8, 1.8)
		w[i].phase = between(rng, 0, 2*math.Pi)
	}
	return w
}

func (w winding) at(u float64) float64 {
	var sum float64
	for _, c := range w {
		sum += c.height * math.Sin(2*math.Pi*c.turns*u+c.phase)
	}
	return sum * math.Sin(math.Pi*u)
}

// waterway is a grassed strip that winds through a field from west to east.
type waterway struct {
	middle, slope float64
	bends         [2]wave // kx, phase and height are used
	width, swell  float64 // half the width, and how much it varies
}

// newWaterway makes a waterway for a field of the given size, centered on 0, 0,
// with half a width in the same unit.
func newWaterway(rng *rand.Rand, wide, high, half float64) waterway {
	w := waterway{
		middle: between(rng, -0.15, 0.02) * high,
		slope:  between(rng, -0.12, 0.12) * high / wide,
		width:  half,
		swell:  half / 4,
	}
	for i := range w.bends {
		length := wide / (float64(i) + between(rng, 1, 1.6))
		w.bends[i] = wave{
			kx:     2 * math.Pi / length,
			phase:  between(rng, 0, 2*math.Pi),
			height: high * 0.06 / float64(i+1),
		}
	}
	return w
}

// off returns how far north of the middle line a point is, measured across the
// line (to first order: exact where the line is straight).
func (w *waterway) off(p orb.Point) float64 {
	y, slope := w.middle+w.slope*p[0], w.slope
	for _, b := range w.bends {
		sin, cos := math.Sincos(b.kx*p[0] + b.phase)
		y += b.height * sin
		slope += b.height * b.kx * cos
	}
	return (p[1] - y) / math.Hypot(1, slope)
}

// half returns half the width at a point.
func (w *waterway) half(p orb.Point) float64 {
	return w.width + w.swell*math.Sin(2*w.bends[0].kx*p[0])
}

// covers reports whether a point is between the banks.
func (w *waterway) covers(p orb.Point) bool { return math.Abs(w.off(p)) < w.half(p) }
