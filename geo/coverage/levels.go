package coverage

import (
	"cmp"
	"slices"
)

// Level is the part of a zone on which a density lies; 0 where nothing covers it.
type Level struct {
	Density float64
	Area    float64
}

// Levels returns, of each zone of a ground, how much has which density of its first product,
// the highest first. What overlaps adds up.
func Levels(g *Ground, o Options) ([][]Level, error) {
	s, err := newSweeper(g, o)
	if err != nil {
		return nil, err
	}
	total := levels{}
	err = inOrder(s, func(b int) levels { return sweepBand(s, b, levels{}) }, func(l levels) error {
		for at, length := range l {
			total[at] += length
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	out := make([][]Level, g.Zones.Len())
	for at, length := range total {
		out[at.zone] = append(out[at.zone], Level{at.density, float64(length * s.frame.spacing)})
	}
	for _, list := range out {
		slices.SortFunc(list, func(a, b Level) int { return cmp.Compare(b.Density, a.Density) })
	}
	return out, nil
}

// levels adds up lengths by zone and density.
type levels map[levelAt]float64

type levelAt struct {
	zone    int
	density float64
}

func (l levels) begin(int) {}
func (l levels) end() bool { return true }

func (l levels) stretch(from, to float64, s *State) {
	if s.Zone >= 0 {
		l[levelAt{s.Zone, s.Density[0]}] += to - from
	}
}
