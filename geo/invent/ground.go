package invent

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// ground is where the cells of a lattice lie and how much they are to get.
type ground struct {
	middle   orb.Point // of the lattice
	cos, sin float64   // of the rows' turn, times the side of a cell
	hills    surface
	ranks    ranks
	waterway *waterway // nil if the lattice is too small for one
}

func newGround(l *lattice, opt GridOptions) *ground {
	wide, high := float64(l.columns), float64(l.rows)
	sin, cos := math.Sincos(opt.Angle * math.Pi / 180)
	g := &ground{
		middle: orb.Point{wide / 2, high / 2},
		cos:    cos * opt.CellSize,
		sin:    sin * opt.CellSize,
		hills:  newSurface(newRand(opt.Seed, "surface"), 8, 0.25*min(wide, high), 0.8*min(wide, high)),
	}
	if min(l.columns, l.rows) >= 8 {
		w := newWaterway(newRand(opt.Seed, "waterway"), wide, high, max(0.75, 0.01*high))
		g.waterway = &w
	}
	g.ranks = g.sample(wide, high)
	return g
}

// sample ranks the heights of an even spread of places.
func (g *ground) sample(wide, high float64) ranks {
	const across = 64
	sample := make([]float64, 0, across*across)
	for j := range across {
		for i := range across {
			p := orb.Point{(float64(i) + 0.5) / across * wide, (float64(j) + 0.5) / across * high}
			sample = append(sample, g.hills.at(p))
		}
	}
	return newRanks(sample)
}

// meters turns a place of the lattice into meters around the field's middle.
func (g *ground) meters(p orb.Point) orb.Point {
	x, y := p[0]-g.middle[0], p[1]-g.middle[1]
	return orb.Point{x*g.cos - y*g.sin, x*g.sin + y*g.cos}
}

// rates returns the dry rates of all cells, in steps of 5 lb/ac.
func (g *ground) rates(l *lattice, spans []size) []float64 {
	rates := make([]float64, spans[l.rows].cells)
	cores.Blocks(l.rows, rowsAtOnce, func(from, to int) {
		for r := newRow(l); from < to; from++ {
			r.move(from)
			cell := spans[from].cells
			for i := range r.cells() {
				if cell == spans[from+1].cells {
					break
				}
				p := l.place(i, from, false)
				rates[cell] = g.rate(orb.Point{p[0] + 0.5, p[1] + 0.5})
				cell++
			}
		}
	})
	return rates
}

// rate returns the dry rate at the middle of a cell.
func (g *ground) rate(p orb.Point) float64 {
	if g.waterway != nil && g.waterway.covers(orb.Point{p[0] - g.middle[0], p[1] - g.middle[1]}) {
		return 0
	}
	return roundTo(5, g.ranks.rate(g.hills.at(p)))
}

// rateShares says which share of a field's area has at most which dry rate in
// lb/ac. The mean is about 185, and both ends lie beyond 2/3 and 4/3 of it: where
// the mean rate carries 30 fl oz/ac of stabilizer, some ground gets less than 20
// and some more than 40.
var rateShares = [...]struct{ share, rate float64 }{
	{0, 90}, {0.07, 118}, {0.2, 145}, {0.5, 185}, {0.8, 222}, {0.93, 252}, {1, 300},
}

// ranks turns values of a surface into dry rates by their rank among a sample.
type ranks []float64 // sorted

func newRanks(sample []float64) ranks {
	r := slices.Clone(sample)
	sort.Float64s(r)
	return r
}

// rate returns the dry rate in lb/ac at a value of the surface.
func (r ranks) rate(value float64) float64 {
	share := r.share(value)
	i := 1
	for i < len(rateShares)-1 && share > rateShares[i].share {
		i++
	}
	a, b := rateShares[i-1], rateShares[i]
	return a.rate + (b.rate-a.rate)*(share-a.share)/(b.share-a.share)
}

// share returns which share of the sample lies below a value.
func (r ranks) share(value float64) float64 {
	i := sort.SearchFloat64s(r, value)
	if i == 0 {
		return 0
	}
	if i == len(r) {
		return 1
	}
	within := (value - r[i-1]) / (r[i] - r[i-1])
	return (float64(i-1) + within) / float64(len(r)-1)
}

// roundTo rounds a rate to a whole number of steps, as agronomists write them.
func roundTo(step, rate float64) float64 { return math.Round(rate/step) * step }
