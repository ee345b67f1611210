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
