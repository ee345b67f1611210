package invent

import (
	"math"

	"rxsplit/geo"
)

// addNoise moves every vertex of every cell by up to opt.Noise on both axes.
func addNoise(shapes *geo.Shapes, opt GridOptions) {
	if opt.Noise == 0 {
		return
	}
	for i := range shapes.Points {
		p := &shapes.Points[i]
		p[0] += opt.Noise * (2*chance(opt.Seed, 2*i) - 1)
		p[1] += opt.Noise * (2*chance(opt.Seed, 2*i+1) - 1)
	}
	for r := range shapes.RingEnds {
		from, to := shapes.PointSpan(r)
		shapes.Points[to-1] = shapes.Points[from]
	}
}

// addNulls takes the rate from a share of the cells.
func addNulls(rates []float64, opt GridOptions) {
	for i := range rates {
		if chance(^opt.Seed, i) < opt.Nulls {
			rates[i] = math.NaN()
		}
	}
}

// chance returns a number from 0 to 1, 1 excluded, that belongs to a seed and a
// place in its sequence: the output function of the SplitMix64 generator (Steele,
// Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
func chance(seed uint64, n int) float64 {
	z := seed + (uint64(n)+1)*0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}
