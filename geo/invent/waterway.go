package invent

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

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

// north and south are positive beyond the two banks.
func (w *waterway) north(p orb.Point) float64 { return w.off(p) - w.half(p) }
func (w *waterway) south(p orb.Point) float64 { return -w.off(p) - w.half(p) }

// covers reports whether a point is between the banks.
func (w *waterway) covers(p orb.Point) bool { return math.Abs(w.off(p)) < w.half(p) }
