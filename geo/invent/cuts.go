package invent

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

// cutGrove leaves a grove of some 60 by 80 meters out of the field.
func cutGrove(m *mesh, rng *rand.Rand) {
	middle := orb.Point{between(rng, -250, 250), between(rng, 230, 280)}
	wide, high := between(rng, 28, 40), between(rng, 28, 40)
	shape := newWinding(rng, 0.12)
	m.cut(m.values(func(p orb.Point) float64 {
		x, y := (p[0]-middle[0])/wide, (p[1]-middle[1])/high
		turn := math.Atan2(y, x)/(2*math.Pi) + 0.5
		return math.Hypot(x, y) - 1 - shape.at(turn)
	}), 0, func(c *mark, above bool) { c.out = !above })
}

// cutWaterway marks the ground north and south of a waterway as its sides.
func cutWaterway(m *mesh, rng *rand.Rand) {
	w := newWaterway(rng, 950, 890, waterwayHalf)
	for i, bank := range []func(orb.Point) float64{w.north, w.south} {
		m.cut(m.values(bank), 0, func(c *mark, above bool) {
			if above {
				c.side = int8(i) + 1
			}
		})
	}
}

// cutBands divides the field along the contour lines of the surface.
func cutBands(m *mesh, heights []float64, rates ranks) []float64 {
	for _, rate := range bandRates {
		heights = m.cut(heights, rates.level(rate), func(c *mark, above bool) {
			if above && c.side != 0 {
				c.band++
			}
		})
	}
	return heights
}
